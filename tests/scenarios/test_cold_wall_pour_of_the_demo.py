"""The demo's wall pour holds braces and backfill longer on a cold day than on a warm one, in the plan and in words."""

import re
from dataclasses import dataclass, replace
from datetime import timedelta

from jobs.domain.facts import JobFacts
from jobs.models import Branch
from planner.plans.domain.assemble import assemble
from planner.plans.domain.binding import Gatekeeper
from planner.plans.domain.story import start_lines
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import Stay, World
from planner.plans.services import world_of
from planner.solver.check import check
from planner.solver.parameters import GreedyOnly
from planner.solver.solve import solve
from tests.planner.web.company import NOW

POOL = "Heron Lane"
COLD_C, WARM_C = 6.0, 24.0


@dataclass(frozen=True)
class Planned:
    world: World
    job: JobFacts
    stays: dict[str, Stay]
    printed: tuple[str, ...]

    def held(self, key: str) -> timedelta:
        """From the end of the wall pour to the start of what waits for its strength."""
        return self.stays[key].start_at - self.stays["pour_walls"].end_at

    def why(self, key: str) -> str:
        gates = Gatekeeper(self.world, tuple(self.stays.values())).every(self.job, self.job.task(key))
        return next(gate.why for gate in gates if "28-day strength" in gate.why)


def planned(branch: Branch, air_c: float) -> Planned:
    """The demo's pool, its sky as it is but for the temperature of the air."""
    one = world_of(branch=branch, as_of=NOW)
    [pool] = [each for each in one.jobs if each.name == POOL]
    sky = one.skies[pool.site.id]
    assert sky.series is not None
    hours = len(sky.series.air_temp_c)
    dry = {"rain_chance": (0.0,) * hours, "rain_mm": (0.0,) * hours, "dew_point_c": (air_c - 8,) * hours}
    series = replace(sky.series, air_temp_c=(air_c,) * hours, **dry)
    usual = tuple(tuple(replace(hour, air_mean_c=air_c) for hour in month) for month in one.climate.hours)
    world = replace(
        one,
        jobs=(pool,),
        skies={pool.site.id: replace(sky, series=series)},
        climate=replace(one.climate, hours=usual),
    )
    assembled = assemble(world, first_on=NOW.date(), horizon_days=80)
    result = solve(assembled.problem, GreedyOnly())
    assert result.status == "planned", result.clashes
    assert check(assembled.problem, result.assignments) == ()
    stays = {}
    for made in result.assignments:
        _, task = assembled.tasks[made.task]
        start_at, end_at = assembled.line.at(made.start), assembled.line.at(made.end)
        stays[task.key] = Stay(task=task.id, start_at=start_at, end_at=end_at, crews=made.crews)
    printed = tuple(start_lines(assembled, result.assignments, waits=Waits(world)))
    return Planned(world=world, job=pool, stays=stays, printed=printed)


def test_the_printed_plan_says_how_long_and_at_which_temperature(branch: Branch) -> None:
    for air_c in (COLD_C, WARM_C):
        one = planned(branch, air_c)
        at = next(n for n, line in enumerate(one.printed) if "Take off bracing" in line)
        said = one.printed[at + 1]
        assert "strength after “Pour walls" in said
        assert one.why("strip_braces") in said
        ready_at = one.stays["pour_walls"].end_at + timedelta(hours=_hours(said))
        assert ready_at - timedelta(minutes=31) <= one.stays["strip_braces"].start_at
        assert "That is " in said


def _hours(why: str) -> float:
    said = re.search(r"(\d+) h at about \d+ °F \((\d+) °C\)", why)
    assert said is not None, why
    return float(said[1])


def test_the_same_wall_pour_holds_longer_in_the_cold(branch: Branch) -> None:
    cold, warm = (planned(branch, air_c) for air_c in (COLD_C, WARM_C))
    assert cold.stays["pour_walls"].start_at == warm.stays["pour_walls"].start_at
    for key in ("strip_braces", "backfill"):
        assert cold.held(key) >= warm.held(key)
        assert _hours(cold.why(key)) > _hours(warm.why(key))
    # Insulated forms keep the heat in, so that hours are lost, not days; the fill waits for other work as well.
    assert cold.held("strip_braces") >= warm.held("strip_braces") + timedelta(hours=2)
