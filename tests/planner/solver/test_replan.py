"""A standing plan after a change: checked, the same each time, and no more taken up than the change asks for."""

from dataclasses import replace
from functools import cache

import pytest

from planner.solver.check import check
from planner.solver.parameters import GreedyOnly, Repeatable
from planner.solver.problem import Link, Problem, Task, Told
from planner.solver.replan import replan
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.planner.solver import small
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.engine_cases import at

NOTHING: frozenset[str] = frozenset()


@cache
def standing_plan(number: int) -> tuple[Problem, tuple[Assignment, ...]]:
    """A branch of six pools with its plan, and people told of everything in the first ten days."""
    problem = company_problem(6, number)
    plan = solve(problem, GreedyOnly()).assignments
    pinned = {task.key for task in problem.tasks if task.pin is not None}
    told = tuple(
        Told(task=one.task, start=one.start, crews=one.crews, move_dollars=60, day_dollars=20, crew_dollars=60)
        for one in plan
        if one.start < problem.days[10].opens and one.task not in pinned
    )
    return replace(problem, told=told), plan


def with_wet_day(problem: Problem, plan: tuple[Assignment, ...]) -> Problem:
    """The same with rain on the first day on which an exposed task was to start."""
    exposed = {task.key for task in problem.tasks if task.weather and task.pin is None}
    first = min(one.start for one in plan if one.task in exposed)
    day = next(day for day in problem.days if day.opens <= first < day.closes)
    return replace(problem, tasks=tuple(_wet(task, day.opens, day.closes) for task in problem.tasks))


def _wet(task: Task, opens: int, closes: int) -> Task:
    return replace(
        task,
        weather=tuple(
            replace(one, forbidden=True, ways=()) if opens <= one.start < closes else one for one in task.weather
        ),
    )


@pytest.mark.parametrize("number", [0, 1, 2, 3, 4])
def test_one_wet_day_moves_little(number: int) -> None:
    problem, plan = standing_plan(number)
    wet = with_wet_day(problem, plan)
    assert check(wet, plan)
    done = replan(wet, plan, NOTHING, GreedyOnly())
    assert done.result.status == "planned"
    assert check(wet, done.result.assignments) == ()
    assert set(done.broken) <= set(done.moved)
    stood = {one.task: one for one in plan}
    assert set(done.moved) == {
        one.task
        for one in done.result.assignments
        if (one.start, one.crews) != (stood[one.task].start, stood[one.task].crews)
    }
    from_nothing = solve(replace(wet, told=()), GreedyOnly()).assignments
    assert len(done.moved) <= sum(one not in plan for one in from_nothing)


def test_the_search_goes_on_from_there_and_never_gets_dearer() -> None:
    problem, plan = standing_plan(1)
    wet = with_wet_day(problem, plan)
    quick = replan(wet, plan, NOTHING, GreedyOnly())
    seen: list[int] = []
    twice = [
        replan(wet, plan, NOTHING, Repeatable(deterministic_seconds=0.5), on_progress=lambda p: seen.append(p.dollars))
        for _ in range(2)
    ]
    assert twice[0] == twice[1]
    assert check(wet, twice[0].result.assignments) == ()
    assert twice[0].result.cost.total <= quick.result.cost.total <= seen[0]


def test_a_sound_plan_stays_as_it_is() -> None:
    problem, plan = standing_plan(2)
    done = replan(problem, plan, NOTHING, GreedyOnly())
    assert (done.broken, done.told_again) == ((), ())


def two_on_one_pool() -> Problem:
    tasks = (small.work("dig", 240, "a", earliest=at(1)), small.work("pipe", 240, "a"), small.work("other", 240, "b"))
    told = (Told(task="pipe", start=at(0, 240), crews=("a",), move_dollars=60, day_dollars=20, crew_dollars=60),)
    return small.problem(5, tasks, crews=2, links=(Link(before="dig", after="pipe", kind="after"),), told=told)


def test_what_follows_a_broken_start_moves_with_it_and_who_is_told_is_named() -> None:
    standing = (
        Assignment(task="dig", start=at(0), end=at(0, 240), crews=("a",)),
        Assignment(task="pipe", start=at(0, 240), end=at(0, 480), crews=("a",)),
        Assignment(task="other", start=at(2), end=at(2, 240), crews=("b",)),
    )
    done = replan(two_on_one_pool(), standing, NOTHING, GreedyOnly())
    starts = {one.task: one.start for one in done.result.assignments}
    assert (starts["dig"], starts["pipe"]) == (at(1), at(1, 240))
    assert done.broken == ("dig",)
    assert (done.told_again, done.crews_told_again) == (("pipe",), ("a",))


def test_a_plan_of_nothing_is_made_from_nothing() -> None:
    problem = company_problem(3, 1)
    done = replan(problem, (), NOTHING, GreedyOnly())
    assert check(problem, done.result.assignments) == ()


def test_a_task_without_any_start_is_named() -> None:
    problem = small.problem(2, (small.work("dig", 600, "a"),))
    assert [clash.task for clash in replan(problem, (), NOTHING, GreedyOnly()).result.clashes] == ["dig"]
