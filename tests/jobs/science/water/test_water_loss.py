"""Evaporation from pools and rain into them against computed and published figures (water_loss.csv) and PsychroLib."""

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import OutsideValidRange
from jobs.domain.units import gallons_from_m3, in_from_mm, m2_from_ft2, m_s_from_mph, mm_from_in
from jobs.science.water_loss import (
    KG_M2_PER_LB_FT2,
    UNDISTURBED_SHARE,
    USUAL_MM_PER_DAY,
    rain_m3,
    water_evaporation_mm_h,
)
from tests.jobs.science.worked_examples import celsius, rows_of

waters, airs, humidities, winds = st.floats(5, 35), st.floats(-5, 40), st.floats(5, 100), st.floats(0, 8)


def found(row: dict[str, str]) -> float:
    area_m2 = m2_from_ft2(float(row["area_ft2"]))
    if row["quantity"] == "rain_gal":
        return gallons_from_m3(rain_m3(mm_from_in(float(row["rain_in"])), area_m2))
    rate_mm_h = water_evaporation_mm_h(
        celsius(row["water_degf"]),
        celsius(row["air_degf"]),
        float(row["humidity_percent"]),
        m_s_from_mph(float(row["wind_mph"])),
        share=UNDISTURBED_SHARE if row["quantity"].startswith("undisturbed") else 1.0,
    )
    if row["quantity"] == "evaporation_lb_h_ft2":
        return rate_mm_h / KG_M2_PER_LB_FT2
    if row["quantity"] == "evaporation_in_day":
        return in_from_mm(24 * rate_mm_h)
    return gallons_from_m3(rain_m3(24 * rate_mm_h, area_m2))


@pytest.mark.parametrize("row", rows_of("water/water_loss"), ids=lambda row: f"{row['quantity']}-{row['expected']}")
def test_worked_example(row: dict[str, str]) -> None:
    assert found(row) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["source"]


@given(st.floats(5, 35), st.floats(10, 40), st.floats(10, 90), winds)
def test_the_formula_with_the_reference_library(water: float, air: float, humidity: float, wind: float) -> None:
    """PsychroLib 2.5 (ASHRAE) pressures; the Magnus form errs by 0.25 % on each, the latent heat by 0.1 %."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    pw = psychrolib.GetSatVapPres(water) / 3386.389
    pa = psychrolib.GetVapPresFromRelHum(air, humidity / 100) / 3386.389
    latent = psychrolib.GetMoistAirEnthalpy(water, 1.0) - psychrolib.GetMoistAirEnthalpy(water, 0.0)
    latent_btu_lb = (latent / 1000 - 4.186 * water) / 2.326
    factor = (95 + 0.425 * wind * 196.850394) / latent_btu_lb * 4.882428
    expected = max(0.0, factor * (pw - pa))
    assert water_evaporation_mm_h(water, air, humidity, wind) == pytest.approx(
        expected, rel=0.002, abs=0.0025 * (pw + pa) * factor
    )


def test_the_usual_quarter_inch_a_day_is_in_the_range_of_summer_weather() -> None:
    """Common practice, no source: 1/4 in a day lies between still and breezy summer air by the formula."""
    still, breezy = (24 * water_evaporation_mm_h(27.0, 26.0, 55.0, wind) for wind in (0.0, 1.5))
    assert still < USUAL_MM_PER_DAY < breezy


@given(waters, airs, humidities, winds, st.floats(0, 1))
def test_it_grows_with_warm_water_and_wind_and_falls_with_damp(water, air, humidity, wind, share) -> None:
    rate = water_evaporation_mm_h(water, air, humidity, wind)
    assert rate >= 0
    assert water_evaporation_mm_h(water * share, air, humidity, wind) <= rate + 1e-12
    assert water_evaporation_mm_h(water, air, humidity, wind * share) <= rate + 1e-12
    assert water_evaporation_mm_h(water, air, humidity * share, wind) >= rate - 1e-12


@given(st.lists(st.tuples(waters, airs, humidities, winds), min_size=1, max_size=10))
def test_an_array_is_its_numbers(hours) -> None:
    together = water_evaporation_mm_h(*np.array(hours).T)
    assert together == pytest.approx([water_evaporation_mm_h(*hour) for hour in hours])
    assert rain_m3(np.array([1.0, 2.0]), 50.0) == pytest.approx([0.05, 0.1])


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: water_evaporation_mm_h(80.0, 30.0, 50.0, 1.0), "water_temp_c"),
        (lambda: water_evaporation_mm_h(25.0, 30.0, 120.0, 1.0), "humidity_percent"),
        (lambda: water_evaporation_mm_h(25.0, 30.0, 50.0, 11.0), "wind_m_s"),
        (lambda: water_evaporation_mm_h(25.0, 30.0, 50.0, 1.0, share=3.0), "share"),
        (lambda: rain_m3(-1.0, 50.0), "rain_mm"),
        (lambda: rain_m3(1.0, -50.0), "catch_m2"),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field
