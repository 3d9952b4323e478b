"""What a day earlier or later of one task would cost, about: the plan is made again around it, with a bound on effort.

Both sides are searched alike: the plan as it is goes through the same bounded search, so that what the search finds by
the way is not counted for the move.
"""

from dataclasses import dataclass, replace
from typing import Literal

from planner.solver.checks.days import Days
from planner.solver.parameters import Repeatable
from planner.solver.problem import Problem, Task
from planner.solver.replan import replan
from planner.solver.result import Assignment

EFFORT = Repeatable(deterministic_seconds=0.6)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPrice:
    """What moving a task's start by at least a day changes.

    Parameters
    ----------
    way : "earlier" or "later"
        Where to.
    start : int or None
        The start found [min since origin]; None if no plan was found that has it there.
    dollars : int
        Cost of the plan with it, less that of the plan without; below zero if it saves.
    """

    way: Literal["earlier", "later"]
    start: int | None
    dollars: int = 0


def price_of_a_day(
    problem: Problem,
    plan: tuple[Assignment, ...],
    task: str,
    way: Literal["earlier", "later"],
    effort: Repeatable = EFFORT,
) -> DayPrice:
    """Return about what it costs to start a task on an earlier, or on a later, day than planned.

    Parameters
    ----------
    problem : Problem
        What was asked.
    plan : tuple of Assignment
        A plan that keeps every rule.
    task : str
        Key of a task of the plan.
    way : "earlier" or "later"
        Which way.
    effort : Repeatable
        Bound of each of the two searches.
    """
    planned = next(one for one in plan if one.task == task)
    days = Days(problem.days)
    on = days.index(planned.start)
    tasks = tuple(_bounded(one, way, on, days) if one.key == task else one for one in problem.tasks)
    asked = next(one for one in tasks if one.key == task)
    if asked.pin is not None or not _may_start(asked):
        return DayPrice(way=way, start=None)
    touched = frozenset((task,))
    moved = replan(replace(problem, tasks=tasks), plan, touched, effort, share=1.0, asks_why=False).result
    if moved.status != "planned":
        return DayPrice(way=way, start=None)
    as_it_is = replan(problem, plan, touched, effort, share=1.0).result
    return DayPrice(
        way=way,
        start=next(one.start for one in moved.assignments if one.task == task),
        dollars=moved.cost.total - as_it_is.cost.total,
    )


def _bounded(task: Task, way: Literal["earlier", "later"], on: int, days: Days) -> Task:
    if way == "later":
        return replace(task, earliest=max(task.earliest, days.opens(on + 1)))
    latest = days.opens(on) - 1
    return replace(task, latest_start=latest if task.latest_start is None else min(task.latest_start, latest))


def _may_start(task: Task) -> bool:
    return task.latest_start is None or task.earliest <= task.latest_start
