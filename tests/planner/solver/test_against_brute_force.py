"""The solver proves the cheapest plan of every tiny problem, and agrees where there is none."""

from functools import cache

import pytest

from planner.solver.check import check, cost_of
from planner.solver.faults import find_faults
from planner.solver.parameters import Repeatable
from planner.solver.solve import solve
from tests.planner.solver.brute_force import Best, cheapest_plan
from tests.planner.solver.tiny_problems import tiny_problem

NUMBERS = range(100)


@cache
def best_of(number: int) -> Best | None:
    return cheapest_plan(tiny_problem(number))


@pytest.mark.parametrize("number", NUMBERS)
def test_the_solver_finds_what_trying_every_plan_finds(number: int) -> None:
    problem = tiny_problem(number)
    best = best_of(number)
    result = solve(problem, Repeatable())
    if best is None:
        assert result.status == "no_plan"
        assert result.clashes
        return
    assert result.status == "planned", result.clashes
    assert check(problem, result.assignments) == ()
    assert result.cost == cost_of(problem, result.assignments)
    assert result.cost.total == best.total
    assert result.making is not None
    assert result.making.proven
    assert result.making.bound == best.total


def test_the_tiny_problems_are_worth_trying() -> None:
    problems = [tiny_problem(number) for number in NUMBERS]
    assert problems == [tiny_problem(number) for number in NUMBERS]
    assert not any(find_faults(problem) for problem in problems)
    bests = [best_of(number) for number in NUMBERS]
    # Both verdicts are common, and most plans cost something, so that there is something to get wrong.
    assert 35 <= sum(best is not None for best in bests) <= 65
    assert sum(best.total > 0 for best in bests if best is not None) >= 35
