"""Which facts of a watch people are told, each once: a verdict that changed, a deadline, a state, a weekend's list.

A verdict that flips away and back tells nobody twice: worse is told at once, better only once it has stood, and what
was told last is not told again.
"""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import Literal

from crews.domain.working_time import WorkCalendar, local_moment
from planner.watch.domain.report import StateAtRisk, Stretch, Verdict
from planner.watch.domain.thresholds import WATCHED
from planner.watch.domain.verdict import SEVERITY

FactKind = Literal["verdict", "deadline", "states", "weekend"]

# Common practice, no source, as are all the spans below: several forecast runs say the same before people are told
# that they may go after all; close to the start a quarter of the time left is all there is.
STOOD_FOR = timedelta(hours=6)
STOOD_AT_LEAST = timedelta(minutes=30)
# An answer still changes something until this long before the start; nobody is asked for one sooner than in ...
ANSWER_BEFORE = timedelta(hours=2)
TIME_TO_ANSWER = timedelta(minutes=30)
# A deadline is told on the morning of the last working day that leaves so much of its hours.
TIME_TO_CALL = timedelta(hours=2)
NOON = time(12)
BEFORE_CLOSE = timedelta(hours=2)

# Verdicts under which a start does not go as it stands.
UNSAFE = frozenset({Verdict.MOVE, Verdict.UNKNOWN})
TROUBLED = frozenset({"reached", "near", "unknown"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Stands:
    """A verdict as it stands on a start, since when, and until when moving is free."""

    task: int
    start_at: datetime
    verdict: Verdict
    since_at: datetime
    free_until: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A fact people were told. ``covers`` names the states of a fact about states."""

    key: str
    kind: FactKind
    told_at: datetime
    task: int = 0
    start_at: datetime | None = None
    verdict: Verdict | None = None
    covers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A fact to tell; its ``key`` is the same whoever works it out, and however often."""

    key: str
    kind: FactKind
    task: int = 0
    start_at: datetime | None = None
    verdict: Verdict | None = None
    before: Verdict | None = None
    deadline: datetime | None = None
    answer_by: datetime | None = None
    covers: tuple[str, ...] = ()


def facts_to_tell(
    *,
    stands: Sequence[Stands],
    states: Sequence[StateAtRisk],
    stretch: Stretch | None,
    weekend: Sequence[StateAtRisk],
    told: Sequence[Told],
    calendar: WorkCalendar,
    now: datetime,
) -> tuple[Fact, ...]:
    """The facts of a watch that nobody was told yet.

    Parameters
    ----------
    stands : verdicts on the starts of the watch.
    states, weekend : states at risk now, and over ``stretch``.
    told : what was told of them before.
    calendar : of the branch.
    now : the present moment, aware.

    Returns
    -------
    tuple of Fact
        Verdicts in the order given, deadlines, one fact for all states that are newly reached, the weekend's list.
    """
    changed = verdict_facts(stands, told, now)
    return (
        *changed,
        *deadline_facts(stands, told, changed, calendar, now),
        *state_facts(states, told, calendar, now),
        *weekend_facts(stretch, weekend, told, calendar, now),
    )


def verdict_facts(stands: Iterable[Stands], told: Iterable[Told], now: datetime) -> tuple[Fact, ...]:
    """The changes of verdict to tell.

    A start nobody was told of counts as told ``no limit reached``. What is worse than what was told last is told at
    once, ``unknown`` too, but that not twice in six hours; what is better is told when it has stood for six hours, or
    for a quarter of the time left to the start, half an hour at least.
    """
    by_start: dict[tuple[int, datetime], list[Told]] = {}
    for one in told:
        if one.kind == "verdict" and one.start_at is not None:
            by_start.setdefault((one.task, one.start_at), []).append(one)
    found = []
    for stand in stands:
        before = sorted(by_start.get((stand.task, stand.start_at), ()), key=lambda one: (one.told_at, one.key))
        if not _is_news(stand, before, now):
            continue
        found.append(
            Fact(
                key=f"pour:{stand.task}:{_stamp(stand.start_at)}:{len(before) + 1}:{stand.verdict.name.lower()}",
                kind="verdict",
                task=stand.task,
                start_at=stand.start_at,
                verdict=stand.verdict,
                before=before[-1].verdict if before else None,
                answer_by=answer_by(stand, now) if stand.verdict in UNSAFE else None,
            )
        )
    return tuple(found)


def _is_news(stand: Stands, before: Sequence[Told], now: datetime) -> bool:
    last = before[-1].verdict if before else Verdict.NO_LIMIT
    if stand.verdict == last:
        return False
    if stand.verdict is Verdict.UNKNOWN:
        return not any(one.verdict is Verdict.UNKNOWN and now - one.told_at < STOOD_FOR for one in before)
    known = next((one.verdict for one in reversed(before) if one.verdict is not Verdict.UNKNOWN), None)
    if SEVERITY[stand.verdict] > SEVERITY[known or Verdict.NO_LIMIT]:
        return True
    return now - stand.since_at >= stood_for(stand.start_at, now)


def stood_for(start_at: datetime, now: datetime) -> timedelta:
    """How long a better verdict must stand before it is told.

    >>> from datetime import UTC
    >>> start_at = datetime(2026, 6, 9, 11, tzinfo=UTC)
    >>> [str(stood_for(start_at, start_at - timedelta(hours=hours))) for hours in (48, 12, 1)]
    ['6:00:00', '3:00:00', '0:30:00']
    """
    return max(STOOD_AT_LEAST, min(STOOD_FOR, (start_at - now) / 4))


def answer_by(stand: Stands, now: datetime) -> datetime:
    """Until when somebody must have read that a start should not go: while moving is free, or two hours before it."""
    moments = [stand.start_at - ANSWER_BEFORE, *((stand.free_until,) if stand.free_until is not None else ())]
    ahead = [moment for moment in moments if moment > now]
    return max(min(ahead, default=now), now + TIME_TO_ANSWER)


def deadline_facts(
    stands: Iterable[Stands],
    told: Sequence[Told],
    changed: Sequence[Fact],
    calendar: WorkCalendar,
    now: datetime,
) -> tuple[Fact, ...]:
    """Deadlines ahead of starts that should not go as they stand; not where the verdict itself was told that day."""
    known = {one.key for one in told}
    found = []
    for stand in stands:
        deadline = stand.free_until
        if stand.verdict not in UNSAFE or deadline is None or not now < deadline:
            continue
        from_at = tell_from(deadline, calendar)
        key = f"free:{stand.task}:{_stamp(stand.start_at)}:{_stamp(deadline)}"
        spoken = any(one.task == stand.task and one.start_at == stand.start_at for one in changed) or any(
            one.task == stand.task and one.start_at == stand.start_at and one.told_at >= from_at
            for one in told
            if one.kind == "verdict" and one.verdict in UNSAFE
        )
        if now < from_at or key in known or spoken:
            continue
        found.append(
            Fact(
                key=key,
                kind="deadline",
                task=stand.task,
                start_at=stand.start_at,
                verdict=stand.verdict,
                deadline=deadline,
                answer_by=max(deadline, now + TIME_TO_ANSWER),
            )
        )
    return tuple(found)


def tell_from(deadline: datetime, calendar: WorkCalendar) -> datetime:
    """The opening of the last working day with two hours left before a deadline."""
    on = calendar.date_of(deadline)
    window = calendar.window_on(on)
    while window is None or min(window[1], deadline) - window[0] < TIME_TO_CALL:
        on = calendar.previous_working_day(on)
        window = calendar.window_on(on)
    return window[0]


def state_facts(
    states: Iterable[StateAtRisk], told: Iterable[Told], calendar: WorkCalendar, now: datetime
) -> tuple[Fact, ...]:
    """One fact for all states that have reached a limit and were not told of in the last 72 hours."""
    lately = {name for one in told if one.kind == "states" and now - one.told_at < WATCHED for name in one.covers}
    reached = {name_of(state) for state in states if state.state == "reached"}
    covers = tuple(sorted(reached - lately))
    if not covers:
        return ()
    digest = hashlib.sha256("\n".join(covers).encode()).hexdigest()[:12]
    return (Fact(key=f"states:{calendar.date_of(now).isoformat()}:{digest}", kind="states", covers=covers),)


def weekend_facts(
    stretch: Stretch | None, weekend: Iterable[StateAtRisk], told: Iterable[Told], calendar: WorkCalendar, now: datetime
) -> tuple[Fact, ...]:
    """The list before people go home, from noon of the last day worked, once; nothing where it is empty."""
    if stretch is None or not weekend_from(stretch, calendar) <= now < stretch.until_at:
        return ()
    key = f"weekend:{stretch.last_on.isoformat()}"
    covers = tuple(sorted(name_of(state) for state in weekend if state.state in TROUBLED))
    if not covers or any(one.key == key for one in told):
        return ()
    return (Fact(key=key, kind="weekend", covers=covers),)


def weekend_from(stretch: Stretch, calendar: WorkCalendar) -> datetime:
    """Noon of the last day worked, or two hours before it closes where that is sooner."""
    return min(local_moment(calendar.zone, stretch.last_on, NOON), stretch.from_at - BEFORE_CLOSE)


def name_of(state: StateAtRisk) -> str:
    """A state by its kind and the work that brought it about."""
    return f"{state.kind}:{state.task}"


def _stamp(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y%m%dT%H%M")
