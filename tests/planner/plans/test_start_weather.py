"""What tasks and sites share of the weather of their starts changes nothing of it."""

from dataclasses import replace

from planner.forecast.domain.outside.alerts import Alert
from planner.plans.domain.assemble import assemble
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import Judges, World
from planner.solver.problem import StartWeather
from tests.planner.dayplans.domain.worlds import AS_OF, FAR_SITE, ON, at, job, series, sky, task, world

DIG, POUR = task("dig", 1, bookings=()), task("pour_walls", 2, bookings=())
FAR_DIG, FAR_POUR = (task(key, number, site=FAR_SITE, bookings=()) for key, number in (("dig", 3), ("pour_walls", 4)))
NEAR, FAR = job(DIG, POUR), job(FAR_DIG, FAR_POUR, name="Mill Pond", number=2)
SKIES = {1: sky(series({"rain_chance": 0.3}, hours=72)), 2: sky(series({"rain_chance": 0.1}, hours=120))}
FLOOD = Alert(
    message_id="one",
    event_key="one",
    action="NEW",
    event="Flash Flood Warning",
    message_type="Alert",
    status="Actual",
    severity="Severe",
    certainty="Likely",
    urgency="Immediate",
    headline="Flash flood",
    instruction="",
    area="",
    sender="",
    sent_at=AS_OF,
    starts_at=at(8),
    until_at=at(12),
)


def weathers(one: World) -> dict[str, tuple[StartWeather, ...]]:
    return {row.key: row.weather for row in assemble(one, first_on=ON, horizon_days=60).problem.tasks}


def test_two_sites_together_have_the_weather_of_each_alone() -> None:
    together = weathers(world(NEAR, FAR, skies=SKIES))
    assert together == weathers(world(NEAR, skies=SKIES)) | weathers(world(FAR, skies=SKIES))
    assert together["1.pour_walls"] != together["2.pour_walls"]
    assert together["1.pour_walls"][-1] == together["2.pour_walls"][-1]


def test_a_warning_at_one_site_stays_there() -> None:
    warned = replace(SKIES[1], alerts=(FLOOD,))
    told, calm = weathers(world(NEAR, FAR, skies=SKIES | {1: warned})), weathers(world(NEAR, FAR, skies=SKIES))
    assert told["1.dig"] != calm["1.dig"]
    assert told["2.dig"] == calm["2.dig"]


def test_judges_and_waits_that_were_used_before_say_the_same() -> None:
    one = world(NEAR, FAR, skies=SKIES)
    judges, waits = Judges(one), Waits(one)
    for days in (20, 60):
        used = assemble(one, first_on=ON, horizon_days=days, judges=judges, waits=waits)
        assert used == assemble(one, first_on=ON, horizon_days=days)
