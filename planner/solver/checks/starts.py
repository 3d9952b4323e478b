"""What bounds a start or a stay by itself: earliest, latest, site windows, weather."""

from collections.abc import Iterator

from planner.solver.checks.placed import Placed, is_started
from planner.solver.checks.preparing import segment_at, way_of
from planner.solver.problem import Task
from planner.solver.result import Assignment, Breach


def start_breaches(placed: Placed) -> Iterator[Breach]:
    """Starts too early or too late, stays outside the site's windows, starts into forbidden weather."""
    for task, assignment in placed.pairs():
        if not is_started(task):
            yield from _bound_breaches(task, assignment, placed)
            yield from _weather_breaches(task, assignment, placed)


def _bound_breaches(task: Task, assignment: Assignment, placed: Placed) -> Iterator[Breach]:
    say = placed.days.say
    if assignment.start < task.earliest:
        why = f" ({task.earliest_why})" if task.earliest_why else ""
        says = f"{task.title} starts at {say(assignment.start)}, before {say(task.earliest)}{why}."
        yield Breach(rule="earliest", task=task.key, says=says)
    if task.latest_start is not None and assignment.start > task.latest_start:
        why = f" ({task.latest_why})" if task.latest_why else ""
        says = f"{task.title} starts at {say(assignment.start)}, after {say(task.latest_start)}{why}."
        yield Breach(rule="latest", task=task.key, says=says)
    inside = (span.start <= assignment.start and assignment.end <= span.end for span in task.windows)
    if task.windows and not any(inside):
        says = f"{task.title} stays from {say(assignment.start)} to {say(assignment.end)}, outside the site's windows."
        yield Breach(rule="window", task=task.key, says=says)


def _weather_breaches(task: Task, assignment: Assignment, placed: Placed) -> Iterator[Breach]:
    segment = segment_at(task, assignment.start)
    if segment is not None and way_of(segment) is None:
        why = f": {segment.reason}" if segment.reason else ""
        says = f"{task.title} starts at {placed.days.say(assignment.start)}, when weather forbids it{why}."
        yield Breach(rule="weather", task=task.key, says=says)
