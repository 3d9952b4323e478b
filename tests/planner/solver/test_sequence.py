"""Clock times: gaps close, the better hour is taken, no rule breaks and no dollar is added."""

import pytest

from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.laying.greedy import RULES, Greedy
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import laid_out
from planner.solver.laying.sequence import set_clock_times
from planner.solver.problem import Problem, StartWeather, Told
from planner.solver.result import Assignment
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.engine_cases import at


def settled(problem: Problem, *stays: tuple[str, int, int]) -> dict[str, int]:
    """Starts after setting clock times of a plan given as (task, start, minutes), all by crew a."""
    plan = tuple(Assignment(task=key, start=start, end=start + minutes, crews=("a",)) for key, start, minutes in stays)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    made = set_clock_times(ground, laid_out(ground, plan))
    assert check(problem, made) == ()
    assert cost_of(problem, made).total <= cost_of(problem, plan).total
    return {one.task: one.start for one in made}


def test_idle_gaps_close() -> None:
    problem = small.problem(2, (small.work("dig", 60, "a"), small.work("pipe", 60, "a")))
    assert settled(problem, ("dig", at(0, 120), 60), ("pipe", at(0, 300), 60)) == {"dig": at(0), "pipe": at(0, 60)}


def test_the_cheaper_hour_of_the_day_is_taken_even_if_later() -> None:
    weather = (StartWeather(start=at(0), end=at(0, 300), forbidden=False, dollars=40),)
    problem = small.problem(1, (small.work("pour", 60, "a", weather=weather),))
    assert settled(problem, ("pour", at(0, 120), 60)) == {"pour": at(0, 300)}


def test_what_nobody_was_told_moves_up_and_what_they_were_told_stays_on_its_day() -> None:
    told = (Told(task="pipe", start=at(3), crews=("a",), move_dollars=0, day_dollars=0, crew_dollars=0),)
    problem = small.problem(5, (small.work("dig", 60, "a"), small.work("pipe", 60, "a")), told=told)
    starts = settled(problem, ("dig", at(3), 60), ("pipe", at(3, 200), 60))
    assert starts == {"dig": at(0), "pipe": at(3)}


@pytest.mark.parametrize("number", range(3))
def test_a_branchs_plan_keeps_every_rule_and_costs_no_more(number: int) -> None:
    problem = company_problem(4, number)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    plan = Greedy(ground).draft(RULES[0]).assignments
    once = set_clock_times(ground, laid_out(ground, plan))
    assert check(problem, once) == ()
    assert cost_of(problem, once).total <= cost_of(problem, plan).total
    assert set_clock_times(ground, laid_out(ground, plan)) == once
