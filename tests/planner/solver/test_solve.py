"""From a problem to a checked answer: plans, reasons, how it was made, and the same again."""

from collections.abc import Callable

import pytest

from jobs.domain.errors import CannotDo
from planner.solver.check import check, cost_of
from planner.solver.parameters import GreedyOnly, Parameters, Patient, Repeatable
from planner.solver.problem import Link, Pin, Promise
from planner.solver.solve import Progress, solve
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.engine_cases import at


def test_equal_problems_give_equal_plans() -> None:
    results = [solve(company_problem(4, 2), Repeatable(deterministic_seconds=0.3)) for _ in range(2)]
    assert repr(results[0]).encode() == repr(results[1]).encode()
    assert results[0].making is not None
    assert results[0].making.mode == "repeatable"


@pytest.mark.parametrize("how", [GreedyOnly(), Repeatable(deterministic_seconds=0.5), Patient(seconds=2, workers=2)])
def test_every_way_gives_a_checked_plan_and_says_how_it_was_made(how: Parameters) -> None:
    problem = company_problem(3, 1)
    seen: list[Progress] = []
    result = solve(problem, how, on_progress=seen.append)
    assert result.status == "planned"
    assert check(problem, result.assignments) == ()
    assert result.cost == cost_of(problem, result.assignments)
    assert result.making is not None
    modes = {GreedyOnly: "greedy", Repeatable: "repeatable", Patient: "patient"}
    assert result.making.mode == modes[type(how)]
    assert (result.making.engine == "greedy") == (isinstance(how, GreedyOnly))
    dollars = [one.dollars for one in seen]
    assert dollars == sorted(dollars, reverse=True)
    assert result.cost.total <= dollars[-1]


def test_a_plan_is_called_proven_only_where_its_cost_meets_a_bound() -> None:
    tasks = (small.work("dig", 240, "a"), small.work("pipe", 300, "a"))
    promises = tuple(Promise(job="one", task=task.key, due=at(0), dollars_per_day=30) for task in tasks)
    problem = small.problem(3, tasks, promises=promises)
    proven = solve(problem, Repeatable())
    assert proven.making is not None
    assert (proven.cost.total, proven.making.bound, proven.making.proven) == (30, 30, True)
    greedy = solve(problem, GreedyOnly())
    assert greedy.making is not None
    assert (greedy.cost.total, greedy.making.proven) == (30, False)


def test_the_engine_finds_a_plan_where_no_rule_does() -> None:
    # Only one order of the two digs leaves the crew free for the late one; a rule that starts with the other is stuck.
    tasks = (
        small.work("first", 240, "a", job="one"),
        small.work("second", 240, "a", job="two", earliest=at(0, 240)),
        small.work("third", 120, "b", job="two", latest_start=at(0, 480)),
    )
    links = (Link(before="second", after="first", kind="soon", min_minutes=0, max_minutes=1440),)
    result = solve(small.problem(2, tasks, crews=2, links=links), Repeatable())
    assert result.status == "planned"


def test_an_impossible_problem_says_so_and_names_a_task() -> None:
    tasks = (small.work("dig", 300, "a"), small.work("pipe", 300, "a"))
    result = solve(small.problem(1, tasks), Repeatable())
    assert result.status == "no_plan"
    (clash,) = result.clashes
    assert clash.task in ("dig", "pipe")
    assert "a can be in one place only." in clash.says
    (greedy,) = solve(small.problem(1, tasks), GreedyOnly()).clashes
    assert "No place was found" in greedy.says


def test_a_task_without_any_start_is_named_before_any_search() -> None:
    result = solve(small.problem(2, (small.work("dig", 600, "a"), small.work("pipe", 60, "a"))), Repeatable())
    assert result.status == "no_plan"
    assert [(clash.task, clash.gate) for clash in result.clashes] == [("dig", "crews")]


def test_pins_that_break_a_rule_among_themselves_are_named() -> None:
    tasks = tuple(
        small.work(key, 60, "a", pin=Pin(start=at(0, start), end=at(0, start + 60), crews=("a",)))
        for key, start in (("dig", 0), ("pipe", 30))
    )
    result = solve(small.problem(2, tasks), Repeatable())
    assert [(clash.task, clash.gate) for clash in result.clashes] == [("pipe", "pinned")]


def test_a_faulty_problem_is_refused() -> None:
    with pytest.raises(CannotDo):
        solve(small.problem(2, (small.work("dig", 60, "nobody"),)), GreedyOnly())


def test_nothing_to_do_is_a_plan() -> None:
    result = solve(small.problem(2, ()), Repeatable())
    assert (result.status, result.assignments, result.cost.total) == ("planned", (), 0)


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: Repeatable(deterministic_seconds=-1), "deterministic_seconds"),
        (lambda: Repeatable(seed=-1), "seed"),
        (lambda: Repeatable(outer_seconds=0), "outer_seconds"),
        (lambda: Patient(seconds=0), "seconds"),
        (lambda: Patient(seconds=5, workers=0), "workers"),
        (lambda: Patient(seconds=5, workers=65), "workers"),
    ],
)
def test_a_limit_out_of_range_is_refused_by_name(make: Callable[[], object], field: str) -> None:
    with pytest.raises(CannotDo) as error:
        make()
    assert error.value.field == field
