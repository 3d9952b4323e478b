"""Gear held from one task to another, and starts a day: enough, and one too few."""

import pytest

from planner.solver.problem import DailyLimit, Gear, GearHold, Link, Pin, Problem, Task
from tests.planner.solver import small
from tests.planner.solver.engine_cases import at, engine_plan


def walls(count: int, *, sets: int, days: int, amount: int = 1, whole_days: bool = False, minutes: int = 60) -> Problem:
    """``count`` walls, each braced and stripped a day later, by as many crews as it takes."""
    tasks: list[Task] = []
    for number, crew in enumerate("abcd"[:count]):
        job = f"wall {number}"
        tasks += [small.work(f"brace{number}", minutes, crew, job=job), small.work(f"strip{number}", 60, crew, job=job)]
    links = tuple(
        Link(before=f"brace{number}", after=f"strip{number}", kind="cure", min_minutes=1440) for number in range(count)
    )
    holds = tuple(
        GearHold(gear="set", from_task=f"brace{n}", until_task=f"strip{n}", amount=amount, whole_days=whole_days)
        for n in range(count)
    )
    gear = (Gear(key="set", name="Brace set", count=sets),)
    return small.problem(days, tuple(tasks), crews=count, links=links, gear=gear, holds_of_gear=holds)


@pytest.mark.parametrize(
    ("count", "sets", "days", "amount", "planned"),
    [
        (2, 2, 2, 1, True),
        (2, 1, 2, 1, False),
        (2, 1, 3, 1, True),
        (3, 3, 2, 2, False),
        (3, 4, 3, 2, True),
        (1, 1, 2, 2, False),
    ],
)
def test_walls_wait_for_their_braces(count: int, sets: int, days: int, amount: int, planned: bool) -> None:
    assert (engine_plan(walls(count, sets=sets, days=days, amount=amount)) is not None) == planned


def test_whole_days_keep_the_gear_until_the_next_morning() -> None:
    assert engine_plan(walls(2, sets=1, days=3, whole_days=True)) is None
    assert engine_plan(walls(2, sets=1, days=4, whole_days=True)) is not None


def test_gear_out_since_before_the_horizon_comes_back_first() -> None:
    tasks = (small.work("strip", 60, "a"), small.work("brace", 60, "b"))
    holds = (
        GearHold(gear="set", from_task="", until_task="strip", since=-500),
        GearHold(gear="set", from_task="brace", until_task="brace"),
    )
    gear = (Gear(key="set", name="Brace set", count=1),)
    plan = engine_plan(small.problem(1, tasks, crews=2, gear=gear, holds_of_gear=holds))
    assert plan is not None
    assert plan["brace"].start >= plan["strip"].end
    late = (small.work("strip", 60, "a", earliest=at(0, 420)), tasks[1])
    assert engine_plan(small.problem(1, late, crews=2, gear=gear, holds_of_gear=holds)) is None


def test_a_hold_may_not_end_before_it_begins() -> None:
    tasks = (small.work("brace", 60, "a", earliest=at(1)), small.work("strip", 60, "b", latest_start=at(0, 420)))
    holds = (GearHold(gear="set", from_task="brace", until_task="strip"),)
    gear = (Gear(key="set", name="Brace set", count=3),)
    assert engine_plan(small.problem(2, tasks, crews=2, gear=gear, holds_of_gear=holds)) is None


@pytest.mark.parametrize(("count", "planned"), [(1, False), (2, True)])
def test_no_more_start_on_a_day_than_its_limit(count: int, planned: bool) -> None:
    tasks = tuple(small.work(key, 60, key) for key in "abc")
    limits = (DailyLimit(key="inspector", tasks=("a", "b", "c"), count=count),)
    plan = engine_plan(small.problem(2, tasks, crews=3, limits=limits))
    assert (plan is not None) == planned


def test_pinned_starts_count_towards_a_days_limit() -> None:
    tasks = (small.work("a", 60, "a", pin=Pin(start=at(0), end=at(0, 60), crews=("a",))), small.work("b", 60, "b"))
    limits = (DailyLimit(key="inspector", tasks=("a", "b"), count=1),)
    plan = engine_plan(small.problem(2, tasks, crews=2, limits=limits))
    assert plan is not None
    assert plan["b"].start >= at(1)
    assert engine_plan(small.problem(1, tasks, crews=2, limits=limits)) is None
