"""The plan people work to, put right with the fewest moves."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.changes import kept_assignments
from planner.plans.domain.world import Stay
from planner.solver.check import check, cost_of
from planner.solver.parameters import Parameters
from planner.solver.problem import Pin, Problem
from planner.solver.result import Assignment, Result
from planner.solver.solve import solve

# Work nobody was told of yet moves at this price all the same: a plan that is another one every day is read by nobody.
# Common practice, no source.
QUIET_MOVE_DOLLARS = 20
KEPT = "the plan in force, put right"
# First what is broken, then what follows it, then its pools, then everything that starts no earlier.
WIDENINGS = 4


def moved(kept: Mapping[str, Assignment], after: Sequence[Assignment]) -> int:
    """How many tasks of the plan in force start at another time or with other crews."""
    return sum(
        1
        for one in after
        if (was := kept.get(one.task)) is not None and (was.start, was.crews) != (one.start, one.crews)
    )


def steadier(assembled: Assembled, stays: Sequence[Stay], found: Result, parameters: Parameters) -> Result:
    """Of a plan made afresh and the plan in force put right, the cheaper one, each move counted.

    Parameters
    ----------
    assembled : Assembled
        Today's problem.
    stays : sequence of Stay
        The plan in force.
    found : Result
        A plan made without regard to the one in force, beyond what people were told for the coming days.
    parameters : Parameters
        How hard to search for the place of what cannot stay.

    Returns
    -------
    Result
        ``found``, or the plan in force with only what today's inputs forbid moved.
    """
    if not stays or found.status != "planned":
        return found
    kept = kept_assignments(assembled, stays)
    repaired = repair(assembled.problem, kept, parameters)
    if not repaired:
        return found
    cost = cost_of(assembled.problem, repaired)
    steady = cost.total + QUIET_MOVE_DOLLARS * moved(kept, repaired)
    if steady > found.cost.total + QUIET_MOVE_DOLLARS * moved(kept, found.assignments):
        return found
    making = replace(found.making, engine=KEPT, proven=False) if found.making is not None else None
    return Result(status="planned", assignments=repaired, cost=cost, making=making)


def repair(problem: Problem, kept: Mapping[str, Assignment], parameters: Parameters) -> tuple[Assignment, ...]:
    """The kept plan with as little moved as makes it a plan; empty where no small repair is found.

    What breaks a rule, and work that is new, is free; all else is pinned. Where that gives no plan the free part grows:
    by what follows it, by its whole pools, by all that starts no earlier.
    """
    whole = tuple(kept[task.key] for task in problem.tasks if task.key in kept)
    breaches = check(problem, whole)
    free = {breach.task for breach in breaches} | {task.key for task in problem.tasks if task.key not in kept}
    if not free:
        return whole
    for step in range(WIDENINGS):
        free = _wider(problem, kept, free, step)
        made = solve(_pinned(problem, kept, free), parameters)
        if made.status == "planned" and not check(problem, made.assignments):
            return made.assignments
        free |= {clash.task for clash in made.clashes}
    return ()


def _wider(problem: Problem, kept: Mapping[str, Assignment], free: set[str], step: int) -> set[str]:
    if step == 0:
        return set(free)
    if step == 1:
        return free | {link.after for link in problem.links if link.before in free}
    first = min((kept[key].start for key in free if key in kept), default=0)
    jobs = {task.job for task in problem.tasks if task.key in free}
    return free | {
        task.key
        for task in problem.tasks
        if (step > 2 or task.job in jobs) and (task.key not in kept or kept[task.key].start >= first)
    }


def _pinned(problem: Problem, kept: Mapping[str, Assignment], free: set[str]) -> Problem:
    return replace(
        problem,
        tasks=tuple(
            task
            if task.key in free or task.pin is not None
            else replace(
                task,
                pin=Pin(start=kept[task.key].start, end=kept[task.key].end, crews=kept[task.key].crews, why="frozen"),
            )
            for task in problem.tasks
        ),
    )
