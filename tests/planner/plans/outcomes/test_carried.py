"""A plan worked through a weather keeps every rule: what is hit waits, or what is left is laid anew and costs less."""

from dataclasses import replace
from random import Random

import pytest

from planner.plans.outcomes.carried import Carrying
from planner.plans.outcomes.weathers import Weather
from planner.solver.axis import Axis
from planner.solver.check import check, cost_of
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Problem, Promise, StartWeather
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.planner.solver.company_problems import company_problem
from tests.planner.solver.small import days, work
from tests.planner.solver.small import problem as small_problem

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
def test_what_waits_keeps_every_rule_and_starts_no_earlier(number: int) -> None:
    problem = company_problem(5, number)
    plan = solve(problem, GreedyOnly()).assignments
    before = {one.task: one for one in plan}
    assert Carrying(problem, plan, WetDays(problem, frozenset())).through(ANY).plan == plan

    wet = frozenset(Random(number).sample(range(90), 30))
    risks = WetDays(problem, wet)
    carried = Carrying(problem, plan, risks).waiting(ANY)
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


@pytest.mark.parametrize("number", range(3))
def test_what_is_laid_anew_keeps_every_rule_and_what_was_done_before_the_break(number: int) -> None:
    problem = company_problem(5, number)
    plan = solve(problem, GreedyOnly()).assignments
    before = {one.task: one for one in plan}
    wet = frozenset(Random(number).sample(range(90), 30))
    risks = WetDays(problem, wet)
    carrying = Carrying(problem, plan, risks)
    waited, worked = carrying.waiting(ANY), carrying.through(ANY)

    def is_hit(one: Assignment) -> bool:
        return risks.is_exposed(one.task) and risks.lost_days(ANY, one.task, one.start, one.end) > 0

    pinned = {task.key for task in problem.tasks if task.pin is not None}
    broken_at = min(one.start for one in plan if is_hit(one) and one.task not in pinned)
    day = Axis.of(problem).day_opens(Axis.of(problem).day_index(broken_at))
    dry = replace(problem, tasks=tuple(replace(one, weather=()) for one in problem.tasks))
    assert len(worked.plan) == len(plan) >= len(waited.plan)
    assert len(waited.plan) < len(plan) or cost_of(dry, worked.plan).total <= cost_of(dry, waited.plan).total
    assert [one for one in check(problem, worked.plan) if one.rule != "latest"] == []
    assert all(before[one.task] == one for one in worked.plan if before[one.task].start < broken_at)
    assert all(one.start >= min(day, before[one.task].start) for one in worked.plan)
    if worked != waited:
        assert [one.task for one in worked.plan if is_hit(one) and one.task not in pinned] == []


def test_a_crew_does_other_work_while_the_sky_keeps_it_from_its_own() -> None:
    # One crew, a day's work outdoors planned for Monday and one under a roof for Tuesday, both promised for Tuesday.
    outdoors = work("outdoors", 480, "a", weather=(StartWeather(start=0, end=14400, forbidden=False, dollars=1),))
    indoors = work("indoors", 480, "a")
    of = days(10)
    due = tuple(Promise(job="one", task=key, due=of[1].closes, dollars_per_day=100) for key in ("outdoors", "indoors"))
    asked = small_problem(10, (outdoors, indoors), promises=due)
    plan = tuple(
        Assignment(task=key, start=of[day].opens, end=of[day].closes, crews=("a",))
        for day, key in enumerate(("outdoors", "indoors"))
    )
    assert check(asked, plan) == ()
    carrying = Carrying(asked, plan, WetDays(asked, frozenset({0})))
    waited = carrying.waiting(ANY).ends
    assert waited == {"outdoors": of[1].closes, "indoors": of[2].closes}, "a day late"
    worked = carrying.through(ANY)
    assert worked.ends == {"outdoors": of[1].closes, "indoors": of[0].closes}
    assert worked.waits == {"outdoors": 1440}


def test_what_is_not_planned_yet_is_left_out() -> None:
    problem = company_problem(5, 1)
    plan = solve(problem, GreedyOnly()).assignments
    gone = problem.tasks[-1].job
    jobs = {task.key: task.job for task in problem.tasks}
    some = tuple(one for one in plan if jobs[one.task] != gone)
    assert len(some) < len(plan)
    assert Carrying(problem, some, WetDays(problem, frozenset())).through(ANY).plan == some
