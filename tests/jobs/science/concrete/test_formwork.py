"""Form pressure against printed equations and tables (form_pressure.csv), its regimes, and its inverse."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.domain.units import ft_from_m, kpa_from_psf, m_from_ft, psf_from_kpa
from jobs.science.formwork import (
    KG_M3_PER_LB_FT3,
    chemistry_factor,
    ciria_pressure_kpa,
    highest_rate_m_h,
    hydrostatic_kpa,
    wall_pressure_kpa,
    weight_factor,
)
from tests.jobs.science.worked_examples import celsius, rows_of

temps = st.floats(4.5, 37.5)
heights = st.floats(0.5, 6.0)
rates = st.floats(0.05, 6.0)


def found(row: dict[str, str]) -> float:
    temp, height = float(row["concrete_temp"]), float(row["height"])
    weight, chemistry = float(row["weight"]), float(row["chemistry"])
    if row["equation"] == "ciria_kpa_m_h_degc":
        return ciria_pressure_kpa(float(row["rate"]), temp, height, weight_kn_m3=weight, chemistry=chemistry)
    density = {"density_kg_m3": weight * KG_M3_PER_LB_FT3}
    if row["equation"] == "highest_ft_h_for_900_psf":
        return ft_from_m(highest_rate_m_h(kpa_from_psf(900.0), celsius(temp), m_from_ft(height), **density))
    rate_m_h = m_from_ft(float(row["rate"]))
    return psf_from_kpa(wall_pressure_kpa(rate_m_h, celsius(temp), m_from_ft(height), chemistry=chemistry, **density))


@pytest.mark.parametrize(
    "row",
    rows_of("concrete/form_pressure"),
    ids=lambda row: f"{row['equation'][:8]}-{row['rate']}-{row['concrete_temp']}",
)
def test_worked_example(row: dict[str, str]) -> None:
    assert found(row) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]


@pytest.mark.parametrize(
    "row", rows_of("concrete/form_regimes"), ids=lambda row: f"{row['rate_ft_h']}-{row['height_ft']}"
)
def test_the_regimes_of_rate_and_height(row: dict[str, str]) -> None:
    """Which of the printed equations governs, at 50 degF and 150 lb/ft3."""
    rate, height, temp = float(row["rate_ft_h"]), float(row["height_ft"]), 50.0
    by_equation = {
        "1": 150 + 9000 * rate / temp,
        "2": 150 + 43_400 / temp + 2800 * rate / temp,
        "liquid": 150 * height,
    }
    pressure = wall_pressure_kpa(
        m_from_ft(rate), celsius(temp), m_from_ft(height), density_kg_m3=150 * KG_M3_PER_LB_FT3
    )
    expected = min(by_equation[row["expected_equation"]], by_equation["liquid"])
    assert psf_from_kpa(pressure) == pytest.approx(expected, rel=1e-6)
    assert len({round(value) for value in by_equation.values()}) == 3


@given(temps)
def test_the_two_equations_meet_at_the_switch(temp_c: float) -> None:
    """43,400 = 7 (9000 - 2800): the published constants were chosen so (ACI 347)."""
    switch = m_from_ft(7.0)
    below, above = (wall_pressure_kpa(switch + step, temp_c, 4.0) for step in (-1e-9, 1e-9))
    assert below == pytest.approx(above, rel=1e-7)


@given(rates, temps, heights, st.floats(0, 3))
def test_faster_colder_and_taller_press_more(rate: float, temp_c: float, height_m: float, more: float) -> None:
    pressure = wall_pressure_kpa(rate, temp_c, height_m)
    assert wall_pressure_kpa(rate + more, temp_c, height_m) >= pressure - 1e-9
    assert wall_pressure_kpa(rate, max(4.0, temp_c - more), height_m) >= pressure - 1e-9
    assert wall_pressure_kpa(rate, temp_c, height_m + more) >= pressure - 1e-9
    assert pressure <= hydrostatic_kpa(height_m) + 1e-9


@given(st.floats(20, 80), temps, heights, st.sampled_from([1.0, 1.2, 1.4]))
def test_the_highest_rate_is_just_within_the_rating(
    rated_kpa: float, temp_c: float, height_m: float, chemistry: float
) -> None:
    if wall_pressure_kpa(0.0, temp_c, height_m, chemistry=chemistry) > rated_kpa:
        with pytest.raises(CannotDo, match="stiffer form"):
            highest_rate_m_h(rated_kpa, temp_c, height_m, chemistry=chemistry)
        return
    rate = highest_rate_m_h(rated_kpa, temp_c, height_m, chemistry=chemistry)
    if math.isinf(rate):
        assert hydrostatic_kpa(height_m) <= rated_kpa
        return
    assert wall_pressure_kpa(rate, temp_c, height_m, chemistry=chemistry) <= rated_kpa * (1 + 1e-9)
    assert wall_pressure_kpa(rate + 0.01, temp_c, height_m, chemistry=chemistry) > rated_kpa


@pytest.mark.parametrize(("rated_psf", "temp_f"), [(750, 50), (900, 80), (1000, 90), (1000, 95)])
def test_the_highest_rate_is_the_root_scipy_finds(rated_psf: float, temp_f: float) -> None:
    """A 10 ft wall, on both sides of 7 ft/h."""
    rated, temp_c, height = kpa_from_psf(rated_psf), celsius(temp_f), m_from_ft(10)
    root = brentq(lambda rate: wall_pressure_kpa(rate, temp_c, height) - rated, 0.4, 4.57)
    assert highest_rate_m_h(rated, temp_c, height) == pytest.approx(root, rel=1e-6)


def test_a_form_for_liquid_concrete_has_no_rate_limit() -> None:
    """A 4 ft wall presses 600 psf as a liquid."""
    assert highest_rate_m_h(kpa_from_psf(601.0), 10.0, m_from_ft(4)) == math.inf


def test_a_form_below_the_minimum_is_refused_with_the_pressure() -> None:
    with pytest.raises(CannotDo) as refused:
        highest_rate_m_h(kpa_from_psf(590.0), 21.0, 2.4)
    assert refused.value.facts["least_psf"] == 600
    with pytest.raises(CannotDo):
        highest_rate_m_h(kpa_from_psf(900.0), 10.0, m_from_ft(16))


def test_coefficients_of_cement_and_weight() -> None:
    """ACI 347R-14, from memory: Cc of types I, II, III 1.0; retarder or blend 1.2; both, or high blends, 1.4."""
    assert [chemistry_factor("portland"), chemistry_factor("portland", retarder=True)] == [1.0, 1.2]
    assert [chemistry_factor("blended"), chemistry_factor("blended", retarder=True)] == [1.2, 1.4]
    assert {chemistry_factor("high_slag_or_ash", retarder=both) for both in (False, True)} == {1.4}
    factors = [weight_factor(pcf * KG_M3_PER_LB_FT3) for pcf in (100, 130, 140.001, 149.999, 160)]
    assert factors == pytest.approx([0.5 * (1 + 100 / 145), 0.5 * (1 + 130 / 145), 1.0, 1.0, 160 / 145])
    with pytest.raises(CannotDo, match="no cement"):
        chemistry_factor("type IV")


@given(st.lists(st.tuples(rates, temps), min_size=1, max_size=20), heights)
def test_an_array_is_its_numbers(pairs: list[tuple[float, float]], height_m: float) -> None:
    rate, temp = np.array(pairs).T
    assert wall_pressure_kpa(rate, temp, height_m) == pytest.approx(
        [wall_pressure_kpa(*pair, height_m) for pair in pairs]
    )


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: wall_pressure_kpa(-1.0, 20.0, 2.0), "rate_m_h"),
        (lambda: wall_pressure_kpa(1.0, 2.0, 2.0), "concrete_temp_c"),
        (lambda: wall_pressure_kpa(1.0, 20.0, 12.0), "height_m"),
        (lambda: wall_pressure_kpa(1.0, 20.0, 2.0, chemistry=2.0), "chemistry"),
        (lambda: weight_factor(150.0), "density_kg_m3"),
        (lambda: ciria_pressure_kpa(11.0, 20.0, 2.0), "rate_m_h"),
        (lambda: highest_rate_m_h(0.0, 20.0, 2.0), "rated_kpa"),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field
