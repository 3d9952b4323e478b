"""Runs the engine alone on a small problem, so that the greedy plan hides nothing."""

from planner.solver.candidates import find_candidates
from planner.solver.check import check
from planner.solver.cpsat.engine import Effort, run
from planner.solver.laying.ground import Ground
from planner.solver.problem import Problem
from planner.solver.result import Assignment


def engine_plan(problem: Problem) -> dict[str, Assignment] | None:
    """The engine's cheapest plan by task, checked; None where it proves that there is none."""
    candidates = find_candidates(problem)
    if candidates.clashes:
        return None
    found = run(Ground(problem=problem, candidates=candidates), Effort(counted_seconds=20.0, clock_seconds=60.0))
    assert found.status in ("optimal", "infeasible")
    if found.status == "infeasible":
        return None
    assert check(problem, found.assignments) == ()
    return {one.task: one for one in found.assignments}


def at(day: int, minutes: int = 0) -> int:
    """Minutes after the opening of a day of ``small.days``."""
    return day * 1440 + 420 + minutes
