"""A plan carried through a weather keeps every rule, and nothing of it starts before it was planned."""

from random import Random

import pytest

from planner.plans.outcomes.carried import Carrying
from planner.plans.outcomes.weathers import Weather
from planner.solver.axis import Axis
from planner.solver.check import check
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Problem
from planner.solver.solve import solve
from tests.planner.solver.company_problems import company_problem

ANY = Weather(storms={}, winds={}, airs={})


class WetDays:
    """Days on which nothing exposed may be done, whatever the weather."""

    def __init__(self, problem: Problem, wet: frozenset[int]) -> None:
        self._axis = Axis.of(problem)
        self._wet = wet
        self._exposed = {task.key for task in problem.tasks if task.weather}

    def is_exposed(self, task: str) -> bool:
        return task in self._exposed

    def step_of(self, minute: int) -> tuple[int, int]:
        return minute, minute + 120

    def hit(self, weather: Weather, task: str, start: int, end: int) -> bool:
        return self._axis.day_index(start) in self._wet

    def lost_days(self, weather: Weather, task: str, start: int, end: int) -> int:
        return sum(day in self._wet for day in range(self._axis.day_index(start), self._axis.day_index(end - 1) + 1))

    def worked_days(self, start: int, end: int) -> int:
        return self._axis.day_index(end) - self._axis.day_index(start)


@pytest.mark.parametrize("number", range(3))
def test_what_is_carried_keeps_every_rule_and_starts_no_earlier(number: int) -> None:
    problem = company_problem(5, number)
    plan = solve(problem, GreedyOnly()).assignments
    before = {one.task: one for one in plan}
    assert Carrying(problem, plan, WetDays(problem, frozenset())).through(ANY).plan == plan

    wet = frozenset(Random(number).sample(range(90), 30))
    risks = WetDays(problem, wet)
    carried = Carrying(problem, plan, risks).through(ANY)
    late = [one.task for one in carried.plan if one.start > before[one.task].start]
    assert late
    assert all(one.start >= before[one.task].start for one in carried.plan)
    placed = {one.task for one in carried.plan}
    breaches = [one for one in check(problem, carried.plan) if one.rule not in ("assigned", "latest")]
    assert [one for one in breaches if one.task in placed] == []
    exposed_days = [
        one
        for one in carried.plan
        if risks.is_exposed(one.task)
        and risks.lost_days(ANY, one.task, one.start, one.end) == 1
        and Axis.of(problem).day_index(one.start) == Axis.of(problem).day_index(one.end - 1)
    ]
    pinned = {task.key for task in problem.tasks if task.pin is not None}
    assert {one.task for one in exposed_days} <= pinned


def test_what_is_not_planned_yet_is_left_out() -> None:
    problem = company_problem(5, 1)
    plan = solve(problem, GreedyOnly()).assignments
    gone = problem.tasks[-1].job
    jobs = {task.key: task.job for task in problem.tasks}
    some = tuple(one for one in plan if jobs[one.task] != gone)
    assert len(some) < len(plan)
    assert Carrying(problem, some, WetDays(problem, frozenset())).through(ANY).plan == some
