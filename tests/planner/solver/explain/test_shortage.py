"""More gear held than there is: never a wrong plan, always a clash that names the gear."""

from dataclasses import replace
from itertools import product

import pytest

from planner.solver.check import check
from planner.solver.explain.shortage import shortage_clashes
from planner.solver.parameters import GreedyOnly, Parameters, Repeatable
from planner.solver.problem import Gear, GearHold, Link, Problem
from planner.solver.replan import replan
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.brute_force import cheapest_plan

EVERY_MODE: tuple[Parameters, ...] = (GreedyOnly(), Repeatable())


def hold(first: str, last: str, amount: int, *, whole_days: bool = False, since: int | None = None) -> GearHold:
    return GearHold(gear="brace", from_task=first, until_task=last, amount=amount, whole_days=whole_days, since=since)


def two_tasks(*holds: GearHold, count: int = 2) -> Problem:
    tasks = (small.work("dig", 120, "a"), small.work("fill", 120, "a"))
    problem = small.problem(5, tasks, links=(Link(before="dig", after="fill", kind="after"),))
    return replace(problem, gear=(Gear(key="brace", name="Brace set", count=count),), holds_of_gear=holds)


@pytest.mark.parametrize(("first", "second"), product((False, True), repeat=2))
def test_two_holds_of_one_task_are_counted_together(*, first: bool, second: bool) -> None:
    both = hold("dig", "dig", 1, whole_days=first), hold("dig", "dig", 2, whole_days=second)
    short, enough = two_tasks(*both), two_tasks(*both, count=3)
    assert cheapest_plan(short) is None
    for how in EVERY_MODE:
        result = solve(short, how)
        assert [clash.gate for clash in result.clashes] == ["gear"]
        assert result.clashes[0].says.startswith("Dig (one) takes 3 of Brace set at once, and there are 2.")
        made = solve(enough, how)
        assert made.status == "planned"
        assert check(enough, made.assignments) == ()


@pytest.mark.parametrize(("first", "second"), product((False, True), repeat=2))
def test_a_second_task_waits_for_what_is_kept_the_whole_day(*, first: bool, second: bool) -> None:
    """The second takes one for its time and one for the day: with two there are, it cannot go on the first's day."""
    tasks = (small.work("dig", 120, "a"), small.work("fill", 120, "b"))
    holds = (
        hold("dig", "dig", 1, whole_days=first),
        hold("fill", "fill", 1),
        hold("fill", "fill", 1, whole_days=second),
    )
    problem = replace(
        small.problem(3, tasks, crews=2), gear=(Gear(key="brace", name="Brace set", count=2),), holds_of_gear=holds
    )
    best = cheapest_plan(problem)
    assert best is not None
    for how in EVERY_MODE:
        result = solve(problem, how)
        assert result.status == "planned"
        assert check(problem, result.assignments) == ()


@pytest.mark.parametrize(
    ("held", "says"),
    [
        (hold("dig", "fill", 5), "Dig (one) takes 5 of Brace set at once, and there are 2. Hire 3 more"),
        (hold("dig", "dig", 3), "Dig (one) takes 3 of Brace set at once, and there are 2. Hire 1 more"),
        (hold("", "fill", 3, since=-500), "Work under way holds 3 of Brace set, and there are 2; Fill (one) gives"),
    ],
)
def test_one_hold_of_more_than_there_is_names_the_gear(held: GearHold, says: str) -> None:
    problem = two_tasks(held)
    assert cheapest_plan(problem) is None
    for how in EVERY_MODE:
        (clash,) = solve(problem, how).clashes
        assert clash.says.startswith(says)
    stood = (Assignment(task="dig", start=small.OPENS, end=small.OPENS + 120, crews=("a",)),)
    assert replan(problem, stood, frozenset(), GreedyOnly()).result.clashes[0].says.startswith(says)


def test_gear_that_many_tasks_take_too_much_of_is_named_once() -> None:
    (clash,) = shortage_clashes(two_tasks(hold("dig", "dig", 1), hold("fill", "fill", 2), count=0))
    assert clash.says == (
        "Fill (one) takes 2 of Brace set at once, and there are 0, and 1 more task takes too many. "
        "Hire 2 more, or correct how many it takes."
    )


@pytest.mark.parametrize(
    "holds",
    [
        (hold("dig", "dig", 2), hold("fill", "fill", 2)),
        (hold("", "dig", 2, since=-500), hold("fill", "fill", 1)),
        # A hold against the order of the work lasts no time where both meet.
        (hold("fill", "dig", 3),),
    ],
)
def test_what_need_not_be_out_together_is_not_called_short(holds: tuple[GearHold, ...]) -> None:
    assert shortage_clashes(two_tasks(*holds)) == ()
