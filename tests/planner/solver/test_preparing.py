"""A start goes bare or prepared, whichever costs less: the checker by hand, and the engine beside it."""

from dataclasses import replace

import pytest

from planner.solver.check import check, cost_of
from planner.solver.explain.requirements import requirements_of, without
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Pin, Preparing, Problem, Promise, StartWeather
from planner.solver.result import Assignment, Cost
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.engine_cases import at, engine_plan

WET = StartWeather(start=at(0), end=at(0, 480), forbidden=False, dollars=300)
SHEET = Preparing(title="sheet", dollars=60, loss_dollars=90)
TENT = Preparing(title="tent", dollars=140, loss_dollars=10, minutes=60)


def pour(*ways: Preparing, start: int = at(0), minutes: int = 60, **sky: object) -> tuple[Problem, Assignment]:
    """A pour of an hour under one sky, and its start."""
    task = small.work("pour", 60, "a", weather=(replace(WET, ways=ways, **sky),))  # type: ignore[arg-type]
    return small.problem(3, (task,)), Assignment(task="pour", start=start, end=start + minutes, crews=("a",))


@pytest.mark.parametrize(
    ("ways", "minutes", "sky", "weather", "prepare"),
    [
        ((), 60, {}, 300, 0),
        ((SHEET,), 60, {}, 90, 60),
        # Of equals the one listed first; nothing is prepared that saves nothing.
        ((SHEET, TENT), 60, {}, 90, 60),
        ((TENT, SHEET), 120, {}, 10, 140),
        ((SHEET,), 60, {"dollars": 150}, 150, 0),
        # What people were told to prepare stays, dearer or not; told to go bare, they go bare.
        ((SHEET,), 60, {"dollars": 0, "settled": True}, 90, 60),
        ((), 60, {"settled": True}, 300, 0),
        # Prepared for, a start goes that weather forbids as it is.
        ((SHEET,), 60, {"forbidden": True, "dollars": 0}, 90, 60),
    ],
)
def test_a_start_costs_the_cheapest_way(
    ways: tuple[Preparing, ...], minutes: int, sky: dict[str, object], weather: int, prepare: int
) -> None:
    problem, planned = pour(*ways, minutes=minutes, **sky)
    assert check(problem, (planned,)) == ()
    assert cost_of(problem, (planned,)) == Cost(weather=weather, prepare=prepare)
    # A minute more or less than preparing takes is caught.
    wrong = replace(planned, end=planned.end + (60 if minutes == 60 else -60))
    assert {breach.rule for breach in check(problem, (wrong,))} == {"run"}


def test_a_forbidden_start_with_nothing_to_prepare_is_caught() -> None:
    problem, planned = pour(forbidden=True)
    assert [breach.rule for breach in check(problem, (planned,))] == ["weather"]
    settled, planned = pour(forbidden=True, settled=True)
    assert [breach.rule for breach in check(settled, (planned,))] == ["weather"]


def test_only_work_takes_longer() -> None:
    """A stretch of clock time has no crew that could prepare; its price counts all the same."""
    problem, _ = pour(replace(TENT, dollars=0))
    (task,) = problem.tasks
    curing = replace(task, run="elapsed", kind="clock", needs=(), span_minutes=60)
    planned = Assignment(task="pour", start=at(0), end=at(0, 60), crews=())
    assert check(replace(problem, tasks=(curing,)), (planned,)) == ()


def test_what_was_pinned_ends_as_pinned_and_costs_its_way() -> None:
    problem, _ = pour(replace(TENT, dollars=20))
    (task,) = problem.tasks
    pinned = replace(task, pin=Pin(start=at(0), end=at(0, 60), crews=("a",)))
    result = solve(replace(problem, tasks=(pinned,)), GreedyOnly())
    assert result.cost == Cost(weather=10, prepare=20)


def due_today(problem: Problem, dollars: int) -> Problem:
    return replace(problem, promises=(Promise(job="one", task="pour", due=at(0), dollars_per_day=dollars),))


@pytest.mark.parametrize(
    ("late", "ways", "day"),
    # Wet today, dry tomorrow: a day late against the loss, bare or prepared.
    [(200, (), 1), (200, (SHEET,), 0), (100, (SHEET,), 1), (400, (), 0)],
)
def test_the_engine_prepares_where_waiting_costs_more(late: int, ways: tuple[Preparing, ...], day: int) -> None:
    problem, _ = pour(*ways)
    plan = engine_plan(due_today(problem, late))
    assert plan is not None
    assert plan["pour"].start // 1440 == day


def test_the_engine_goes_into_forbidden_weather_only_prepared() -> None:
    always = StartWeather(start=at(0), end=at(1), forbidden=True, dollars=0)
    task = small.work("pour", 60, "a", weather=(always,))
    assert engine_plan(small.problem(1, (task,))) is None
    heated = replace(task, weather=(replace(always, ways=(SHEET,)),))
    plan = engine_plan(small.problem(1, (heated,)))
    assert plan is not None
    assert solve(small.problem(1, (heated,)), GreedyOnly()).cost == Cost(weather=90, prepare=60)


def test_the_time_of_preparing_must_fit_into_the_day() -> None:
    wet = replace(WET, ways=(TENT,))
    fits = small.problem(1, (small.work("pour", 420, "a", weather=(wet,)),))
    plan = engine_plan(fits)
    assert plan is not None
    assert plan["pour"].end == at(0, 480)
    assert engine_plan(small.problem(1, (small.work("pour", 435, "a", weather=(wet,)),))) is None


def test_where_nothing_fits_the_sky_is_named_and_the_time_of_preparing_stays_a_requirement() -> None:
    wet = replace(WET, ways=(TENT,))
    problem = small.problem(1, (small.work("pour", 435, "a", weather=(wet,)),))
    result = solve(problem, GreedyOnly())
    assert result.status == "no_plan"
    assert requirements_of(problem)
    assert solve(without(problem, frozenset()), GreedyOnly()).status == "no_plan"
