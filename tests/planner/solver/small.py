"""Small problems for the solver's tests: days of eight hours from 07:00, a week that begins on a Monday."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from planner.solver.problem import Calendar, Crew, CrewOption, Day, Need, Problem, Span, Task

OPENS = 420
CLOSES = 900


def days(count: int, *, changes: dict[int, int] | None = None) -> tuple[Day, ...]:
    """``count`` days from Monday 2026-06-01; ``changes`` moves the clock by minutes from a day on."""
    made = []
    shift = 0
    for index in range(count):
        shift += (changes or {}).get(index, 0)
        start = index * 1440 + shift
        made.append(Day(on=date(2026, 6, 1) + timedelta(days=index), opens=start + OPENS, closes=start + CLOSES))
    return tuple(made)


def weekdays(of: tuple[Day, ...], *, key: str = "week", opens: int = 0, closes: int = CLOSES - OPENS) -> Calendar:
    """Monday to Friday, hours counted from the opening of the branch's day."""
    return Calendar(
        key=key,
        windows=tuple(Span(start=d.opens + opens, end=d.opens + closes) for d in of if d.on.weekday() < 5),
    )


def work(key: str, minutes: int, *crews: str, job: str = "one", **changes: Any) -> Task:
    """A task any one of the crews can do."""
    needs = (Need(trade="any", options=tuple(CrewOption(crew=crew, work_minutes=minutes) for crew in crews)),)
    return Task(key=key, job=job, title=key.title(), kind="work", run="work", needs=needs, **changes)


def problem(count: int, tasks: tuple[Task, ...], *, crews: int = 1, **rest: Any) -> Problem:
    """A branch with ``crews`` crews a, b, c… who work Monday to Friday for the whole day."""
    of = rest.pop("days", days(count))
    calendars = rest.pop("calendars", (weekdays(of),))
    return Problem(
        branch="branch",
        origin_at=datetime(2026, 6, 1, tzinfo=UTC),
        grid_minutes=15,
        days=of,
        calendars=calendars,
        crews=tuple(Crew(key=key, name=key, calendar="week") for key in "abcdefgh"[:crews]),
        tasks=tasks,
        **rest,
    )
