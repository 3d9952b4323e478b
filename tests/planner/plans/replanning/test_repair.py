"""A plan made again keeps what need not move."""

from dataclasses import replace

import pytest

from crews.models import Crew, CrewDay
from jobs.models import Branch
from planner.plans.domain.assemble import Assembled
from planner.plans.domain.changes import kept_assignments
from planner.plans.domain.triggers.repair import QUIET_MOVE_DOLLARS, moved, planned_from, settled
from planner.plans.domain.world import World
from planner.plans.services import assembled_for, world_of
from planner.solver.check import check, cost_of
from planner.solver.parameters import Parameters, Repeatable
from planner.solver.result import Result
from tests.planner.plans.replanning.yard import DAY, GREEDY, NOW, build_yard, in_force

pytestmark = pytest.mark.django_db


def problem_of(branch: Branch) -> tuple[World, Assembled]:
    world = world_of(branch=branch, as_of=NOW)
    return world, assembled_for(world, in_force(branch))


@pytest.fixture
def branch() -> Branch:
    return build_yard()


@pytest.mark.parametrize("parameters", [GREEDY, Repeatable(deterministic_seconds=0.2)])
def test_a_plan_that_holds_stays_as_it_is(branch: Branch, parameters: Parameters) -> None:
    world, assembled = problem_of(branch)
    kept = kept_assignments(assembled, world.told)
    found = planned_from(assembled, world.told, parameters)
    assert found.status == "planned"
    assert moved(kept, found.assignments) == 0


@pytest.mark.parametrize("parameters", [GREEDY, Repeatable(deterministic_seconds=0.2)])
def test_only_what_is_broken_moves(branch: Branch, parameters: Parameters) -> None:
    CrewDay.objects.create(crew=Crew.objects.get(branch=branch, key="fence"), on=NOW.date(), off=True)
    world, assembled = problem_of(branch)
    kept = kept_assignments(assembled, world.told)
    found = planned_from(assembled, world.told, parameters)
    assert check(assembled.problem, found.assignments) == ()
    changed = {one.task for one in found.assignments if one.start != kept[one.task].start}
    assert {assembled.tasks[key][1].key for key in changed} == {"fence"}


def test_needless_moves_are_put_back_and_no_rule_is_broken_by_it(branch: Branch) -> None:
    world, assembled = problem_of(branch)
    kept = kept_assignments(assembled, world.told)
    shifted = tuple(
        replace(one, start=one.start + DAY.days * 1440, end=one.end + DAY.days * 1440) for one in kept.values()
    )
    assert moved(kept, shifted) == 3
    assert check(assembled.problem, shifted) == ()
    found = Result(status="planned", assignments=shifted, cost=cost_of(assembled.problem, shifted))
    back = settled(assembled.problem, kept, found)
    assert moved(kept, back.assignments) == 0
    assert check(assembled.problem, back.assignments) == ()
    assert back.cost == cost_of(assembled.problem, back.assignments)


def test_a_move_that_saves_more_than_it_is_worth_stays(branch: Branch) -> None:
    world, assembled = problem_of(branch)
    kept = kept_assignments(assembled, world.told)
    pour = next(key for key, (_, task) in assembled.tasks.items() if task.key == "pour")
    dear = tuple(
        replace(
            task,
            weather=tuple(replace(part, dollars=QUIET_MOVE_DOLLARS + 1) for part in task.weather if part.end <= 2880)
            + tuple(part for part in task.weather if part.end > 2880),
        )
        if task.key == pour
        else task
        for task in assembled.problem.tasks
    )
    problem = replace(assembled.problem, tasks=dear, told=())
    later = replace(kept[pour], start=kept[pour].start + 2 * 1440, end=kept[pour].end + 2 * 1440)
    plan = tuple({**kept, pour: later}.values())
    found = Result(status="planned", assignments=plan, cost=cost_of(problem, plan))
    assert settled(problem, kept, found) == found
