"""The next working days of a crew, one line each."""

from datetime import date, timedelta
from itertools import groupby

from planner.dayplans.domain.day import Day, pieces_on, place_of
from planner.dayplans.facts import ComingDay
from planner.dayplans.presenters.measures import clock

DAYS = 5


def next_days(day: Day) -> tuple[date, ...]:
    """The next five dates on which the crew works, a Saturday bought of it too."""
    days: list[date] = []
    on = day.on
    while len(days) < DAYS:
        next_on = day.crew.calendar.next_working_day(on)
        between = (on + timedelta(days=at) for at in range(1, (next_on - on).days))
        days += [one for one in between if pieces_on(day, one, crew=day.crew.key)]
        days.append(next_on)
        on = next_on
    return tuple(days[:DAYS])


def coming_days(day: Day, days: tuple[date, ...]) -> tuple[ComingDay, ...]:
    """Each date with its places, tasks and hours."""
    return tuple(_coming(day, on) for on in days)


def _coming(day: Day, on: date) -> ComingDay:
    pieces = pieces_on(day, on, crew=day.crew.key)
    if not pieces:
        return ComingDay(on=on, line="No work planned.", works=False)
    parts = []
    for place, group in groupby(pieces, key=lambda piece: place_of(piece.job, piece.task)):
        work = ", then ".join(
            f"{piece.task.title} {clock(piece.start_at, day.zone)} to {clock(piece.end_at, day.zone)}"
            for piece in group
        )
        parts.append(f"{place}, {work}")
    return ComingDay(on=on, line="; ".join(parts) + ".")
