"""Each term of the cost: the engine weighs it as the checker adds it up, and its hint is whole."""

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from planner.solver.candidates import find_candidates
from planner.solver.check import cost_of
from planner.solver.cpsat.engine import Effort, build, run
from planner.solver.laying.greedy import RULES, Greedy
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import laid_out
from planner.solver.problem import Link, OpenDays, Promise, StartWeather, Told
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.engine_cases import at, engine_plan


@pytest.mark.parametrize(("dollars", "day"), [(250, 0), (350, 3)])
def test_a_start_waits_for_the_sky_only_while_that_is_cheaper(dollars: int, day: int) -> None:
    weather = (StartWeather(start=0, end=at(2, 480), forbidden=False, dollars=dollars),)
    tasks = (small.work("pour", 60, "a", weather=weather, start_by_minutes=0),)
    promises = (Promise(job="one", task="pour", due=at(0), dollars_per_day=100),)
    plan = engine_plan(small.problem(7, tasks, promises=promises))
    assert plan is not None
    assert plan["pour"].start == at(day)


def test_the_cheapest_hour_of_the_day_is_found() -> None:
    weather = tuple(
        StartWeather(start=at(0, 60 * hour), end=at(0, 60 * hour + 60), forbidden=hour == 0, dollars=abs(hour - 5))
        for hour in range(8)
    )
    plan = engine_plan(small.problem(1, (small.work("pour", 60, "a", weather=weather),)))
    assert plan is not None
    assert at(0, 300) <= plan["pour"].start < at(0, 360)


def test_a_dig_is_put_off_to_stay_open_for_fewer_days() -> None:
    tasks = (small.work("dig", 60, "a"), small.work("backfill", 60, "b", earliest=at(4)))
    links = (Link(before="dig", after="backfill", kind="after"),)
    promises = (Promise(job="one", task="backfill", due=at(4), dollars_per_day=100),)
    terms = (OpenDays(job="one", from_task="dig", until_task="backfill", dollars_per_day=20),)
    problem = small.problem(9, tasks, crews=2, links=links, promises=promises, open_days=terms)
    plan = engine_plan(problem)
    assert plan is not None
    assert cost_of(problem, tuple(plan.values())).total == 0


@pytest.mark.parametrize(
    ("late", "day", "crews"),
    [(10, 3, ("b",)), (25, 0, ("b",)), (60, 0, ("a",))],
)
def test_people_who_were_told_are_moved_only_for_good_money(late: int, day: int, crews: tuple[str, ...]) -> None:
    # Told: Thursday by b. Day for day Monday is 3 x late dearer; b is busy on Monday until noon at most.
    tasks = (
        small.work("pour", 240, "a", "b", start_by_minutes=240 if crews == ("b",) else 0),
        small.work("other", 240, "b", latest_start=at(0), job="two"),
    )
    told = (Told(task="pour", start=at(3), crews=("b",), move_dollars=20, day_dollars=5, crew_dollars=40),)
    promises = (Promise(job="one", task="pour", due=at(0), dollars_per_day=late),)
    problem = small.problem(5, tasks, crews=2, told=told, promises=promises)
    plan = engine_plan(problem)
    assert plan is not None
    assert (plan["pour"].start // 1440, plan["pour"].crews) == (day, crews)


def test_every_variable_is_hinted_once_and_the_hint_costs_what_the_plan_costs() -> None:
    problem = company_problem(3, 2)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    draft = Greedy(ground).draft(RULES[0])
    model = build(ground)
    model.hint(laid_out(ground, draft.assignments).placed)
    hinted = list(model.cp.proto.solution_hint.vars)
    assert sorted(hinted) == list(range(len(model.cp.proto.variables)))
    solver = cp_model.CpSolver()
    solver.parameters.fix_variables_to_their_hinted_value = True
    assert solver.solve(model.cp) == cp_model.OPTIMAL
    dollars = cost_of(problem, draft.assignments).total
    # Finely graded weather prices are rounded down in the model, by less than a tenth.
    assert 0.9 * dollars < solver.objective_value <= dollars


def test_counted_work_is_the_same_on_every_run() -> None:
    problem = company_problem(1, 5)
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    effort = Effort(counted_seconds=0.3, clock_seconds=60.0, interleaved=True)
    one, other = run(ground, effort), run(ground, effort)
    assert one.assignments
    assert one == replace(other, clock_seconds=one.clock_seconds)
