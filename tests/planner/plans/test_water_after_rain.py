"""A wet week thins the salt of a filled pool by the share that ran over, and the day plan says what to add."""

import math
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.forecast.domain.series import HourlySeries
from planner.plans.domain.waits import Waits
from planner.plans.domain.water import AIMED_PPM, Dilution, dilution, dilutions
from planner.plans.domain.world import ReportFacts, World
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


def said(kind: str, moment: datetime, **values: float) -> ReportFacts:
    return ReportFacts(task=HAND_OVER.id, kind=kind, happened_at=moment, said_by="L. Orme", values=values)


def wet(
    fell_mm: float, coming_mm: float, *, salted=SALTED, reports: tuple[ReportFacts, ...] = (), **changes: object
) -> World:
    spells = {"rain_mm": (AS_OF, AS_OF + 20 * HOUR, coming_mm / 20)}
    over = sky(series(spells=spells, hours=200, start_at=AS_OF), observed=measured(fell_mm / 10, 10))
    pool = job(salted, HAND_OVER, pool=worked_design(), **changes)
    return world(pool, skies={1: over}, reports=reports)


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
    assert found.doses is not None
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


BASIN = worked_design().basin


def half_out(moment: datetime) -> ReportFacts:
    """Let down until half of the water is left."""
    return said("refilled", moment, level_m=BASIN.level_for_volume_m(BASIN.water_volume_m3 / 2))


def test_a_refill_of_half_the_water_halves_the_salt() -> None:
    """3200 ppm in half of the water, fresh water in the other half: 1600 ppm, and 1.6 g a litre to add again."""
    found = only(wet(0.0, 0.0, reports=(half_out(AS_OF - 20 * HOUR),)))
    assert found.salt_then_ppm == pytest.approx(1600)
    assert (found.share_lost, found.is_low, found.is_wet) == (pytest.approx(0.5), True, False)
    assert found.doses is not None
    assert found.doses.total_kg == pytest.approx(1.6 * BASIN.water_volume_m3)
    assert found.stabiliser.total_kg == pytest.approx(0.015 * BASIN.water_volume_m3)


def test_rain_and_a_refill_thin_one_another_s_rest() -> None:
    """Balance of mass: what is left is the product of both shares, whichever came first."""
    before, after = (
        only(wet(40.0, 20.0, reports=(half_out(AS_OF - hours * HOUR),))).salt_then_ppm for hours in (90, 1)
    )
    assert before == pytest.approx(only(wet(40.0, 20.0)).salt_then_ppm / 2)
    assert after == pytest.approx(before)


def test_a_salt_test_counts_instead_of_what_came_before_it() -> None:
    tested = said("salt", AS_OF - 2 * HOUR, salt_ppm=2900.0)
    found = only(wet(100.0, 20.0, reports=(half_out(AS_OF - 20 * HOUR), tested)))
    assert (found.from_ppm, found.tested, found.refills) == (2900.0, True, ())
    # Ten hours of rain ended now: two of them fell after the test.
    assert found.rain_mm == pytest.approx(20.0)
    high = only(wet(0.0, 30.0, reports=(said("salt", AS_OF - 2 * HOUR, salt_ppm=3600.0),)))
    assert high.doses is None


def test_a_test_that_finds_too_little_is_told_in_a_dry_week_too() -> None:
    assert only(wet(0.0, 0.0, reports=(said("salt", AS_OF - HOUR, salt_ppm=2500.0),))).is_low
    assert dilutions(wet(0.0, 0.0, reports=(said("salt", AS_OF - HOUR, salt_ppm=3100.0),))) == ()


def test_a_refill_from_the_full_level_or_before_the_salting_changes_nothing() -> None:
    full = said("refilled", AS_OF - HOUR, level_m=BASIN.design_level_m)
    early = half_out(SALTED.finished_at - HOUR)
    assert dilutions(wet(0.0, 0.0, reports=(full, early))) == ()


def test_the_day_plan_says_what_a_refill_asks_for() -> None:
    text = note(wet(0.0, 0.0, reports=(half_out(at(6, day=15)),)))
    assert "50 percent of it is fresh" in text
    assert "at 1600 ppm after that rain" in text
    assert "Cell off" in text
    assert "less what the fill water brings" in text
    assert "about 15 ppm are left" in text
    assert "2.2 lb of it bring that back" in text


@given(
    fell=st.floats(0, 300), lets=st.lists(st.floats(0.05, 0.99), max_size=3), tested=st.none() | st.floats(100, 6000)
)
@settings(max_examples=30, deadline=None)
def test_salt_never_grows_by_rain_and_refills_and_its_mass_is_kept(fell, lets, tested) -> None:
    """What left with the water and what is left make up what there was; to bring it back takes what left."""
    refills = tuple(
        said("refilled", AS_OF - HOUR / (index + 2), level_m=BASIN.level_for_volume_m(left * BASIN.water_volume_m3))
        for index, left in enumerate(lets)
    )
    salt = (said("salt", AS_OF - 9.5 * HOUR, salt_ppm=tested),) if tested else ()
    one = wet(fell, 0.0, reports=(*salt, *refills))
    found = dilution(one.jobs[0], SALTED, air=Waits(one).air_at(1), as_of=AS_OF, reports=one.reports)
    assert found is not None
    left = math.exp(-found.rain_mm / 1000 * BASIN.water_surface_m2 / BASIN.water_volume_m3) * math.prod(lets)
    assert found.salt_then_ppm == pytest.approx(found.from_ppm * left, rel=1e-6)
    assert found.salt_then_ppm <= found.from_ppm
    lost_kg = found.share_lost * found.from_ppm * BASIN.water_volume_m3 / 1000
    if found.doses is not None:
        above_kg = (found.from_ppm - AIMED_PPM) * BASIN.water_volume_m3 / 1000
        assert found.doses.total_kg == pytest.approx(lost_kg - above_kg, abs=1e-6)
