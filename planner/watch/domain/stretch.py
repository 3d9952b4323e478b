"""The next weekend or holiday, and the hours nobody works."""

from datetime import datetime

from crews.domain.working_time import DAY, WorkCalendar
from planner.watch.domain.report import Stretch

# A calendar that is never closed inside this many days has no weekend to prepare for.
SEARCH_DAYS = 60


def next_stretch(calendar: WorkCalendar, now: datetime) -> Stretch | None:
    """The next stretch of whole days not worked; the one that is on, where today is such a day.

    Returns
    -------
    Stretch or None
        From the close of the last working day before it to the opening of the first after it; ``None`` where every
        one of the next 60 days is worked.
    """
    on = calendar.date_of(now)
    coming = (on + offset * DAY for offset in range(SEARCH_DAYS + 1))
    free_on = next((day for day in coming if not calendar.is_working_day(day)), None)
    if free_on is None:
        return None
    last_on = calendar.previous_working_day(free_on)
    closes = calendar.window_on(last_on)
    assert closes is not None, "a working day has hours"
    return Stretch(last_on=last_on, from_at=closes[1], until_at=calendar.opening(calendar.next_working_day(last_on)))


def unattended_hours(calendar: WorkCalendar, from_at: datetime, until_at: datetime) -> float:
    """Hours of [from_at, until_at) outside working time [h]."""
    if until_at <= from_at:
        return 0.0
    worked = calendar.working_minutes_between(from_at, until_at)
    return ((until_at - from_at).total_seconds() / 60 - worked) / 60
