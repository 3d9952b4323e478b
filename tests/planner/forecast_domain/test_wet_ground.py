"""Waiting for wet ground."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.limits.ground import rain_still_wet_mm, wait_hours, wait_left_hours

soils = st.sampled_from(["sand", "loam", "clay"])


# Source: federal lands highway rule: a workday right after 1.00 in (25.4 mm) is a drying day, 24 h.
def test_one_inch_costs_a_day():
    assert wait_hours(25.4, 24, "clay") == pytest.approx(24, rel=0.02)


# Common practice, no source: loam waits 0.6 and sand 0.3 of clay.
@pytest.mark.parametrize(("soil", "hours"), [("clay", 48), ("loam", 28.8), ("sand", 14.4)])
def test_soils_wait_in_proportion(soil, hours):
    assert wait_hours(25, 48, soil) == pytest.approx(hours)


def test_rain_adds_up_and_each_hour_dries_one():
    # 12.5 mm is 24 h on clay at 48 h an inch; after 10 dry hours 14 are left; 5 mm more add 9.6.
    assert wait_left_hours([12.5, *[0.0] * 10], 48, "clay") == pytest.approx(14.0)
    assert wait_left_hours([12.5, *[0.0] * 10, 5.0], 48, "clay") == pytest.approx(13.0 + 9.6)


def test_an_unknown_hour_dries_nothing():
    assert wait_left_hours([12.5, None, None], 48, "clay") == wait_left_hours([12.5], 48, "clay")


def test_work_that_does_not_mind_never_waits():
    assert wait_hours(50, 0, "clay") == 0
    assert rain_still_wet_mm(1, 0, "clay") == float("inf")


@given(st.floats(0, 200), st.floats(1, 72), soils)
def test_amount_and_wait_are_inverse(gap_hours, wait, soil):
    assert wait_hours(rain_still_wet_mm(gap_hours, wait, soil), wait, soil) == pytest.approx(gap_hours)
