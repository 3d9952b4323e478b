"""Why there is no plan: known smallest sets, and on drawn problems each member's need judged by trying every plan."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from planner.solver.candidates import find_candidates
from planner.solver.explain.clash import Core, Patience, clashes_of, find_cores
from planner.solver.explain.requirements import Requirement, only_jobs, requirements_of, without
from planner.solver.parameters import Repeatable
from planner.solver.problem import Gear, GearHold, Link, Pin, Problem, StartWeather
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.brute_force import cheapest_plan
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.engine_cases import at
from tests.planner.solver.tiny_problems import tiny_problem

Case = tuple[Problem, tuple[Requirement, ...]]


def two_deadlines_one_crew() -> Case:
    """Two pools want the one crew at the opening of the first day; a third has nothing to do with it."""
    tasks = (
        small.work("dig", 300, "a", job="one", latest_start=at(0)),
        small.work("pipe", 300, "a", job="two", latest_start=at(0)),
        small.work("other", 300, "b", job="three", latest_start=at(0)),
    )
    return small.problem(5, tasks, crews=2), (
        Requirement(kind="latest", of="dig"),
        Requirement(kind="latest", of="pipe"),
        Requirement(kind="one_place", of="a"),
    )


def wait_too_short_for_a_weekend() -> Case:
    """What begins on Monday at the earliest must follow within a day what is frozen for Friday."""
    tasks = (
        small.work("pour", 240, "a", pin=Pin(start=at(4), end=at(4, 240), crews=("a",))),
        small.work("strip", 240, "a", earliest=at(7), earliest_why="agreed with the owner"),
    )
    links = (Link(before="pour", after="strip", kind="soon", max_minutes=1440),)
    return small.problem(10, tasks, links=links), (
        Requirement(kind="longest", of="pour", second="strip"),
        Requirement(kind="frozen", of="pour"),
        Requirement(kind="earliest", of="strip"),
    )


def one_set_for_two_long_holds() -> Case:
    """Two tasks hold the only set all day long, and each must start on the first day."""
    tasks = tuple(small.work(key, 480, crew, latest_start=at(0)) for key, crew in (("low", "a"), ("high", "b")))
    holds = tuple(GearHold(gear="set", from_task=key, until_task=key) for key in ("low", "high"))
    gear = (Gear(key="set", name="Brace set", count=1),)
    return small.problem(5, tasks, crews=2, gear=gear, holds_of_gear=holds), (
        Requirement(kind="latest", of="low"),
        Requirement(kind="latest", of="high"),
        Requirement(kind="gear", of="set"),
    )


def rain_until_too_late() -> Case:
    """Rain keeps the first task until after the last start of what follows it."""
    wet = (StartWeather(start=0, end=at(2), forbidden=True, dollars=0),)
    tasks = (small.work("dig", 240, "a", weather=wet), small.work("pour", 240, "a", latest_start=at(1)))
    return small.problem(5, tasks, links=(Link(before="dig", after="pour", kind="after"),)), (
        Requirement(kind="latest", of="pour"),
        Requirement(kind="weather", of="dig"),
    )


@pytest.mark.parametrize(
    "make", [two_deadlines_one_crew, wait_too_short_for_a_weekend, one_set_for_two_long_holds, rain_until_too_late]
)
def test_a_known_smallest_set_is_found_and_said(make: Callable[[], Case]) -> None:
    problem, expected = make()
    (core,) = find_cores(problem, Patience())
    assert set(core.requirements) == set(expected)
    assert core.is_minimal
    result = solve(problem, Repeatable())
    assert result.status == "no_plan"
    assert [clash.gate for clash in result.clashes] == [one.kind for one in core.requirements]
    assert all(clash.says.count(".") >= 2 for clash in result.clashes)


def test_only_the_pools_that_do_not_go_together_are_named() -> None:
    problem, _ = two_deadlines_one_crew()
    (core,) = find_cores(problem, Patience())
    assert core.jobs == ("one", "two")


def test_without_anything_to_let_go_the_days_are_too_few() -> None:
    tasks = tuple(small.work(key, 345, "a", "b", job="one") for key in ("dig", "pipe", "pour"))
    links = tuple(Link(before=a, after=b, kind="after") for a, b in (("dig", "pipe"), ("pipe", "pour")))
    result = solve(small.problem(2, tasks, crews=2, links=links), Repeatable())
    (clash,) = result.clashes
    assert clash.gate == "horizon"
    assert "Plan further ahead." in clash.says


def test_a_plan_that_exists_has_no_core() -> None:
    assert find_cores(company_problem(2, 1), Patience()) == ()


def test_out_of_patience_nothing_is_claimed_to_be_minimal() -> None:
    problem, _ = two_deadlines_one_crew()
    for questions in range(8):
        for core in find_cores(problem, Patience(questions=questions)):
            assert not core.is_minimal or set(core.requirements) == set(two_deadlines_one_crew()[1])


def cores_of_impossible() -> list[tuple[Problem, Core]]:
    """Drawn problems without any plan though every task has a start, with the cores found."""
    found = []
    for number in range(40):
        problem = tiny_problem(number)
        if not find_candidates(problem).clashes and cheapest_plan(problem) is None:
            found += [(problem, core) for core in find_cores(problem, Patience())]
    return found


def test_leaving_out_any_one_member_gives_a_plan_and_none_gives_none() -> None:
    cases = cores_of_impossible()
    assert len(cases) >= 5
    for problem, core in cases:
        part = only_jobs(problem, frozenset(core.jobs))
        every = frozenset(requirements_of(part))
        kept = frozenset(core.requirements)
        assert cheapest_plan(without(part, every - kept)) is None
        assert core.is_minimal
        for one in core.requirements:
            assert cheapest_plan(without(part, every - (kept - {one}))) is not None
        assert clashes_of(problem, (core,))


def test_what_is_said_names_task_and_reason() -> None:
    problem, _ = wait_too_short_for_a_weekend()
    says = " ".join(clash.says for clash in solve(problem, Repeatable()).clashes)
    for words in ("Strip (one)", "agreed with the owner", "within 24 hours after Pour", "is frozen at", "Let it move."):
        assert words in says
    named = replace(problem, links=(replace(problem.links[0], why="form pressure"),))
    assert "(form pressure)" in " ".join(clash.says for clash in solve(named, Repeatable()).clashes)
