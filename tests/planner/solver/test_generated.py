"""Every plan of a generated branch passes the checker, and a plan spoiled in any one way does not."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache

import pytest

from planner.solver.check import check, cost_of
from planner.solver.faults import find_faults
from planner.solver.parameters import GreedyOnly, Repeatable
from planner.solver.problem import Drive, Preparing, Problem, Span, Task
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.planner.solver.company_problems import company_problem

Plan = tuple[Assignment, ...]
Spoiler = Callable[[Problem, Plan], tuple[Problem, Plan]]


@pytest.mark.parametrize(("pools", "number"), [*((1, n) for n in range(6)), *((4, n) for n in range(6)), (12, 0)])
def test_every_greedy_plan_of_a_branch_passes(pools: int, number: int) -> None:
    problem = company_problem(pools, number)
    assert find_faults(problem) == ()
    result = solve(problem, GreedyOnly())
    assert result.status == "planned", result.clashes
    assert check(problem, result.assignments) == ()
    assert result.cost == cost_of(problem, result.assignments)


def test_the_engines_plan_of_a_branch_passes_and_costs_no_more() -> None:
    problem = company_problem(4, 1)
    greedy = solve(problem, GreedyOnly())
    engine = solve(problem, Repeatable(deterministic_seconds=0.5))
    assert check(problem, engine.assignments) == ()
    assert engine.cost.total <= greedy.cost.total


def test_a_branch_is_the_same_each_time_it_is_made() -> None:
    assert company_problem(12, 3) == company_problem(12, 3)
    assert company_problem(12, 3) != company_problem(12, 4)


@cache
def planned() -> tuple[Problem, Plan]:
    """A branch of four with a task under way, and its plan."""
    for number in range(20):
        problem = company_problem(4, number)
        if any(task.pin is not None for task in problem.tasks):
            return problem, solve(problem, GreedyOnly()).assignments
    raise AssertionError("no branch with work under way among the first twenty")


def moved(plan: Plan, task: str, **changes: object) -> Plan:
    return tuple(replace(one, **changes) if one.task == task else one for one in plan)  # type: ignore[arg-type]


def pairs(problem: Problem, plan: Plan) -> Iterator[tuple[Task, Assignment]]:
    """The open, free tasks with their assignments."""
    by_key = {one.task: one for one in plan}
    return ((task, by_key[task.key]) for task in problem.tasks if task.pin is None)


def shifted(plan: Plan, one: Assignment, start: int) -> Plan:
    return moved(plan, one.task, start=start, end=one.end + start - one.start)


def spoil_assigned(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    return problem, plan[1:]


def spoil_pin(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    pinned = next(task for task in problem.tasks if task.pin is not None)
    return problem, moved(plan, pinned.key, start=problem.days[1].opens)


def spoil_grid(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    _, one = next(pairs(problem, plan))
    return problem, shifted(plan, one, one.start + 1)


def spoil_run(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    _, one = next(pairs(problem, plan))
    return problem, moved(plan, one.task, end=one.end + problem.grid_minutes)


def spoil_opening(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    opens = {window.start for calendar in problem.calendars for window in calendar.windows}
    task, _ = next((t, a) for t, a in pairs(problem, plan) if a.start not in opens)
    return replaced(problem, replace(task, opening_only=True)), plan


def spoil_start_by(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    opens = {day.opens for day in problem.days}
    task, _ = next((t, a) for t, a in pairs(problem, plan) if a.start not in opens)
    return replaced(problem, replace(task, start_by_minutes=0)), plan


def spoil_earliest(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    task, one = next(pairs(problem, plan))
    return replaced(problem, replace(task, earliest=one.start + 1)), plan


def spoil_latest(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    task, one = next(pairs(problem, plan))
    return replaced(problem, replace(task, latest_start=one.start - 1)), plan


def spoil_window(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    task, one = next(pairs(problem, plan))
    return replaced(problem, replace(task, windows=(Span(start=one.start, end=one.end - 1),))), plan


def spoil_weather(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    task, one = next((t, a) for t, a in pairs(problem, plan) if t.weather)
    wet = tuple(replace(sky, forbidden=sky.start <= one.start, ways=()) for sky in task.weather)
    return replaced(problem, replace(task, weather=wet)), plan


def spoil_crew(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    task, one = next((t, a) for t, a in pairs(problem, plan) if t.needs)
    listed = {option.crew for need in task.needs for option in need.options}
    other = next(crew.key for crew in problem.crews if crew.key not in listed)
    return problem, moved(plan, one.task, crews=(other, *one.crews[1:]))


def spoil_one_place(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    working = [one for _, one in pairs(problem, plan) if one.crews]
    first = working[0]
    second = next(one for one in working[1:] if set(one.crews) & set(first.crews))
    return problem, shifted(plan, second, first.start)


def spoil_link(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    starts = {one.task: one for one in plan}
    after = {task.key for task in problem.tasks if task.pin is None}
    link = next(link for link in problem.links if link.after in after)
    return problem, shifted(plan, starts[link.after], starts[link.before].end - problem.grid_minutes)


def spoil_longest_wait(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    starts = {one.task: one for one in plan}
    link = next(link for link in problem.links if link.max_minutes is not None)
    wait = starts[link.after].start - starts[link.before].end
    tight = tuple(replace(one, max_minutes=wait - 1, min_minutes=0) if one == link else one for one in problem.links)
    return replace(problem, links=tight), plan


def spoil_gear(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    return replace(problem, gear=tuple(replace(gear, count=0) for gear in problem.gear)), plan


def spoil_limit(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    return replace(problem, limits=tuple(replace(limit, count=0) for limit in problem.limits)), plan


def spoil_drive(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    """The same tasks, each on a site of its own, half a day from all others."""
    sites = {task.key: f"site of {task.key}" for task in problem.tasks}
    tasks = tuple(replace(task, site=sites[task.key]) for task in problem.tasks)
    keys = list(sites.values())
    drives = tuple(Drive(sites=(here, there), minutes=600) for at, here in enumerate(keys) for there in keys[at + 1 :])
    return replace(problem, tasks=tasks, drives=drives), plan


def spoil_preparing(problem: Problem, plan: Plan) -> tuple[Problem, Plan]:
    """What is prepared takes time the plan does not give it."""
    task, _ = next((t, a) for t, a in pairs(problem, plan) if t.weather and t.run == "work")
    way = Preparing(title="sheet", dollars=0, loss_dollars=0, minutes=problem.grid_minutes)
    weather = tuple(replace(sky, ways=(way,), settled=True) for sky in task.weather)
    return replaced(problem, replace(task, weather=weather)), plan


def replaced(problem: Problem, task: Task) -> Problem:
    return replace(problem, tasks=tuple(task if one.key == task.key else one for one in problem.tasks))


SPOILERS: tuple[tuple[str, Spoiler], ...] = (
    ("assigned", spoil_assigned),
    ("pin", spoil_pin),
    ("grid", spoil_grid),
    ("run", spoil_run),
    ("opening", spoil_opening),
    ("start_by", spoil_start_by),
    ("earliest", spoil_earliest),
    ("latest", spoil_latest),
    ("window", spoil_window),
    ("weather", spoil_weather),
    ("run", spoil_preparing),
    ("crew", spoil_crew),
    ("one_place", spoil_one_place),
    ("drive", spoil_drive),
    ("link", spoil_link),
    ("link", spoil_longest_wait),
    ("gear", spoil_gear),
    ("limit", spoil_limit),
)


@pytest.mark.parametrize(("rule", "spoil"), SPOILERS, ids=[spoil.__name__ for _, spoil in SPOILERS])
def test_a_spoiled_plan_is_caught_by_its_rule(rule: str, spoil: Spoiler) -> None:
    problem, plan = planned()
    assert check(problem, plan) == ()
    assert rule in {breach.rule for breach in check(*spoil(problem, plan))}
