"""Moments to whole minutes of the problem's axis and back."""

import math
from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from crews.domain.working_time import WorkCalendar, local_moment
from jobs.domain.facts import BranchFacts
from planner.solver.problem import Day, Span

GRID_MINUTES = 15
MINUTE = timedelta(minutes=1)
DAY = timedelta(days=1)
# Work that cannot wait runs no later into the evening: neighbours sleep; common practice, no source. Local rules on
# noise decide, and a site's own hours cut it shorter.
EVENING_UNTIL = time(22)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """The horizon of one problem: origin is local midnight of its first day.

    The branch's planning window of each day is cut to equal length, so that a day on which the clocks change
    keeps as many grid units as any other.
    """

    origin_at: datetime
    first_on: date
    days: tuple[Day, ...]
    zone: str

    def minute(self, moment: datetime) -> int:
        """Whole minutes since the origin, rounded down."""
        return int((moment - self.origin_at) // MINUTE)

    def minute_up(self, moment: datetime) -> int:
        """Minutes since the origin, rounded up to the grid."""
        return math.ceil((moment - self.origin_at) / MINUTE / GRID_MINUTES) * GRID_MINUTES

    def minute_down(self, moment: datetime) -> int:
        """Minutes since the origin, rounded down to the grid."""
        return math.floor((moment - self.origin_at) / MINUTE / GRID_MINUTES) * GRID_MINUTES

    def at(self, minute: int) -> datetime:
        """The moment of a minute."""
        return self.origin_at + minute * MINUTE

    def midnight(self, on: date) -> datetime:
        """The moment a local date begins."""
        return local_moment(self.zone, on, datetime.min.time())

    @property
    def until_on(self) -> date:
        """First date after the horizon."""
        return self.first_on + len(self.days) * DAY

    def windows(self, calendar: WorkCalendar) -> tuple[Span, ...]:
        """A calendar's windows inside the horizon, cut to the office's hours of the day."""
        spans = []
        for opens_at, closes_at in calendar.windows(self.first_on, self.until_on):
            day = self.days[(calendar.date_of(opens_at) - self.first_on).days]
            start = max(self.minute_up(opens_at), day.opens)
            end = min(self.minute_down(closes_at), day.long_closes)
            if start < end:
                spans.append(Span(start=start, end=end))
        return tuple(spans)

    def into_evenings(self, spans: Iterable[Span]) -> tuple[Span, ...]:
        """Windows of days that reach to the end of the evening."""
        return tuple(Span(start=span.start, end=self.day_of(span).closes) for span in spans)

    def day_of(self, span: Span) -> Day:
        """The day a window belongs to."""
        return self.days[bisect_right(self.days, span.start, key=lambda day: day.opens) - 1]


def timeline(branch: BranchFacts, first_on: date, horizon_days: int, *, evenings: bool = False) -> Timeline:
    """The axis of a branch from ``first_on`` for ``horizon_days`` calendar days.

    With ``evenings`` its days reach to ``EVENING_UNTIL``, for the few crews whose work does.
    """
    origin_at = local_moment(branch.zone, first_on, datetime.min.time())
    minutes = (datetime.combine(first_on, branch.closes) - datetime.combine(first_on, branch.opens)) // MINUTE
    length = minutes // GRID_MINUTES * GRID_MINUTES
    evening = (datetime.combine(first_on, EVENING_UNTIL) - datetime.combine(first_on, branch.opens)) // MINUTE
    reach = max(length, evening // GRID_MINUTES * GRID_MINUTES) if evenings else length
    days = []
    for offset in range(horizon_days):
        on = first_on + offset * DAY
        opens_at = local_moment(branch.zone, on, branch.opens)
        opens = math.ceil((opens_at - origin_at) / MINUTE / GRID_MINUTES) * GRID_MINUTES
        clock = branch.opens.hour * 60 + branch.opens.minute
        long_until = opens + length if reach > length else None
        days.append(Day(on=on, opens=opens, closes=opens + reach, clock=clock, long_until=long_until))
    return Timeline(origin_at=origin_at, first_on=first_on, days=tuple(days), zone=branch.zone)
