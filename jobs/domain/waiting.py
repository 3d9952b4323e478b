"""What must pass between the end of one task and the start of the next, behind one question: from when?

Each wait answers ``ready_at(start)``, where ``start`` is the moment the wait begins: the end of the task
before. The answer never goes down when ``start`` goes up, so that the planner may hand it to the solver as
steps. A wait that computes strength, dryness or level replaces a fixed one without any change elsewhere.
"""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Protocol

from jobs.domain.errors import CannotDo
from jobs.domain.method import LinkRule


class WorkingDays(Protocol):
    """The calendar a notice is counted in."""

    def add_working_days(self, on: date, days: int, /) -> date:
        """The date that is ``days`` working days after ``on``, which is itself not counted."""

    def opening(self, on: date, /) -> datetime:
        """When the working day ``on`` opens, aware."""


class Waiting(Protocol):
    """A wait between two tasks."""

    @property
    def reason(self) -> str:
        """What is waited for, as a sentence."""

    def ready_at(self, start: datetime) -> datetime:
        """The earliest start of the task after, never before ``start``; non-decreasing in ``start``."""

    def because(self, start: datetime) -> str:
        """The reason of a wait that begins at ``start``: what it was reckoned from, where that depends on it."""


class OneReason:
    """A wait with the same reason whenever it begins."""

    __slots__ = ()
    reason: str

    def because(self, start: datetime) -> str:
        """The reason, whatever the start."""
        return self.reason


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainWait(OneReason):
    """Nothing needs to pass."""

    reason: str = "It follows at once."

    def ready_at(self, start: datetime) -> datetime:
        """``start`` itself."""
        return _aware(start)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockWait(OneReason):
    """Elapsed hours, nights and weekends included."""

    hours: float
    reason: str

    def ready_at(self, start: datetime) -> datetime:
        """``start`` plus the hours."""
        return later(start, self.hours)


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedStrengthWait(OneReason):
    """Cautious hours that stand in for a share of the 28-day strength; never under ``floor_hours``."""

    fraction: float
    fixed_hours: float
    floor_hours: float
    reason: str

    def ready_at(self, start: datetime) -> datetime:
        """``start`` plus the longer of the two."""
        return later(start, max(self.fixed_hours, self.floor_hours))


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedDryingWait(OneReason):
    """Cautious hours that stand in for a dry ``surface``; rain in them is the business of the exposure."""

    surface: str
    fixed_hours: float
    reason: str

    def ready_at(self, start: datetime) -> datetime:
        """``start`` plus the hours."""
        return later(start, self.fixed_hours)


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedLevelWait(OneReason):
    """Hours that stand in for a water level; the filling itself is a task that ends at the level."""

    fixed_hours: float
    reason: str

    def ready_at(self, start: datetime) -> datetime:
        """``start`` plus the hours."""
        return later(start, self.fixed_hours)


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeWait(OneReason):
    """Working days of notice, the day of the call not counted: ready when the last of them opens.

    ``min_hours`` is waited as well; ``zone`` says which local day a moment belongs to.
    """

    days: int
    calendar: WorkingDays
    zone: tzinfo
    reason: str
    min_hours: float = 0.0

    def ready_at(self, start: datetime) -> datetime:
        """Opening of the last day of notice, or the end of the hours if that is later."""
        on = _aware(start).astimezone(self.zone).date()
        opens = self.calendar.opening(self.calendar.add_working_days(on, self.days))
        return max(opens.astimezone(start.tzinfo), later(start, self.min_hours), key=_instant)


def waiting_for(link: LinkRule, *, calendar: WorkingDays, zone: tzinfo) -> Waiting:
    """The wait of a link, from the numbers in its method.

    Parameters
    ----------
    link : LinkRule
        As read from the method.
    calendar : WorkingDays
        Working days of whoever gets the notice.
    zone : tzinfo
        The branch's zone.

    Returns
    -------
    Waiting
        For strength, dryness and level: the fixed stand-in of the method.
    """
    reason = reason_of(link)
    if link.min_working_days:
        hours = max(link.min_hours, link.fixed_hours, link.floor_hours)
        return NoticeWait(days=link.min_working_days, calendar=calendar, zone=zone, reason=reason, min_hours=hours)
    if link.kind == "strength" and link.fraction is not None:
        floor = max(link.floor_hours, link.min_hours)
        return FixedStrengthWait(fraction=link.fraction, fixed_hours=link.fixed_hours, floor_hours=floor, reason=reason)
    if link.kind == "dryness":
        return FixedDryingWait(surface=link.surface, fixed_hours=max(link.fixed_hours, link.min_hours), reason=reason)
    if link.kind == "level":
        return FixedLevelWait(fixed_hours=max(link.fixed_hours, link.min_hours), reason=reason)
    if link.min_hours:
        return ClockWait(hours=link.min_hours, reason=reason)
    return PlainWait(reason=reason)


def reason_of(link: LinkRule) -> str:
    """What the link waits for, as a sentence with the method's own reason.

    Holds that a link names are judged where holds are judged; here only time, strength, dryness and level.
    """
    days = link.min_working_days
    if days:
        waits = f"{days} working day{'' if days == 1 else 's'} of notice, the day of asking not counted"
        if link.kind != "notice":
            waits = "the next working day" if days == 1 else f"{days} working days"
    elif link.kind == "strength":
        waits = f"{link.requirement}, taken as {max(link.fixed_hours, link.floor_hours):g} h"
    elif link.kind in ("dryness", "level"):
        waits = link.requirement + (f", taken as {link.fixed_hours:g} h" if link.fixed_hours else "")
    elif link.min_hours:
        waits = f"{link.min_hours:g} h"
    else:
        return f"It follows at once: {link.why}."
    return f"Waits for {waits}: {link.why}."


def latest_after(link: LinkRule, end: datetime, *, calendar: WorkingDays, zone: tzinfo) -> datetime | None:
    """The latest start of the task after, from the end of the task before.

    Parameters
    ----------
    link : LinkRule
        ``max_hours`` are elapsed hours; ``max_working_days`` end with the last of those days, at local midnight.
    end : datetime
        End of the task before, aware.
    calendar : WorkingDays
        In which working days are counted.
    zone : tzinfo
        The branch's zone.

    Returns
    -------
    datetime or None
        The earlier of the two, in the zone of ``end``; ``None`` without a maximum.
    """
    limits: list[datetime] = []
    if link.max_hours is not None:
        limits.append(later(end, link.max_hours))
    if link.max_working_days is not None:
        last = calendar.add_working_days(_aware(end).astimezone(zone).date(), link.max_working_days)
        midnight = datetime.combine(last + timedelta(days=1), time(), tzinfo=zone)
        limits.append(midnight.astimezone(end.tzinfo))
    return min(limits, key=_instant, default=None)


def in_weather(link: LinkRule, day_c: float) -> LinkRule:
    """The link as it counts after a day of mean air ``day_c`` [degC].

    Examples
    --------
    >>> from jobs.methods.loader import load_method
    >>> cut = next(link for link in load_method("insulated_form_liner").links if link.after == "saw_joints")
    >>> [(rule.min_hours, rule.max_hours) for rule in (in_weather(cut, 20.0), in_weather(cut, 10.0))]
    [(4.0, 12.0), (10.0, 18.0)]
    """
    if link.cold_below_c is None or link.max_hours is None or day_c >= link.cold_below_c:
        return link
    more = link.cold_hours_more
    return replace(link, min_hours=link.min_hours + more, max_hours=link.max_hours + more)


def later(moment: datetime, hours: float) -> datetime:
    """``moment`` plus elapsed hours, in its own zone, across a change of the clocks too.

    Examples
    --------
    >>> from zoneinfo import ZoneInfo
    >>> before_the_change = datetime(2026, 3, 7, 12, 0, tzinfo=ZoneInfo("America/New_York"))
    >>> later(before_the_change, 24).isoformat()
    '2026-03-08T13:00:00-04:00'
    """
    return (_instant(_aware(moment)) + timedelta(hours=hours)).astimezone(moment.tzinfo)


def _instant(moment: datetime) -> datetime:
    # Python compares and adds two moments of one zone by their wall clocks; instants need UTC.
    return moment.astimezone(UTC)


def _aware(moment: datetime) -> datetime:
    if moment.utcoffset() is None:
        raise CannotDo("waiting.no_zone", field="start")
    return moment
