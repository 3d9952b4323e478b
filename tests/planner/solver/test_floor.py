"""What the benchmark calls a floor is below every plan, and worth naming."""

from planner.solver.check import cost_of
from planner.solver.parameters import GreedyOnly, Repeatable
from planner.solver.solve import solve
from tests.benchmarks.company.bars import Bar
from tests.benchmarks.company.floor import floor_dollars
from tests.planner.solver.brute_force import cheapest_plan
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.tiny_problems import tiny_problem


def test_no_plan_of_a_tiny_problem_is_below_its_floor() -> None:
    met = 0
    for number in range(30):
        problem = tiny_problem(number)
        best = cheapest_plan(problem)
        if best is not None:
            floor = floor_dollars(problem)
            assert floor <= best.total
            met += floor == best.total
    assert met >= 5


def test_the_floor_of_a_branch_is_below_its_plan_and_not_far() -> None:
    problem = company_problem(3, 1)
    floor = floor_dollars(problem, seconds=2.0)
    result = solve(problem, Repeatable(deterministic_seconds=0.3))
    assert cost_of(problem, result.assignments).total * 0.5 < floor <= result.cost.total
    assert floor <= solve(problem, GreedyOnly()).cost.total


def test_a_bar_says_what_is_reached() -> None:
    seconds, percent = Bar(must=2, aim=0.5), Bar(must=25, aim=36, higher_is_better=True)
    assert [seconds.judged(value) for value in (0.5, 2.0, 2.1, None)] == [
        "(must 2, aim 0.5: aim reached)",
        "(must 2, aim 0.5: reached)",
        "(must 2, aim 0.5: MISSED)",
        "(must 2, aim 0.5)",
    ]
    assert [percent.judged(value).split(": ")[1] for value in (36.0, 30.0, 24.9)] == [
        "aim reached)",
        "reached)",
        "MISSED)",
    ]
