"""The plan people work to, put right with the fewest moves that are worth it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.changes import kept_assignments
from planner.plans.domain.world import Stay
from planner.solver.parameters import GreedyOnly, Parameters
from planner.solver.replan import replan
from planner.solver.result import Assignment, Result
from planner.solver.solve import OnProgress, solve

# Work nobody was told of yet moves at this price all the same: a plan that is another one every day is read by nobody.
# Common practice, no source.
QUIET_MOVE_DOLLARS = 20
# Where the smallest repair moves more of the plan than this, nothing is left of it to begin from.
MOST_MOVED = 1 / 3
KEPT = "the plan in force, put right"


def moved(kept: Mapping[str, Assignment], after: Sequence[Assignment]) -> int:
    """How many tasks of the plan in force start at another time or with other crews."""
    return sum(
        1
        for one in after
        if (was := kept.get(one.task)) is not None and (was.start, was.crews) != (one.start, one.crews)
    )


def planned_from(
    assembled: Assembled, stays: Sequence[Stay], parameters: Parameters, on_progress: OnProgress | None = None
) -> Result:
    """A plan of today's problem made from the plan in force.

    Parameters
    ----------
    assembled : Assembled
        Today's problem.
    stays : sequence of Stay
        The plan in force; empty where there is none, and then the plan is made afresh.
    parameters : Parameters
        How hard to search on from the smallest repair.
    on_progress : callable, optional
        Called with each better plan found on the way.

    Returns
    -------
    Result
        The smallest repair, or what the search made of it: the cheaper one, each move counted as
        ``QUIET_MOVE_DOLLARS`` beside what telling people again costs anyway.
    """
    if not stays:
        return solve(assembled.problem, parameters, on_progress=on_progress)
    kept = kept_assignments(assembled, stays)
    standing, problem = tuple(kept.values()), assembled.problem
    smallest = replan(problem, standing, frozenset(), GreedyOnly()).result
    if isinstance(parameters, GreedyOnly) or smallest.status != "planned":
        return smallest
    if moved(kept, smallest.assignments) > MOST_MOVED * len(kept):
        searched = solve(problem, parameters, on_progress=on_progress)
    else:
        searched = replan(problem, standing, frozenset(), parameters, on_progress=on_progress).result
    if searched.status == "planned" and _price(searched, kept) < _price(smallest, kept):
        return searched
    making = replace(searched.making, engine=KEPT, proven=False) if searched.making is not None else None
    return replace(smallest, making=making)


def _price(result: Result, kept: Mapping[str, Assignment]) -> int:
    return result.cost.total + QUIET_MOVE_DOLLARS * moved(kept, result.assignments)
