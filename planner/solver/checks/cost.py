"""What a plan costs in whole dollars, term by term."""

from planner.solver.checks.days import Days
from planner.solver.checks.paid import paid_hours
from planner.solver.checks.placed import Placed, place
from planner.solver.checks.preparing import segment_at, way_of
from planner.solver.problem import Problem, Task, Told
from planner.solver.result import Assignment, Cost


def cost_of(problem: Problem, assignments: tuple[Assignment, ...]) -> Cost:
    """Sum of whole dollars by term; the rules are those of ``planner.solver.check``.

    Parameters
    ----------
    problem : Problem
        What was asked.
    assignments : tuple of Assignment
        A plan; terms of tasks it leaves out cost nothing.

    Returns
    -------
    Cost
        Dollars by term.
    """
    placed = place(problem, assignments)
    pairs = tuple(placed.pairs())
    return Cost(
        late=_late_dollars(placed),
        weather=sum(_weather_dollars(task, assignment)[0] for task, assignment in pairs),
        prepare=sum(_weather_dollars(task, assignment)[1] for task, assignment in pairs),
        paid=sum(hours.dollars for hours in paid_hours(placed)),
        crews=sum(_crew_dollars(task, assignment) for task, assignment in pairs),
        open_days=_open_dollars(placed),
        moves=sum(
            _move_dollars(told, placed.assignments[told.task], placed.days)
            for told in problem.told
            if told.task in placed.assignments
        ),
    )


def _late_dollars(placed: Placed) -> int:
    dollars = 0
    for promise in placed.problem.promises:
        last = placed.assignments.get(promise.task)
        if last is not None:
            days_late = placed.days.index(last.end) - placed.days.index(promise.due)
            dollars += promise.dollars_per_day * max(0, days_late)
    return dollars


def _weather_dollars(task: Task, assignment: Assignment) -> tuple[int, int]:
    """The loss to expect at a start, and the price of what is prepared for it."""
    segment = segment_at(task, assignment.start)
    if segment is None:
        return 0, 0
    way = way_of(segment)
    # A start that weather forbids breaks a rule; its price is still that of going bare.
    return (segment.dollars, 0) if way is None else (way.loss_dollars, way.price_dollars)


def _crew_dollars(task: Task, assignment: Assignment) -> int:
    return sum(
        option.dollars
        for need, crew in zip(task.needs, assignment.crews, strict=False)
        for option in need.options
        if option.crew == crew
    )


def _open_dollars(placed: Placed) -> int:
    dollars = 0
    for term in placed.problem.open_days:
        until = placed.assignments.get(term.until_task)
        since = term.since
        if since is None and term.from_task in placed.assignments:
            since = placed.assignments[term.from_task].start
        if until is not None and since is not None:
            dollars += term.dollars_per_day * max(0, placed.days.index(until.end) - placed.days.index(since))
    return dollars


def _move_dollars(told: Told, now: Assignment, days: Days) -> int:
    moved = abs(days.index(now.start) - days.index(told.start))
    dollars = told.day_dollars * moved + (told.move_dollars if moved else 0)
    if told.crews and set(told.crews) != set(now.crews):
        dollars += told.crew_dollars
    return dollars
