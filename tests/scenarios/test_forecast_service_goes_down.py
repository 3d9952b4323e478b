"""Five real days at one site in Georgia: dry, wet, wet, the service answers 503, wet again.

Source: recorded hourly replies of 30 July to 4 August 2026; on 3 August the service answered 503, while another
service was up. What stands in that day is a reply of our own, or the numbers that other service gave.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from planner.forecast.domain.chance import chance_of_rain
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.site_sky import SiteSky
from planner.forecast.models import ForecastRun
from planner.forecast.skies import pull_for_branch
from tests.planner.forecast.recordings import recorded_open_meteo
from tests.planner.forecast.test_open_meteo import as_one_model
from tests.planner.forecast.written import met_reply
from tests.scenarios.outage import DAYS, SITE, ZONE, World, made_up_climate, open_world


@pytest.fixture
def world(db: None, settings: Any) -> Iterator[World]:
    yield from open_world(settings)


def highest(sky: SiteSky, from_at: datetime, hours: int) -> float:
    assert sky.series is not None
    values = sky.series.between("rain_chance", from_at, from_at + timedelta(hours=hours))
    return max(value for value in values if value is not None)


def test_five_days_with_an_outage_end_with_the_right_source_and_flag(world: World) -> None:
    world.serve("07-30")
    pulled, sky = world.pull("07-30")
    assert (pulled.fresh, pulled.failures) == (1, ())
    assert "has not sent a current forecast" in pulled.notes[0]
    assert sky.series is not None
    assert (sky.series.source, sky.freshness, sky.stands_in) == ("nws_hourly", Freshness.FRESH, True)
    assert highest(sky, DAYS["07-30"], 12) == 0.0

    for day, chance in (("08-01", 0.84), ("08-02", 0.55)):
        world.serve(day)
        _, sky = world.pull(day)
        assert sky.freshness is Freshness.FRESH
        assert highest(sky, DAYS[day], 12) == chance
    before = sky.run

    world.serve("08-03", met=met_reply(DAYS["08-03"].replace(minute=0), rain=lambda at: 4.0 if at.hour == 20 else 0.0))
    pulled, sky = world.pull("08-03")
    assert sky.series is not None
    assert (sky.series.source, sky.freshness, sky.stands_in) == ("met", Freshness.FRESH, True)
    assert sky.run != before
    assert pulled.failures == ()
    assert len(pulled.notes) == 2
    assert highest(sky, DAYS["08-03"], 12) == pytest.approx(0.45)

    world.serve("08-04")
    pulled, sky = world.pull("08-04")
    assert sky.series is not None
    assert (sky.series.source, sky.freshness) == ("nws_hourly", Freshness.FRESH)
    assert sky.series.issued_at == datetime(2026, 8, 4, 10, 7, 20, tzinfo=UTC)
    assert highest(sky, DAYS["08-04"], 12) == 0.64
    assert list(ForecastRun.objects.order_by("fetched_at").values_list("source", flat=True)) == [
        "nws_hourly",
        "nws_hourly",
        "nws_hourly",
        "met",
        "nws_hourly",
    ]
    # What was known on the day of the outage is still told as it was.
    then = world.sky(DAYS["08-03"]).series
    assert then is not None
    assert then.source == "met"


def test_the_last_of_the_chain_stands_in_when_two_services_are_down(world: World) -> None:
    """Source: what the other service said on 3 August 2026, one model's columns."""
    world.serve("08-02")
    world.pull("08-02")
    said = as_one_model(recorded_open_meteo("statham_multimodel_2026-08-03T1321Z"), "ncep_nbm_conus")
    world.serve("08-03", own=said)
    pulled, sky = world.pull("08-03")
    assert sky.series is not None
    assert (sky.series.source, sky.freshness, sky.stands_in) == ("open_meteo", Freshness.FRESH, True)
    assert len(pulled.notes) == 3
    assert sky.series.value("rain_chance", DAYS["08-03"] - timedelta(days=3)) is None
    afternoon = datetime(2026, 8, 3, 18, tzinfo=UTC)
    index = said["hourly"]["time"].index("2026-08-03T19:00")
    assert sky.series.value("rain_chance", afternoon) == said["hourly"]["precipitation_probability"][index] / 100


def test_with_everything_down_yesterday_is_shown_with_its_age_and_reads_no_drier_than_climate(world: World) -> None:
    world.serve("07-30")
    world.pull("07-30")
    world.serve("08-03")
    now = DAYS["07-30"] + timedelta(hours=20)
    pulled = pull_for_branch(branch=world.branch, sites=(SITE,), now=now)
    sky = world.sky(now)
    assert sky.series is not None
    assert (sky.series.source, sky.freshness) == ("nws_hourly", Freshness.STALE)
    assert len(pulled.failures) == 1
    assert (pulled.runs, pulled.fresh) == ((), 0)
    climate = made_up_climate()
    window = (now.replace(hour=17, minute=0), now.replace(hour=21, minute=0))

    def chance(sky: SiteSky) -> float:
        found = chance_of_rain(sky.series, climate, *window, 0.254, ZoneInfo(ZONE), freshness=sky.freshness)
        return found.probability

    unknown = chance_of_rain(None, climate, *window, 0.254, ZoneInfo(ZONE), freshness=Freshness.DOWN).probability
    assert unknown > 0.05
    assert chance(sky) >= unknown
    down = world.sky(DAYS["08-03"])
    assert down.freshness is Freshness.DOWN


def test_a_late_copy_of_an_older_run_changes_nothing(world: World) -> None:
    world.serve("08-04")
    _, sky = world.pull("08-04")
    world.serve("08-02")
    later = DAYS["08-04"] + timedelta(hours=3)
    pull_for_branch(branch=world.branch, sites=(SITE,), now=later)
    again = world.sky(later)
    assert (again.run, again.freshness) == (sky.run, Freshness.FRESH)
    assert ForecastRun.objects.count() == 2
