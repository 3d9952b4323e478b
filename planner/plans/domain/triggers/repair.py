"""The plan people work to, put right with the fewest moves that are worth it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Protocol

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.changes import kept_assignments
from planner.plans.domain.world import Stay
from planner.solver.check import check, cost_of
from planner.solver.parameters import GreedyOnly, Parameters
from planner.solver.problem import Problem
from planner.solver.replan import replan
from planner.solver.result import Assignment, Result
from planner.solver.solve import OnProgress, solve

# Work nobody was told of yet moves at this price all the same: a plan that is another one every day is read by nobody.
# Common practice, no source.
QUIET_MOVE_DOLLARS = 20
# Where the smallest repair moves more of the plan than this, nothing is left of it to begin from.
MOST_MOVED = 1 / 3
# Putting starts back is asked of the checker one by one; where so much moves, it would take too long.
MOST_SETTLED = 120
KEPT = "the plan in force, put right"


class Search(Protocol):
    """Solves a problem, afresh or from a standing plan: ``here``, or in a process of its own."""

    def __call__(
        self,
        problem: Problem,
        parameters: Parameters,
        on_progress: OnProgress | None = None,
        *,
        standing: tuple[Assignment, ...] | None = None,
    ) -> Result: ...


def here(
    problem: Problem,
    parameters: Parameters,
    on_progress: OnProgress | None = None,
    *,
    standing: tuple[Assignment, ...] | None = None,
) -> Result:
    """Solve in this process."""
    if standing is None:
        return solve(problem, parameters, on_progress=on_progress)
    return replan(problem, standing, frozenset(), parameters, on_progress=on_progress).result


def moved(kept: Mapping[str, Assignment], after: Sequence[Assignment]) -> int:
    """How many tasks of the plan in force start at another time or with other crews."""
    return sum(1 for one in after if (was := kept.get(one.task)) is not None and _differs(was, one))


def planned_from(
    assembled: Assembled,
    stays: Sequence[Stay],
    parameters: Parameters,
    on_progress: OnProgress | None = None,
    search: Search = here,
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
    search : callable
        Who searches; the smallest repair is always made here, in a second or so.

    Returns
    -------
    Result
        The smallest repair, or what the search made of it: the cheaper one, each move counted as
        ``QUIET_MOVE_DOLLARS`` beside what telling people again costs anyway.
    """
    if not stays:
        return search(assembled.problem, parameters, on_progress)
    kept = kept_assignments(assembled, stays)
    standing, problem = tuple(kept.values()), assembled.problem
    smallest = replan(problem, standing, frozenset(), GreedyOnly()).result
    if smallest.status != "planned":
        return smallest
    if isinstance(parameters, GreedyOnly):
        return settled(problem, kept, smallest)
    if moved(kept, smallest.assignments) > MOST_MOVED * len(kept):
        searched = search(problem, parameters, on_progress)
    else:
        searched = search(problem, parameters, on_progress, standing=standing)
    smallest = settled(problem, kept, smallest)
    if searched.status == "planned":
        searched = settled(problem, kept, searched)
        if _price(searched, kept) < _price(smallest, kept):
            return searched
    making = replace(searched.making, engine=KEPT, proven=False) if searched.making is not None else None
    return replace(smallest, making=making)


def settled(problem: Problem, kept: Mapping[str, Assignment], found: Result) -> Result:
    """A plan with every start put back that need not have moved.

    One after another, the last first and then the first first: work that went earlier goes back behind its followers,
    work that went later before those that lead to it. A start goes back where no rule forbids it and the plan gets
    dearer by no more than the move is worth.
    """
    now = {one.task: one for one in found.assignments}
    cost = found.cost
    loose = [one for one in found.assignments if one.task in kept and _differs(kept[one.task], one)]
    if len(loose) > MOST_SETTLED:
        return found
    for order in (sorted(loose, key=_last_first), sorted(loose, key=_last_first, reverse=True)):
        for one in order:
            was = kept[one.task]
            if not _differs(was, now[one.task]):
                continue
            tried = tuple({**now, one.task: was}.values())
            if check(problem, tried):
                continue
            back = cost_of(problem, tried)
            if back.total <= cost.total + QUIET_MOVE_DOLLARS:
                now[one.task], cost = was, back
    return replace(found, assignments=tuple(now.values()), cost=cost)


def _differs(was: Assignment, one: Assignment) -> bool:
    return (was.start, was.crews) != (one.start, one.crews)


def _last_first(one: Assignment) -> tuple[int, str]:
    return -one.start, one.task


def _price(result: Result, kept: Mapping[str, Assignment]) -> int:
    return result.cost.total + QUIET_MOVE_DOLLARS * moved(kept, result.assignments)
