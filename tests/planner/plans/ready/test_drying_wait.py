"""The wait for a dry surface and for dry ground: by the forecast where it reaches, else as the method says."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.ready.air import SiteAir, air_over, hour_of, hours_since_epoch
from planner.plans.domain.ready.drying import DRY_FOR_H, DryingWait, GroundTable, SurfaceTable, surface_evaporation_mm
from tests.planner.forecast_domain.skies import sky
from tests.planner.plans.ready.airs import BEGINS, ZONE, even_air, rule, steady

HOUR = timedelta(hours=1)
WALL, FLOOR = rule("clean_and_patch", "wall_sheet", "dryness"), rule("clean_and_patch", "floor_foam", "dryness")
GROUND = rule("shape_floor", "pour_floor", "dryness")


def air(hours: int = 240, **by_local_time: Callable[[datetime], float | None]) -> SiteAir:
    series = sky(hours, start_at=BEGINS, **by_local_time)
    return air_over(SiteSky(series=series, freshness=Freshness.FRESH), climate=steady(20.0), zone=ZONE)


def surface(link, over: SiteAir) -> DryingWait:
    table = SurfaceTable(
        air=over, anchor=hour_of(BEGINS), dry_for_h=DRY_FOR_H[link.surface], fixed_hours=link.fixed_hours
    )
    return DryingWait(rule=link, table=table)


def ground(over: SiteAir, soil: str, clay_wait_h: float = 48.0) -> DryingWait:
    table = GroundTable(
        air=over, anchor=hour_of(BEGINS), soil=soil, clay_wait_h_per_25_mm=clay_wait_h, least_hours=GROUND.fixed_hours
    )
    return DryingWait(rule=GROUND, table=table)


def rain_in(from_h: float, until_h: float, mm: float) -> Callable[[datetime], float]:
    return lambda at: mm if from_h <= (at - BEGINS) / HOUR < until_h else 0.0


def hours(wait: DryingWait, start: datetime = BEGINS) -> float:
    return (wait.ready_at(start) - start) / HOUR


def test_a_washed_wall_is_dry_when_its_film_is_gone_and_two_hours_more() -> None:
    over = air()
    rate = surface_evaporation_mm(over.hours(hour_of(BEGINS), 1).by_name)[0]
    # 0.5 mm at an even rate, then two dry hours; the hour in which the film goes is none of them.
    assert hours(surface(WALL, over)) == np.ceil(0.5 / rate) + 2
    assert "Computed from the forecast: dry after" in surface(WALL, over).because(BEGINS)


def test_a_floor_also_waits_the_hours_of_its_patch() -> None:
    over = air()
    assert hours(surface(FLOOR, over)) == hours(surface(WALL, over)) + 14


def test_rain_and_damp_air_make_it_longer() -> None:
    dry = hours(surface(WALL, air()))
    assert hours(surface(WALL, air(rain_mm=rain_in(1, 9, 1.0)))) > dry + 6
    assert hours(surface(WALL, air(dew_point_c=lambda at: 18.5))) > dry


@pytest.mark.parametrize("over", [even_air(20.0), air(dew_point_c=lambda at: None), air(wind_m_s=lambda at: 40.0)])
def test_what_the_forecast_does_not_show_waits_the_fixed_hours(over: SiteAir) -> None:
    wait = surface(WALL, over)
    assert hours(wait) == WALL.fixed_hours
    assert "Fixed 16 h: the forecast does not show it dry." in wait.because(BEGINS)


def test_a_frozen_film_does_not_dry() -> None:
    cold = air(hours=72, air_temp_c=lambda at: -4.0, dew_point_c=lambda at: -20.0)
    assert "Fixed 16 h" in surface(WALL, cold).because(BEGINS)


def test_past_the_forecast_the_fixed_hours_count() -> None:
    wait = surface(WALL, air(hours=48))
    start = BEGINS + 100 * HOUR
    assert hours(wait, start) == WALL.fixed_hours


def test_dry_ground_still_waits_the_hours_of_the_method() -> None:
    wait = ground(air(), "clay")
    assert hours(wait) == GROUND.fixed_hours
    assert "the ground is dry (clay)" in wait.because(BEGINS)


@pytest.mark.parametrize(("soil", "wait_h"), [("clay", 48), ("loam", 28.8), ("sand", 14.4), ("stone_capped", 12)])
def test_wet_ground_waits_by_its_soil(soil: str, wait_h: float) -> None:
    """48 h of clay for 25 mm, of other soil its share: common practice, no source."""
    wait = ground(air(rain_mm=rain_in(0, 1, 25.0)), soil)
    # The hour of the rain itself, then whole hours without rain.
    assert hours(wait) == pytest.approx(1 + np.ceil(wait_h))
    # Counted from the work before, as the moment beside it is: "h more" would be read as still to come.
    assert f"dry {1 + np.ceil(wait_h):.0f} h after that work ({soil.replace('_', ' ')})" in wait.because(BEGINS)


def test_work_that_ended_before_the_weather_known_is_counted_from_there_and_says_so() -> None:
    for wait in (ground(air(rain_mm=rain_in(0, 1, 25.0)), "clay"), surface(WALL, air())):
        assert "only the last days of weather count" in wait.because(BEGINS - 40 * HOUR)


def test_rain_that_falls_past_the_wait_counts_for_later_starts_only() -> None:
    over = air(rain_mm=rain_in(50, 51, 25.0))
    assert hours(ground(over, "clay")) == GROUND.fixed_hours
    assert hours(ground(over, "clay"), BEGINS + 50.5 * HOUR) == pytest.approx(48.5)


def test_the_least_hours_of_the_link_hold() -> None:
    wait = replace(ground(air(), "clay"), rule=replace(GROUND, min_hours=9.0))
    assert hours(wait) == 9.0


@settings(max_examples=25, deadline=None)
@given(
    rains=st.lists(st.sampled_from([0.0, 0.0, 0.0, 0.4, 6.0]), min_size=24, max_size=24),
    dew=st.floats(0, 19),
    starts=st.lists(st.floats(-10, 300), min_size=2, max_size=6),
    which=st.sampled_from(["wall", "floor", "clay"]),
)
def test_a_wait_that_begins_later_never_ends_earlier(
    rains: list[float], dew: float, starts: list[float], which: str
) -> None:
    over = air(rain_mm=lambda at: rains[int((at - BEGINS) / HOUR) // 8 % 24], dew_point_c=lambda at: dew)
    wait = ground(over, "clay") if which == "clay" else surface(WALL if which == "wall" else FLOOR, over)
    moments = [BEGINS + timedelta(hours=round(at, 2)) for at in sorted(starts)]
    ready = [wait.ready_at(at) for at in moments]
    assert ready == sorted(ready)
    assert all(end >= at for end, at in zip(ready, moments, strict=True))
    together = wait.ready_hours(np.array([hours_since_epoch(at) for at in moments]))
    assert together == pytest.approx([hours_since_epoch(at) for at in ready], abs=1 / 1800)
