"""Fewer people came: the day holds less work, and below the least a task needs it waits."""

from datetime import date

import pytest

from crews.models import Crew, CrewDay
from jobs.models import Branch
from planner.plans.domain.assemble import assemble
from planner.plans.services import world_of
from planner.solver.check import check
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Problem
from planner.solver.solve import solve
from tests.planner.web.company import NOW

MONDAY, TUESDAY = date(2026, 6, 8), date(2026, 6, 9)


def problem_with(branch: Branch, people: int) -> Problem:
    crew = Crew.objects.get(branch=branch, key="liners")
    CrewDay.objects.create(crew=crew, on=TUESDAY, head_count=people)
    return assemble(world_of(branch=branch, as_of=NOW, with_told=False), first_on=MONDAY, horizon_days=120).problem


def tuesday_minutes(problem: Problem, task: str) -> int:
    """Minutes the liner crew may work on Tuesday at a task of Orchard Row."""
    found = next(one for one in problem.tasks if one.key.endswith(f".{task}") and one.job == "Orchard Row")
    option = next(one for one in found.needs[0].options if one.crew == "liners")
    spans = next(one for one in problem.calendars if one.key == option.calendar).windows
    day = problem.days[(TUESDAY - MONDAY).days]
    return sum(span.end - span.start for span in spans if day.opens <= span.start < day.closes)


@pytest.mark.parametrize(
    ("people", "foam_minutes", "drop_minutes"),
    [
        # Three of four: three quarters of 510 minutes, on the quarter hour; the drop needs all four.
        pytest.param(3, 375, 0, id="one missing"),
        pytest.param(1, 0, 0, id="one came"),
    ],
)
def test_the_day_holds_less(branch: Branch, people: int, foam_minutes: int, drop_minutes: int) -> None:
    problem = problem_with(branch, people)
    assert tuesday_minutes(problem, "floor_foam") == foam_minutes
    assert tuesday_minutes(problem, "drop_liner") == drop_minutes


def test_the_plan_keeps_to_it(branch: Branch) -> None:
    problem = problem_with(branch, 1)
    result = solve(problem, GreedyOnly())
    assert check(problem, result.assignments) == ()
    day = problem.days[(TUESDAY - MONDAY).days]
    assert not [one for one in result.assignments if "liners" in one.crews and day.opens <= one.start < day.closes]
