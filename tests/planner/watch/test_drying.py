"""Evaporation from fresh concrete through the watch, against the published table."""

import pytest

from jobs.science.evaporation import KG_M2_PER_LB_FT2, M_S_PER_MPH, surface_wind_m_s
from planner.watch.domain.concrete.drying import drying_hours, worst_of
from planner.watch.domain.report import Verdict
from tests.jobs.science.worked_examples import celsius, rows_of
from tests.planner.forecast_domain.skies import local, sky
from tests.planner.watch.worlds import between, booked, watched

# Rows of the table whose concrete is as warm as the air, which is what the watch takes it to be.
ROWS = [
    row
    for row in rows_of("evaporation")
    if row["follows_formula"] == "yes" and row["concrete_temp_degf"] == row["air_temp_degf"]
]


@pytest.mark.parametrize("row", ROWS)
def test_the_published_table_hour_by_hour(row):
    """Source: each row names it; the wind is the table's at the slab, put into the forecast's 10 m."""
    wind_m_s = float(row["wind_mph"]) * M_S_PER_MPH
    wind_10m = wind_m_s / surface_wind_m_s(1.0)
    start = watched(
        series=sky(
            144,
            air_temp_c=lambda at: celsius(row["air_temp_degf"]),
            dew_point_c=lambda at: celsius(row["dew_point_degf"]),
            wind_m_s=lambda at: wind_10m,
        )
    )
    assert len(start.drying) == 6
    for hour in start.drying:
        assert hour.rate_kg_m2_h is not None
        rate = hour.rate_kg_m2_h / KG_M2_PER_LB_FT2
        assert rate == pytest.approx(float(row["expected_lb_ft2_h"]), abs=float(row["tolerance_lb_ft2_h"]))
        assert hour.wind_m_s == pytest.approx(wind_m_s)


def test_the_estimate_is_told_with_its_forty_percent():
    """Source: Hover 2020: actual and estimated rates can differ by 40 % of the estimate."""
    (hour,) = drying_hours(sky(24), local(9), local(10))
    assert hour.rate_kg_m2_h is not None
    assert hour.low_kg_m2_h == pytest.approx(0.6 * hour.rate_kg_m2_h)
    assert hour.high_kg_m2_h == pytest.approx(1.4 * hour.rate_kg_m2_h)


def test_an_hour_begun_counts_and_the_worst_is_found():
    hours = drying_hours(sky(24, wind_m_s=between(10, 11, 6.0, 1.0, day=0)), local(9.5), local(12.25))
    assert [hour.at for hour in hours] == [local(9), local(10), local(11), local(12)]
    worst = worst_of(hours)
    assert worst is not None
    assert worst.at == local(10)


@pytest.mark.parametrize(
    ("exposure", "wind_m_s", "state", "verdict"),
    [
        # Concrete and air 30 degC, dew point 8: rates by Menzel at the slab, computed with the tested formula.
        ("slab_pour", 2.0, "clear", Verdict.NO_LIMIT),
        ("slab_pour", 6.0, "near", Verdict.PREPARE),
        ("slab_pour", 9.0, "reached", Verdict.PREPARE),
        ("deck_pour", 2.0, "near", Verdict.PREPARE),
    ],
)
def test_fast_drying_asks_for_film_and_fog(exposure, wind_m_s, state, verdict):
    """Source: ACI 305: precautions from 1.0 kg/m2/h; a face that stays in view is watched from half of it."""
    start = watched(
        exposure,
        series=sky(
            144,
            air_temp_c=lambda at: 28.0,
            dew_point_c=lambda at: 8.0,
            wind_m_s=lambda at: wind_m_s,
        ),
        now=local(5, day=1),
        bookings=(booked(7, 1), booked(7, 2)),
    )
    (reading,) = [one for one in start.readings if one.limit == "evaporation_kg_m2_h"]
    assert reading.state == state
    assert start.verdict is verdict
    assert any("fog" in measure.title for measure in start.measures) == (verdict is Verdict.PREPARE)


def test_an_hour_outside_the_formula_has_no_rate():
    cold = drying_hours(sky(24, air_temp_c=lambda at: -1.0), local(9), local(10))
    gale = drying_hours(sky(24, wind_m_s=lambda at: 40.0), local(9), local(10))
    assert [hour.rate_kg_m2_h for hour in (*cold, *gale)] == [None, None]


def test_work_that_does_not_set_does_not_dry():
    start = watched("dig", series=sky(144))
    assert start.drying == ()
    assert "evaporation_kg_m2_h" not in {reading.limit for reading in start.readings}
