"""Whether a plan made in the background is worth showing, and whether it may come into force by itself."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from planner.plans.domain.changes import Change, ChangeSet
from planner.plans.domain.triggers.booking_moves import BookingMove
from planner.plans.domain.triggers.reasons import SHOWN_ALWAYS

# Another plan is not worth a look for less. Common practice, no source: telling two crews again costs about as much.
GAIN_DOLLARS = 200
# Whatever is this near is for a person to decide, told or not.
NEAR = timedelta(days=3)

Verdict = Literal["nothing", "waits", "takes_itself"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """How a branch wants it: ``takes_itself`` is the office's switch, ``near`` the days nothing moves by itself in."""

    takes_itself: bool = True
    near: timedelta = NEAR


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """What a change set touches beyond its own moves.

    Attributes
    ----------
    bookings : bookings that no longer fit.
    told_days : crew (key) and local date of every day plan that was given out or seen.
    later_owners : names of the pools whose last day moves past what their owners were promised, or further past it.
    """

    bookings: tuple[BookingMove, ...] = ()
    told_days: frozenset[tuple[str, date]] = field(default_factory=frozenset)
    later_owners: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """What becomes of a plan made in the background, and the codes of why (``replan.*`` in the words)."""

    verdict: Verdict
    because: tuple[str, ...]


def worth_showing(changes: ChangeSet, reasons: Sequence[str]) -> bool:
    """Whether a change set is worth anybody's look.

    Parameters
    ----------
    changes : ChangeSet
        What would move, both plans judged on today's inputs.
    reasons : sequence of str
        Why it was made.

    Returns
    -------
    bool
        ``False`` where nothing moves. Else ``True`` where the plan in force breaks a rule or leaves work out, where a
        person asked for it, or where it saves at least ``GAIN_DOLLARS``.
    """
    if not changes.changes:
        return False
    if changes.broken_before or changes.dollars_before is None or SHOWN_ALWAYS & set(reasons):
        return True
    return changes.dollars_before - changes.dollars_after >= GAIN_DOLLARS


def rule(
    changes: ChangeSet, touched: Touched, *, reasons: Sequence[str], policy: Policy, zone: ZoneInfo, now: datetime
) -> Ruling:
    """What becomes of a plan made in the background.

    A plan comes into force by itself only where it touches nobody: no start anybody was told, no booking, no owner's
    promise, and nothing near; and where the office lets it and nobody asked to see it.

    Returns
    -------
    Ruling
        ``nothing`` (not worth a look), ``waits`` for the office, or ``takes_itself``.
    """
    if not worth_showing(changes, reasons):
        return Ruling(verdict="nothing", because=("nothing_moves" if not changes.changes else "saves_little",))
    because = []
    if any(_was_told(change, touched, zone) for change in changes.changes):
        because.append("told")
    if touched.bookings:
        because.append("booking")
    if touched.later_owners:
        because.append("owner")
    if any(_moment(change) < now + policy.near for change in changes.changes):
        because.append("near")
    if SHOWN_ALWAYS & set(reasons):
        because.append("asked_by_hand")
    if not policy.takes_itself:
        because.append("switched_off")
    return Ruling(verdict="waits" if because else "takes_itself", because=tuple(because) or ("touches_nobody",))


def _moment(change: Change) -> datetime:
    return change.to_at if change.from_at is None else min(change.from_at, change.to_at)


def _was_told(change: Change, touched: Touched, zone: ZoneInfo) -> bool:
    """Whether a crew was told of the start that moves, or of the day it is now put into."""
    if change.told and (change.from_crews or change.to_crews):
        return True
    days = {moment.astimezone(zone).date() for moment in (change.from_at, change.to_at) if moment is not None}
    return any((crew, on) in touched.told_days for crew in {*change.from_crews, *change.to_crews} for on in days)
