"""Problems made by rule from a number: the same number gives the same problem, everywhere.

Nothing here is drawn from a real company. ``horizon`` lays out days and calendars; ``tiny_problems`` makes
problems small enough to try every plan, ``company_problems`` branches of the size the product is for.
"""

from datetime import UTC, date, datetime, timedelta

from planner.solver.problem import Calendar, Day, Span

DAY_MINUTES = 1440
# Midnight UTC of a Monday; a branch four hours west of UTC opens at 11:00 UTC.
ORIGIN_AT = datetime(2026, 6, 1, tzinfo=UTC)
FIRST_ON = date(2026, 6, 1)
OPENS = 660


def horizon(
    count: int, *, day_minutes: int, first_on: date = FIRST_ON, clock_change: int | None = None
) -> tuple[Day, ...]:
    """``count`` calendar days, each with a window of ``day_minutes``; from day ``clock_change`` on all open an hour
    earlier in elapsed time, as when clocks go forward."""
    days = []
    for index in range(count):
        shift = 60 if clock_change is not None and index >= clock_change else 0
        opens = OPENS + index * DAY_MINUTES - shift
        days.append(Day(on=first_on + timedelta(days=index), opens=opens, closes=opens + day_minutes))
    return tuple(days)


def weekly(
    key: str,
    days: tuple[Day, ...],
    *,
    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4),
    off: tuple[int, ...] = (),
    late_minutes: int = 0,
    early_minutes: int = 0,
) -> Calendar:
    """A calendar of the given weekdays (Monday is 0) without the days ``off`` (indices), its windows beginning
    ``late_minutes`` after the branch opens and ending ``early_minutes`` before it closes."""
    return Calendar(
        key=key,
        windows=tuple(
            Span(start=day.opens + late_minutes, end=day.closes - early_minutes)
            for index, day in enumerate(days)
            if day.on.weekday() in weekdays and index not in off
        ),
    )
