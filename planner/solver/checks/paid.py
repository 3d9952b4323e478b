"""What crews are paid for hours outside their own."""

from collections.abc import Iterator
from dataclasses import dataclass

from planner.solver.checks.days import Days
from planner.solver.checks.placed import Placed
from planner.solver.checks.runs import TaskWindows, Windows, intersect, is_paid, may_be_paid
from planner.solver.problem import Crew, Span, Task
from planner.solver.result import Assignment


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidHours:
    """Work of one crew outside its own hours: minutes on days it works anyway and on others, and the pay [dollars]."""

    task: str
    crew: str
    overtime_minutes: int
    day_off_minutes: int
    dollars: int


def paid_hours(placed: Placed) -> Iterator[PaidHours]:
    """All paid work of a plan, task by task; nothing is worked out where nobody works for pay."""
    windows: TaskWindows | None = None
    crews = {crew.key: crew for crew in placed.problem.crews}
    for task, assignment in placed.pairs():
        if not may_be_paid(task, assignment.crews):
            continue
        windows = windows or TaskWindows(placed.problem, placed.days)
        if is_paid(task, assignment, windows, placed.days):
            yield from _of_task(task, assignment, windows, crews, placed.days)


def _of_task(
    task: Task, assignment: Assignment, windows: TaskWindows, crews: dict[str, Crew], days: Days
) -> Iterator[PaidHours]:
    stay = (Span(start=assignment.start, end=assignment.end),)
    worked = intersect(windows.of(task, assignment.crews, stretched=task.long_day, paid=True), stay)
    for at, key in enumerate(assignment.crews):
        own = windows.of_crew(task, at, key)
        working_days = {days.index(span.start) for span in own}
        overtime = day_off = 0
        for span in worked:
            minutes = span.end - span.start - _length(intersect(own, (span,)))
            if days.index(span.start) in working_days:
                overtime += minutes
            else:
                day_off += minutes
        crew = crews[key]
        per_hour = overtime * crew.overtime_dollars + day_off * crew.day_off_dollars
        yield PaidHours(
            task=task.key,
            crew=key,
            overtime_minutes=overtime,
            day_off_minutes=day_off,
            dollars=-(-per_hour // 60),
        )


def _length(spans: Windows) -> int:
    return sum(span.end - span.start for span in spans)
