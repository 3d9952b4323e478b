"""Figures of a whole plan: how long crews stand idle between their tasks, and who is the bottleneck of each week."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from planner.solver.checks.days import Days
from planner.solver.problem import Problem, Span
from planner.solver.result import Assignment

WEEK_DAYS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewTime:
    """Working time of one crew from the first day of the plan to the end of its last task [min]."""

    crew: str
    worked_minutes: int
    idle_minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottleneck:
    """The crew with the least time left in a week: minutes of work in so many minutes of hours."""

    first_on: date
    crew: str
    worked_minutes: int
    open_minutes: int


def crew_times(problem: Problem, plan: tuple[Assignment, ...]) -> tuple[CrewTime, ...]:
    """Return worked and idle time of each crew that has a task, in the problem's order.

    Idle is what lies inside its hours, before the end of its last task, and belongs to no stay of it.
    """
    stays = _stays(plan)
    found = []
    for crew, windows in _hours(problem):
        mine = stays.get(crew)
        if mine:
            last = max(span.end for span in mine)
            open_minutes = sum(min(window.end, last) - window.start for window in windows if window.start < last)
            worked = sum(_shared(windows, span) for span in mine)
            found.append(CrewTime(crew=crew, worked_minutes=worked, idle_minutes=max(0, open_minutes - worked)))
    return tuple(found)


def bottlenecks(problem: Problem, plan: tuple[Assignment, ...]) -> tuple[Bottleneck, ...]:
    """Return for each week from the first day on the crew with the largest share of its hours taken."""
    stays = _stays(plan)
    opens = [day.opens for day in problem.days]
    weeks = []
    for first in range(0, len(opens), WEEK_DAYS):
        begins = opens[first]
        ends = opens[first + WEEK_DAYS] if first + WEEK_DAYS < len(opens) else problem.days[-1].closes
        rows = []
        for number, (crew, windows) in enumerate(_hours(problem)):
            inside = tuple(window for window in windows if begins <= window.start < ends)
            worked = sum(_shared(inside, span) for span in stays.get(crew, ()))
            hours = sum(window.end - window.start for window in inside)
            if worked and hours:
                rows.append((worked / hours, -number, crew, worked, hours))
        if rows:
            _, _, crew, worked, hours = max(rows)
            weeks.append(
                Bottleneck(first_on=problem.days[first].on, crew=crew, worked_minutes=worked, open_minutes=hours)
            )
    return tuple(weeks)


def _hours(problem: Problem) -> Iterator[tuple[str, tuple[Span, ...]]]:
    calendars = {calendar.key: calendar.windows for calendar in problem.calendars}
    days = Days(problem.days)
    for crew in problem.crews:
        yield crew.key, tuple(window for window in calendars[crew.calendar] if days.index(window.start) >= 0)


def _stays(plan: tuple[Assignment, ...]) -> dict[str, list[Span]]:
    stays: dict[str, list[Span]] = defaultdict(list)
    for one in plan:
        for crew in one.crews:
            if one.start < one.end:
                stays[crew].append(Span(start=one.start, end=one.end))
    return stays


def _shared(windows: tuple[Span, ...], span: Span) -> int:
    """Minutes of a span that lie inside ascending windows."""
    minutes = 0
    for window in windows[max(0, bisect_left(windows, span.start, key=lambda one: one.end)) :]:
        if window.start >= span.end:
            break
        minutes += max(0, min(window.end, span.end) - max(window.start, span.start))
    return minutes
