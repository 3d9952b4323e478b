"""Limits counted from finished work never keep a plan from being made: those that cannot be kept lapse, with a warning.

Which ones is asked once: of a plan in which each may be overstepped at a price a day, so that as few lapse, and as
little, as there must. What that plan keeps stays a limit.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from planner.plans.domain.assemble import Assembled
from planner.solver.check import check, cost_of
from planner.solver.problem import Problem, Promise
from planner.solver.result import Assignment, Result

STOPPED = "stopped"
# Far above what any day late costs, so that a limit is overstepped only where it must be. Common practice, no source.
OVERSTEPPED_DOLLARS_PER_DAY = 2000
NOTHING: frozenset[str] = frozenset()

# The problem on a horizon of so many days, with the limits of some tasks let go.
AssembleFor = Callable[[frozenset[str], int], Assembled]
PlanFor = Callable[[Assembled], Result]


def plan_letting_lapse(
    assemble_for: AssembleFor, plan_for: PlanFor, horizons_days: Sequence[int]
) -> tuple[Assembled, Result]:
    """Return the plan of the first horizon that has one, with what cannot be kept let go; else why there is none.

    Parameters
    ----------
    assemble_for : callable
        The problem with some limits let go, each with a warning, on a horizon.
    plan_for : callable
        The plan of a problem, or why there is none.
    horizons_days : sequence of int
        Horizons to try, ascending; at least one.
    """
    for days in horizons_days:
        assembled = assemble_for(NOTHING, days)
        result = plan_for(assembled)
        # Where time was up nothing is known of what is in the way.
        if result.status == "planned" or _is_stopped(result):
            return assembled, result
        if not any(task.latest_start is not None for task in assembled.problem.tasks):
            continue
        free = plan_for(replace(assembled, problem=at_a_price(assembled.problem)))
        if free.status == "planned":
            return _with_lapsed(assemble_for, plan_for, assembled, free, days)
    return assembled, result


def at_a_price(problem: Problem) -> Problem:
    """The problem with every latest start let go, each day past it at a price."""
    prices = tuple(
        Promise(
            job=task.job,
            task=task.key,
            due=task.latest_start,
            dollars_per_day=OVERSTEPPED_DOLLARS_PER_DAY,
        )
        for task in problem.tasks
        if task.latest_start is not None
    )
    return replace(
        problem,
        tasks=tuple(replace(task, latest_start=None) for task in problem.tasks),
        promises=(*problem.promises, *prices),
    )


def overstepped(problem: Problem, plan: Sequence[Assignment]) -> frozenset[str]:
    """Tasks that start after their latest start."""
    latest = {task.key: task.latest_start for task in problem.tasks if task.latest_start is not None}
    return frozenset(one.task for one in plan if one.task in latest and one.start > latest[one.task])


def _with_lapsed(
    assemble_for: AssembleFor, plan_for: PlanFor, assembled: Assembled, free: Result, days: int
) -> tuple[Assembled, Result]:
    """The plan with nothing let go but what the free plan oversteps; the free plan where none better is found."""
    lapsing = overstepped(assembled.problem, free.assignments)
    if lapsing:
        assembled = assemble_for(lapsing, days)
        made = plan_for(assembled)
        if made.status == "planned" or check(assembled.problem, free.assignments):
            return assembled, made
    return assembled, replace(free, cost=cost_of(assembled.problem, free.assignments))


def _is_stopped(result: Result) -> bool:
    return any(clash.gate == STOPPED for clash in result.clashes)
