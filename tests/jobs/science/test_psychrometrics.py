"""Moist air against handbook values, PsychroLib (ASHRAE) and recorded forecasts."""

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import OutsideValidRange
from jobs.science.psychrometrics import (
    dew_point_c,
    humidity_percent,
    saturation_vapour_pressure_kpa,
    vapour_pressure_kpa,
)
from tests.jobs.science.recorded_grids import grids
from tests.jobs.science.worked_examples import rows_of

temps = st.floats(-20, 50)
humidities = st.floats(20, 100)


@pytest.fixture(autouse=True)
def _si_units() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("row", rows_of("vapour_pressure"), ids=lambda row: row["temp_degc"])
def test_saturation_pressure_matches_the_handbook(row: dict[str, str]) -> None:
    found = saturation_vapour_pressure_kpa(float(row["temp_degc"]))
    assert found == pytest.approx(float(row["expected_kpa"]), abs=float(row["tolerance_kpa"]))


@given(st.floats(0.02, 50))
def test_saturation_pressure_matches_the_reference_library(temp_c: float) -> None:
    """PsychroLib 2.5 (ASHRAE 2017, Hyland and Wexler) over water; 0.25 % is the stated error of the Magnus form."""
    assert saturation_vapour_pressure_kpa(temp_c) == pytest.approx(psychrolib.GetSatVapPres(temp_c) / 1000, rel=0.0025)


@pytest.mark.parametrize(
    ("air_temp", "humidity", "expected"),
    [(20, 50, 9.26), (25, 60, 16.70), (30, 70, 23.93), (15, 90, 13.37), (10, 40, -2.99), (35, 30, 14.85)],
)
def test_dew_point_matches_computed_values(air_temp: float, humidity: float, expected: float) -> None:
    """Computed with PsychroLib and, below freezing, over water; printed to 0.01 degC."""
    assert dew_point_c(float(air_temp), float(humidity)) == pytest.approx(expected, abs=0.01)


@given(st.floats(5, 49), st.floats(75, 100))
def test_dew_point_matches_the_reference_library(air_temp_c: float, humidity: float) -> None:
    """PsychroLib 2.5 (ASHRAE 2017); 0.03 degC is what 0.25 % of the pressure comes to, less what cancels."""
    expected = psychrolib.GetTDewPointFromRelHum(air_temp_c, humidity / 100)
    assert dew_point_c(air_temp_c, humidity) == pytest.approx(expected, abs=0.03)


def test_dew_point_matches_recorded_forecasts() -> None:
    """National Weather Service grids: temperature, humidity and dew point of one hour, in whole degF: half a degree."""
    compared = 0
    for grid in grids("temperature", "relativeHumidity", "dewpoint"):
        for air_temp, humidity, expected in grid:
            assert dew_point_c(air_temp, humidity) == pytest.approx(expected, abs=0.5 / 1.8)
            compared += 1
    assert compared > 500


@given(temps, humidities)
def test_humidity_undoes_dew_point(air_temp_c: float, humidity: float) -> None:
    dew_point = dew_point_c(air_temp_c, humidity)
    assert humidity_percent(air_temp_c, dew_point) == pytest.approx(humidity, abs=1e-6)
    assert dew_point <= air_temp_c
    assert saturation_vapour_pressure_kpa(dew_point) == pytest.approx(
        vapour_pressure_kpa(air_temp_c, humidity), rel=1e-9
    )


@given(temps, humidities, st.floats(0.1, 1))
def test_more_water_raises_the_dew_point(air_temp_c: float, humidity: float, share: float) -> None:
    drier = 20 + (humidity - 20) * share
    assert dew_point_c(air_temp_c, drier) <= dew_point_c(air_temp_c, humidity)


@given(st.lists(st.tuples(temps, humidities), min_size=1, max_size=20))
def test_arrays_give_what_numbers_give(pairs: list[tuple[float, float]]) -> None:
    air_temp_c, humidity = np.array(pairs).T
    found = dew_point_c(air_temp_c, humidity)
    assert found == pytest.approx([dew_point_c(one, other) for one, other in pairs])


def test_an_unknown_hour_stays_unknown() -> None:
    found = dew_point_c(np.array([20.0, np.nan]), np.array([50.0, 50.0]))
    assert found[0] == pytest.approx(9.26, abs=0.01)
    assert np.isnan(found[1])


def test_saturated_air_with_a_rounded_dew_point_is_full_and_more_is_refused() -> None:
    assert humidity_percent(10.0, 10.4) == 100
    with pytest.raises(OutsideValidRange, match="dew_point_c above air_temp_c"):
        humidity_percent(10.0, 11.0)


@pytest.mark.parametrize("temp_c", [-40.1, 50.1, float("nan"), float("inf")])
def test_outside_its_range_it_refuses(temp_c: float) -> None:
    with pytest.raises(OutsideValidRange):
        saturation_vapour_pressure_kpa(temp_c)
    with pytest.raises(OutsideValidRange):
        saturation_vapour_pressure_kpa(np.array([20.0, temp_c if temp_c == temp_c else 60.0]))


@pytest.mark.parametrize("humidity", [-1.0, 0.5, 100.5])
def test_impossible_humidity_is_refused(humidity: float) -> None:
    with pytest.raises(OutsideValidRange, match="humidity_percent"):
        dew_point_c(20.0, humidity)


def test_air_too_dry_for_a_dew_point_is_refused() -> None:
    with pytest.raises(OutsideValidRange, match="dew_point_c"):
        dew_point_c(-10.0, 5.0)
