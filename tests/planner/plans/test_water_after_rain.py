"""A wet week thins the salt of a filled pool by the share that ran over, and the day plan says what to add."""

import math
from dataclasses import replace
from datetime import timedelta

import pytest

from planner.forecast.domain.series import HourlySeries
from planner.plans.domain.water import AIMED_PPM, Dilution, dilutions
from planner.plans.domain.world import World
from tests.jobs.domain.pools import worked_design
from tests.planner.dayplans.domain.worlds import (
    AS_OF,
    at,
    dry_days,
    job,
    only_task,
    plan,
    series,
    sky,
    stay,
    task,
    world,
)

SALTED = task("add_salt", 1, started_at=at(7, day=11), finished_at=at(9, day=11))
HAND_OVER = task("hand_over", 2, bookings=(), work_minutes=120)
HOUR = timedelta(hours=1)


def measured(mm_an_hour: float, hours: int) -> HourlySeries:
    """Ten measured days, the last hours of them wet."""
    past = dry_days()
    return replace(past, rain_mm=(0.0,) * (past.hours - hours) + (mm_an_hour,) * hours)


def wet(fell_mm: float, coming_mm: float, *, salted=SALTED, **changes: object) -> World:
    spells = {"rain_mm": (AS_OF, AS_OF + 20 * HOUR, coming_mm / 20)}
    over = sky(series(spells=spells, hours=200, start_at=AS_OF), observed=measured(fell_mm / 10, 10))
    pool = job(salted, HAND_OVER, pool=worked_design(), **changes)
    return world(pool, skies={1: over})


def only(one: World) -> Dilution:
    [found] = dilutions(one)
    return found


def test_salt_falls_by_what_runs_over() -> None:
    """60 mm on 47.6 m2 is 2.85 m3 of 67.2 m3: the share exp(-2.85 / 67.2) stays (balance of mass)."""
    found = only(wet(40.0, 20.0))
    basin = worked_design().basin
    assert (found.rain_mm, found.forecast_mm) == (pytest.approx(40.0), pytest.approx(20.0))
    stays = math.exp(-0.06 * basin.water_surface_m2 / basin.water_volume_m3)
    assert found.salt_then_ppm == pytest.approx(AIMED_PPM * stays)
    assert found.salt_then_ppm < found.salt_ppm < AIMED_PPM
    # What is added brings it back: one gram in a cubic metre is one ppm.
    assert found.doses.total_kg == pytest.approx((AIMED_PPM - found.salt_then_ppm) * basin.water_volume_m3 / 1000)


def test_an_ordinary_week_says_nothing() -> None:
    assert dilutions(wet(10.0, 5.0)) == ()


def test_a_pool_that_is_not_salted_says_nothing() -> None:
    assert dilutions(wet(80.0, 0.0, salted=replace(SALTED, finished_at=None))) == ()


def test_rain_from_before_the_salting_does_not_count() -> None:
    just_now = replace(SALTED, finished_at=AS_OF - 2 * HOUR)
    found = only(wet(100.0, 10.0, salted=just_now))
    assert found.rain_mm == pytest.approx(20.0)


def test_hours_nobody_measured_are_counted() -> None:
    found = only(wet(40.0, 20.0, salted=replace(SALTED, finished_at=AS_OF - 30 * 24 * HOUR)))
    assert found.since_at == AS_OF - timedelta(days=7)
    assert found.unknown_hours == 0
    short = wet(40.0, 20.0)
    only_now = replace(short.skies[1], observed=None)
    [blind] = dilutions(replace(short, skies={1: replace(only_now, series=series({"rain_mm": 1.0}, start_at=AS_OF))}))
    assert blind.unknown_hours == pytest.approx((AS_OF - SALTED.finished_at) / HOUR)


def note(one: World) -> str:
    return only_task(plan(one, stay(HAND_OVER, at(8), at(10), "forms"))).note


def test_the_day_plan_tells_whoever_looks_after_the_water() -> None:
    said = note(wet(40.0, 20.0))
    assert "1.57 inches of rain on the water since" in said
    assert "Salted to 3200 ppm" in said
    assert "pounds of salt bring it back" in said
    assert "Never mix products" in said
    assert "Salted to" not in note(wet(5.0, 0.0))


def test_salt_too_thin_for_a_cell_turns_it_off() -> None:
    assert "Cell off" in note(wet(200.0, 100.0))
