"""Takes what is due, once, and sets it forward; on PostgreSQL with row locks, on SQLite by conditional updates.

Everything here counts in real time (``planner.clock.running``): under a demo's pinned clock the weather stands
still, but a pull, a retry and a lease must still come round and must not come round at once for ever.
"""

import random
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import connection, transaction
from django.db.models import Case, When

from planner.serving.models import Turn

JITTER = 0.2
FIRST_RETRY = timedelta(minutes=2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A turn somebody holds until ``until``."""

    id: int
    kind: str
    key: str
    until: datetime


def jittered(span: timedelta, share: float = JITTER) -> timedelta:
    """A span made up to so much longer or shorter, so that cells and machines do not ask in step."""
    return span * random.uniform(1 - share, 1 + share)


def retry_after(failures: int, longest: timedelta) -> timedelta:
    """How long to wait after so many failures in a row.

    >>> [str(retry_after(times, timedelta(hours=1))) for times in (1, 2, 3, 9)]
    ['0:02:00', '0:04:00', '0:08:00', '1:00:00']
    """
    return min(FIRST_RETRY * 2 ** min(max(failures, 1) - 1, 10), longest)


def arrange(*, kind: str, keys: Collection[str], now: datetime) -> None:
    """Have exactly these turns of a kind; one that was missing is due now."""
    have = set(Turn.objects.filter(kind=kind).values_list("key", flat=True))
    if gone := have - set(keys):
        Turn.objects.filter(kind=kind, key__in=gone).delete()
    Turn.objects.bulk_create(
        [Turn(kind=kind, key=key, next_due_at=now) for key in sorted(set(keys) - have)], ignore_conflicts=True
    )


def make_due(*, kind: str, keys: Iterable[str], at: datetime) -> None:
    """Make turns due at a moment, also while somebody holds them: what made them due came after that began."""
    for key in keys:
        Turn.objects.update_or_create(kind=kind, key=key, defaults={"next_due_at": at})


def take_due(*, now: datetime, lease: timedelta, limit: int) -> tuple[Taken, ...]:
    """Take what is due, the longest due first, spreads last. Of two that take at once, each gets other turns.

    A lease is jittered like an interval, so that what a crash left behind does not all come due at one moment.
    """
    # Nothing waits for a spread, and it keeps a worker for long: whatever else is due goes out before it.
    patient = Case(When(kind=Turn.Kind.SPREAD, then=1), default=0)
    due = Turn.objects.filter(next_due_at__lte=now).order_by(patient, "next_due_at", "pk")
    if not due.exists():
        return ()
    taken = []
    with transaction.atomic():
        if connection.features.has_select_for_update_skip_locked:
            due = due.select_for_update(skip_locked=True)
        for turn in due[:limit]:
            until = now + jittered(lease)
            if Turn.objects.filter(pk=turn.pk, next_due_at=turn.next_due_at).update(next_due_at=until):
                taken.append(Taken(id=turn.pk, kind=turn.kind, key=turn.key, until=until))
    return tuple(taken)


def is_held(*, turn_id: int, until: datetime) -> bool:
    """Whether a turn is still held by the lease that ends at a moment: neither ended since nor taken again."""
    return Turn.objects.filter(pk=turn_id, next_due_at=until).exists()


def end_well(*, turn: Turn, now: datetime, after: timedelta | None, handed_on: str = "", problem: str = "") -> None:
    """Bring a turn to an end; next due after a jittered span, or when something makes it due.

    A turn that was made due since it was read stays due. ``problem`` is what went wrong on the way and was got over.
    """
    values = {
        "ended_at": now,
        "well_at": now,
        "failing_since": (turn.failing_since or now) if problem else None,
        "failures": 0,
        "problem": problem,
        "handed_on": handed_on,
    }
    _end(turn, None if after is None else now + jittered(after), values)


def end_badly(*, turn: Turn, now: datetime, problem: str, longest: timedelta, handed_on: str | None = None) -> None:
    """Bring a turn to a bad end: it is tried again after a pause that doubles, up to ``longest``.

    A turn that was made due since it was read stays due: what made it so may have mended what failed.
    """
    failures = turn.failures + 1
    values = {
        "ended_at": now,
        "failing_since": turn.failing_since or now,
        "failures": failures,
        "problem": problem,
        "handed_on": turn.handed_on if handed_on is None else handed_on,
    }
    _end(turn, now + jittered(retry_after(failures, longest)), values)


def _end(turn: Turn, due_at: datetime | None, values: Mapping[str, object]) -> None:
    Turn.objects.filter(pk=turn.pk).update(**values)
    Turn.objects.filter(pk=turn.pk, next_due_at=turn.next_due_at).update(next_due_at=due_at)


def note_tick(*, now: datetime) -> None:
    """Note that the service is alive."""
    Turn.objects.update_or_create(
        kind=Turn.Kind.TICK, key="", defaults={"next_due_at": None, "ended_at": now, "well_at": now}
    )
