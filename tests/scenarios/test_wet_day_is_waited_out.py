"""A pour that could go on a wet day stands on the dry day after it, and the print says what the wait is worth.

The demo's recorded week: Monday and Tuesday dry by day, rain from Tuesday night to Thursday, Friday dry.
"""

from datetime import date
from zoneinfo import ZoneInfo

from jobs.models import Branch
from planner.plans.domain.outlook import skies_of, waited_for, worth_waiting
from planner.plans.domain.story import sky_lines
from planner.plans.services import make_plan
from planner.solver.parameters import GreedyOnly
from tests.planner.web.company import NOW

ZONE = ZoneInfo("America/New_York")
# A slab poured on Tuesday is not rain-safe before the night.
WET_DAYS = {date(2026, 6, 9), date(2026, 6, 10), date(2026, 6, 11)}


def test_a_pour_waits_for_the_dry_day(branch: Branch) -> None:
    made = make_plan(branch=branch, as_of=NOW, parameters=GreedyOnly())
    key = next(
        key
        for key, (job, task) in made.assembled.tasks.items()
        if job.name == "Millrace Court" and task.key == "pour_floor"
    )
    planned = next(one for one in made.result.assignments if one.task == key)
    planned_on = made.assembled.line.at(planned.start).astimezone(ZONE).date()
    assert planned_on not in WET_DAYS
    wait = waited_for(made.world, made.assembled, made.result.assignments, key)
    assert wait is not None
    assert wait.earlier_at.astimezone(ZONE).date() in WET_DAYS
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
    assert any(wait.earlier_at.astimezone(ZONE).date() in WET_DAYS for wait in waits)
