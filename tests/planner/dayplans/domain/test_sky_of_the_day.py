"""The hourly sky, its source and age, and the heat on people."""

from dataclasses import replace
from datetime import timedelta

import pytest

from planner.dayplans.domain.sky import age_words
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.text import day_plan_text
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.outside.providers import PROVIDERS, Provider
from planner.forecast.domain.site_sky import SiteSky
from planner.watch.domain.heat import heat_reading
from tests.jobs.science.worked_examples import rows_of
from tests.planner.dayplans.domain.worlds import AS_OF, at, job, plan, series, sky, stay, task, world

POUR = task("pour_floor", 1)


def facts(over: SiteSky | None):
    skies = {1: over} if over is not None else {}
    return plan(world(job(POUR), skies=skies), stay(POUR, at(7), at(14), "forms"))


def test_hours_run_from_five_to_nine_with_night_marked() -> None:
    """Sunrise at 40.6 N 74.4 W on 16 June is 5:26 am, sunset 8:30 pm (from memory, astronomical almanac to 2 min)."""
    found = facts(sky())
    assert [hour.starts_at for hour in found.sky] == [at(hour) for hour in range(5, 21)]
    assert [hour.starts_at for hour in found.sky if hour.night] == []
    assert abs(found.sunrise_at - at(5, day=16) - timedelta(minutes=26)) <= timedelta(minutes=2)
    assert abs(found.sunset_at - at(20.5)) <= timedelta(minutes=2)


def test_a_southern_evening_in_june_is_night() -> None:
    north = replace(POUR.site, latitude=62.0)
    light = plan(
        world(job(replace(POUR, site=north)), skies={1: sky(series(start_at=at(12, day=15)))}),
        stay(POUR, at(7), at(14), "forms"),
    )
    assert not any(hour.night for hour in light.sky)
    south = replace(POUR.site, latitude=-45.0)
    dark = plan(world(job(replace(POUR, site=south))), stay(POUR, at(7), at(14), "forms"))
    assert [hour.night for hour in dark.sky].count(True) >= 6


def test_unknown_values_stay_unknown() -> None:
    found = facts(sky(series(spells={"rain_chance": (at(10), at(12), None)})))
    assert [hour.rain_chance for hour in found.sky if hour.rain_chance is None] == [None, None]


def test_a_day_past_the_forecast_has_no_hours_and_says_so() -> None:
    found = facts(sky(series(hours=4)))
    assert found.sky == ()
    assert found.heat is None


@pytest.mark.parametrize("provider", PROVIDERS.values(), ids=PROVIDERS)
def test_every_service_is_named_and_credited_as_its_licence_asks(provider: Provider) -> None:
    """Source: CC BY 4.0, section 3(a), for the two services under it: who, which licence, that it was changed."""
    found = facts(sky(replace(series(), source=provider.key))).forecast.source
    assert not found.startswith(provider.key)
    if "CC BY" in provider.credit:
        assert "(CC BY 4.0), made hourly by us" in found


def test_without_a_forecast_everything_is_said_to_be_missing() -> None:
    for over in (None, SiteSky(series=None, freshness=Freshness.DOWN)):
        found = facts(over)
        assert (found.sky, found.heat, found.forecast.issued_at) == ((), None, None)
        assert found.forecast.source == "no forecast"
        assert found.forecast.stale


@pytest.mark.parametrize(
    ("freshness", "stale"),
    [(Freshness.FRESH, False), (Freshness.AGEING, False), (Freshness.STALE, True), (Freshness.DOWN, True)],
)
def test_a_forecast_too_old_to_rely_on_is_marked(freshness: Freshness, stale: bool) -> None:
    found = facts(sky(freshness=freshness)).forecast
    assert found.stale is stale
    assert found.age == "5 hours old"
    assert found.source.endswith("for Heron Lane")


@pytest.mark.parametrize(
    ("age", "words"),
    [
        (timedelta(0), "just issued"),
        (timedelta(minutes=1), "1 minute old"),
        (timedelta(minutes=59), "59 minutes old"),
        (timedelta(hours=1), "1 hour old"),
        (timedelta(hours=47), "47 hours old"),
        (timedelta(hours=48), "2 days old"),
        (timedelta(hours=-1), "issued after this plan was read"),
    ],
)
def test_age_in_words(age: timedelta, words: str) -> None:
    assert age_words(AS_OF - age, AS_OF) == words


def test_the_heat_band_follows_the_published_chart() -> None:
    """Weather service chart: 96 °F at 65 % is 121 °F; that humidity is a dew point of about 82.4 °F.

    Band above 115 °F: very high (OSHA heat index bands).
    """
    hot = series(spells={"air_temp_c": (at(14), at(15), (96 - 32) / 1.8), "dew_point_c": (at(14), at(15), 28.0)})
    found = facts(sky(hot)).heat
    assert found.heat_index_c * 1.8 + 32 == pytest.approx(121, abs=1.5)
    assert (found.band, found.at) == ("very high", at(14))
    assert "15 °F" in found.caution.sentence
    assert found.caution.source == "OSHA heat index bands"


def test_an_hour_hotter_than_the_chart_is_the_hottest_of_the_day() -> None:
    """51 degC, once measured in the American desert: the chart ends at 50, and the hour must not be left out."""
    day = series({"air_temp_c": 40.0, "dew_point_c": 5.0}, spells={"air_temp_c": (at(15), at(16), 51.0)})
    found = facts(sky(day)).heat
    assert found is not None
    assert (found.at, found.band) == (at(15), "very high")
    assert heat_reading(day, at(7), at(17)).worst_at == at(15)


def test_a_mild_day_has_no_heat_band() -> None:
    assert facts(sky()).heat is None


@pytest.mark.parametrize("row", rows_of("wind_chill"), ids=lambda row: f"{row['air_temp_degf']}F-{row['wind_mph']}mph")
def test_the_wind_chill_of_the_day_is_the_charts(row: dict[str, str]) -> None:
    """One hour of each cell of the weather service's chart, in a day that is calm and mild otherwise."""
    air_c, wind_m_s = (float(row["air_temp_degf"]) - 32) / 1.8, float(row["wind_mph"]) * 0.44704
    cold = series(spells={"air_temp_c": (at(9), at(10), air_c), "wind_m_s": (at(9), at(10), wind_m_s)})
    found = facts(sky(cold)).cold
    if float(row["expected_degf"]) >= 33:
        assert found is None
        return
    assert found.at == at(9)
    said = float(present_day_plan(facts(sky(cold))).cold.words.removeprefix("Wind chill down to ").partition(" ")[0])
    assert said == pytest.approx(float(row["expected_degf"]), abs=1.0)


@pytest.mark.parametrize(
    ("air_f", "wind_mph", "band"),
    [
        (30, 5, "low"),
        (20, 5, "moderate"),
        (0, 5, "moderate"),
        (0, 15, "high"),
        (-15, 30, "very high"),
        (-20, 40, "severe"),
    ],
)
def test_the_cold_band_is_said_with_its_caution(air_f: int, wind_mph: int, band: str) -> None:
    """Chart cells 25, 13, -11, -19, -46 and -57 °F on the Canadian table of wind chill hazards."""
    cold = sky(series({"air_temp_c": (air_f - 32) / 1.8, "wind_m_s": wind_mph * 0.44704}))
    found = facts(cold).cold
    assert found.band.startswith(band)
    assert "from a wind chill of -18 °F cover all skin" in found.caution.sentence
    assert found.caution.source.startswith("US and Canadian weather services")
    assert "Wind chill down to" in day_plan_text(facts(cold))


@pytest.mark.parametrize("values", [{}, {"air_temp_c": -5.0, "wind_m_s": None}, {"air_temp_c": 4.0, "wind_m_s": 2.0}])
def test_no_cold_band_where_nothing_freezes_or_the_wind_is_not_known(values: dict[str, float | None]) -> None:
    assert facts(sky(series(values))).cold is None


def test_calm_cold_and_a_storm_past_the_chart_are_still_told() -> None:
    calm = facts(sky(series({"air_temp_c": -12.0, "wind_m_s": 0.5}))).cold
    assert (calm.band.partition(",")[0], calm.wind_chill_c) == ("moderate", -12.0)
    storm = facts(sky(series({"air_temp_c": -12.0, "wind_m_s": 35.0}))).cold
    assert storm.band.startswith("high")


def test_heat_past_the_chart_counts_as_its_end() -> None:
    hot = series({"air_temp_c": 48.0, "dew_point_c": 34.0})
    assert facts(sky(hot)).heat.heat_index_c == pytest.approx(60.0)


@pytest.mark.parametrize(
    "values", [{"dew_point_c": None}, {"air_temp_c": None}, {"dew_point_c": 30.0}, {"air_temp_c": 2.0}]
)
def test_heat_that_cannot_be_reckoned_is_left_out(values: dict[str, float | None]) -> None:
    assert facts(sky(series(values))).heat is None
