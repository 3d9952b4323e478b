"""Heat index and wind chill against the agencies' published charts and recorded forecasts."""

import numpy as np
import pytest
import thermofeel
from hypothesis import assume, given
from hypothesis import strategies as st

from jobs.domain.errors import OutsideValidRange
from jobs.science.heat import (
    FROSTBITE_WIND_CHILL_C,
    M_S_PER_MPH,
    apparent_temp_c,
    cold_band,
    heat_band,
    heat_class,
    heat_index_c,
    wind_chill_c,
)
from jobs.science.psychrometrics import dew_point_c
from tests.jobs.science.recorded_grids import grids
from tests.jobs.science.worked_examples import celsius, rows_of


def heat_index_f(temp_f: float, humidity: float) -> float:
    return heat_index_c(celsius(temp_f), humidity) * 1.8 + 32


def wind_chill_f(temp_f: float, wind_mph: float) -> float:
    return wind_chill_c(celsius(temp_f), wind_mph * M_S_PER_MPH) * 1.8 + 32


@pytest.mark.parametrize(
    "row", rows_of("heat_index"), ids=lambda row: f"{row['air_temp_degf']}F-{row['humidity_percent']}%"
)
def test_heat_index_chart(row: dict[str, str]) -> None:
    """Half a printed degree and the last digit of the coefficients; the regression itself is good to 1.3 degF."""
    temp_f, humidity = float(row["air_temp_degf"]), float(row["humidity_percent"])
    found = heat_index_f(temp_f, humidity)
    if row["damp_adjustment_left_out"] == "yes":
        found -= (humidity - 85) / 10 * (87 - temp_f) / 5
    assert found == pytest.approx(float(row["expected_degf"]), abs=float(row["tolerance_degf"]))


@pytest.mark.parametrize(
    ("temp_f", "humidity", "expected"),
    [
        (90, 50, 94.6),
        (90, 60, 99.7),
        (90, 70, 105.9),
        (96, 65, 121.0),
        (95, 10, 89.4),
        (100, 10, 94.1),
        (82, 90, 92.0),
        (85, 95, 104.6),
        (75, 50, 74.8),
        (80, 40, 79.8),
    ],
)
def test_every_branch_of_the_published_procedure(temp_f: float, humidity: float, expected: float) -> None:
    """Computed from the National Weather Service's page "The Heat Index Equation" with another program, to 0.1 degF:
    plain, dry and damp air, and the simple formula below 80 degF."""
    assert heat_index_f(temp_f, float(humidity)) == pytest.approx(expected, abs=0.06)


@pytest.mark.parametrize("row", rows_of("wind_chill"), ids=lambda row: f"{row['air_temp_degf']}F-{row['wind_mph']}mph")
def test_wind_chill_chart(row: dict[str, str]) -> None:
    found = wind_chill_f(float(row["air_temp_degf"]), float(row["wind_mph"]))
    assert found == pytest.approx(float(row["expected_degf"]), abs=float(row["tolerance_degf"]))


@given(st.floats(-45, 10), st.floats(1.4, 26))
def test_wind_chill_agrees_with_the_metric_form(temp_c: float, wind_m_s: float) -> None:
    """Metric form as published: 13.12 + 0.6215 T - 11.37 V^0.16 + 0.3965 T V^0.16 in km/h; rounded coefficients."""
    power = (wind_m_s * 3.6) ** 0.16
    metric = 13.12 + 0.6215 * temp_c - 11.37 * power + 0.3965 * temp_c * power
    assert wind_chill_c(temp_c, wind_m_s) == pytest.approx(metric, abs=0.1)


KELVIN = 273.15


@given(st.floats(27, 46), st.floats(3, 100))
def test_heat_index_is_what_thermofeel_computes(temp_c: float, humidity: float) -> None:
    """thermofeel (European Centre for Medium-Range Weather Forecasts) asks for a dew point and takes its own humidity
    from it; where the regression holds, both are the same procedure. Below 80 degF it leaves out the averaging."""
    temp_k, dew_k = np.array([temp_c + KELVIN]), np.array([dew_point_c(temp_c, humidity) + KELVIN])
    theirs = float(thermofeel.calculate_heat_index_adjusted(temp_k, dew_k)[0]) - KELVIN
    damp = float(thermofeel.calculate_relative_humidity_percent(temp_k, dew_k)[0])
    simple_f = 0.5 * (temp_c * 1.8 + 32 + 61 + (temp_c * 1.8 - 36) * 1.2 + damp * 0.094)
    assume((simple_f + temp_c * 1.8 + 32) / 2 >= 80.01 and theirs < 60 and damp <= 100)
    # The corrections for dry and for damp air begin with a step.
    assume(all(abs(bound - temp_c * 1.8 - 32) > 1e-6 for bound in (87, 112)))
    assert heat_index_c(temp_c, damp) == pytest.approx(theirs, abs=0.01)


@given(st.floats(-45, 5), st.floats(5 / 3.6, 80 / 3.6))
def test_wind_chill_is_what_thermofeel_computes(temp_c: float, wind_m_s: float) -> None:
    """thermofeel, in its range of 5 to 80 km/h up to 5 degC, in the metric form with rounded coefficients."""
    theirs = float(thermofeel.calculate_wind_chill(np.array([temp_c + KELVIN]), np.array([wind_m_s]))[0]) - KELVIN
    assert wind_chill_c(temp_c, wind_m_s) == pytest.approx(theirs, abs=0.1)


def test_recorded_forecasts_give_the_same_heat_index() -> None:
    """National Weather Service grids, where the heat index stands out from the temperature; all in whole degF."""
    compared = 0
    for grid in grids("temperature", "relativeHumidity", "heatIndex"):
        for air_temp, humidity, expected in grid:
            if expected > air_temp:
                assert heat_index_c(air_temp, humidity) == pytest.approx(expected, abs=1 / 1.8)
                compared += 1
    assert compared > 50


def test_recorded_forecasts_give_the_same_apparent_temperature() -> None:
    """National Weather Service grids, summer and winter; all in whole degF."""
    compared = cold = 0
    for grid in grids("temperature", "relativeHumidity", "windSpeed", "apparentTemperature"):
        for air_temp, humidity, wind_km_h, expected in grid:
            assert apparent_temp_c(air_temp, humidity, wind_km_h / 3.6) == pytest.approx(expected, abs=1 / 1.8)
            compared += 1
            cold += expected < air_temp
    assert compared > 500
    assert cold > 20


@given(st.floats(27, 37), st.floats(40, 70), st.floats(0, 1))
def test_heat_index_grows_with_heat_and_damp(temp_c: float, humidity: float, share: float) -> None:
    index = heat_index_c(temp_c, humidity)
    assert heat_index_c(27 + (temp_c - 27) * share, humidity) <= index + 1e-9
    assert heat_index_c(temp_c, 40 + (humidity - 40) * share) <= index + 1e-9


@given(st.floats(-45, 10), st.floats(1.4, 26), st.floats(0, 1))
def test_wind_chill_falls_with_wind_and_stays_below_air(temp_c: float, wind_m_s: float, share: float) -> None:
    calmer = 1.4 + (wind_m_s - 1.4) * share
    assert wind_chill_c(temp_c, wind_m_s) <= wind_chill_c(temp_c, calmer) + 1e-9
    assert wind_chill_c(temp_c, wind_m_s) <= temp_c + 0.5


@given(st.lists(st.tuples(st.floats(5, 38), st.floats(0, 60)), min_size=1, max_size=20))
def test_arrays_give_what_numbers_give(hours: list[tuple[float, float]]) -> None:
    temp_c, humidity = np.array(hours).T
    assert heat_index_c(temp_c, humidity) == pytest.approx([heat_index_c(*hour) for hour in hours])


def test_protective_bands_at_their_boundaries() -> None:
    """Occupational Safety and Health Administration: below 91, 91 to 103, 103 to 115, above 115 degF."""
    bands = [heat_band(celsius(index)) for index in (60, 90.9, 91, 102.9, 103, 115, 115.1)]
    assert bands == ["lower", "lower", "moderate", "moderate", "high", "high", "very_high"]


def test_chart_classes_at_their_boundaries() -> None:
    """National Weather Service chart classes from 80, 90, 103 and 125 degF (from memory)."""
    classes = [heat_class(celsius(index)) for index in (79.9, 80, 90, 102.9, 103, 124.9, 125)]
    assert classes == ["none", "caution", "extreme_caution", "extreme_caution", "danger", "danger", "extreme_danger"]


@pytest.mark.parametrize("row", rows_of("wind_chill_hazards"), ids=lambda row: row["wind_chill_degc"])
def test_wind_chill_hazards(row: dict[str, str]) -> None:
    assert cold_band(float(row["wind_chill_degc"])) == row["expected"]


def test_thawing_air_has_no_cold_band_and_the_us_frostbite_limit_begins_the_high_one() -> None:
    assert (cold_band(0.6), cold_band(FROSTBITE_WIND_CHILL_C), cold_band(-27.4)) == ("none", "high", "moderate")


def test_frostbite_limit_is_the_charts() -> None:
    """National Weather Service chart: 30 minutes from -18 degF, for example 0 degF in 15 mph (-19)."""
    assert celsius(wind_chill_f(0, 15)) < FROSTBITE_WIND_CHILL_C == pytest.approx(celsius(-18))
    assert celsius(wind_chill_f(0, 10)) > FROSTBITE_WIND_CHILL_C


@pytest.mark.parametrize(
    ("temp_c", "humidity", "name"),
    [
        (4.0, 50.0, "air_temp_c"),
        (51.0, 5.0, "air_temp_c"),
        (30.0, 101.0, "humidity_percent"),
        (45.0, 90.0, "heat index"),
    ],
)
def test_heat_index_refuses_outside_its_table(temp_c: float, humidity: float, name: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        heat_index_c(temp_c, humidity)
    assert refusal.value.field == name


@pytest.mark.parametrize(
    ("temp_c", "wind_m_s", "name"), [(10.5, 5.0, "air_temp_c"), (0.0, 1.0, "wind_m_s"), (-46.0, 5.0, "air_temp_c")]
)
def test_wind_chill_refuses_warm_or_calm_air(temp_c: float, wind_m_s: float, name: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        wind_chill_c(temp_c, wind_m_s)
    assert refusal.value.field == name
