"""Maturity against printed laws, worked histories, Plowman's table (maturity.csv), SciPy and its own properties."""

from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from structuralcodes.codes import ec2_2004

from jobs.domain.errors import OutsideValidRange
from jobs.science.maturity import (
    RateLaw,
    arrhenius_rate,
    equivalent_ages_h,
    freiesleben_hansen_rate,
    model_code_rate,
    plowman_percent,
    q_from_activation_energy_k,
    step_means_c,
    temperature_time_c_h,
)
from tests.jobs.science.worked_examples import rows_of

RATES: dict[str, RateLaw] = {
    "arrhenius_q5000_20": arrhenius_rate,
    "arrhenius_q5000_23": partial(arrhenius_rate, reference_c=23.0),
    "model_code": model_code_rate,
    "freiesleben_hansen": freiesleben_hansen_rate,
}
DATUMS = {
    "nurse_saul_0": 0.0,
    "nurse_saul_minus_5": -5.0,
    "nurse_saul_minus_10": -10.0,
    "nurse_saul_minus_11": -11.0,
    "nurse_saul_2.5": 2.5,
}
histories = st.lists(st.floats(0, 40), min_size=1, max_size=60).map(np.array)


def history_of(row: dict[str, str]) -> np.ndarray:
    spans = (span.split(":") for span in row["history_c_by_hours"].split())
    return np.concatenate([np.full(int(hours), float(temp_c)) for temp_c, hours in spans])


def found(row: dict[str, str]) -> float:
    law = row["law"]
    if row["quantity"] == "plowman_percent":
        return plowman_percent(float(row["temp_c_or_maturity_c_h"]), strength_mpa=float(law.split("_")[1]))
    if row["quantity"] == "equivalent_age_h":
        return equivalent_ages_h(history_of(row), rate=RATES[law])[-1]
    if row["quantity"] == "temperature_time_c_h":
        return temperature_time_c_h(history_of(row), datum_c=DATUMS[law])[-1]
    if row["quantity"] in ("activation_k", "reference_k"):
        return constant_of(row["quantity"])
    temp_c = float(row["temp_c_or_maturity_c_h"])
    if law in RATES:
        return float(RATES[law](np.array([temp_c]))[0])
    hour, reference = (temperature_time_c_h(np.array([temp]), datum_c=DATUMS[law])[0] for temp in (temp_c, 20.0))
    return hour / reference


def constant_of(quantity: str) -> float:
    """What the European law gives back: the slope of its logarithm over 1 / T, and the temperature of rate one [K]."""
    log_rate_10, log_rate_30 = np.log(model_code_rate(np.array([10.0, 30.0])))
    activation = (log_rate_30 - log_rate_10) / (1 / 283.0 - 1 / 303.0)
    return float(activation if quantity == "activation_k" else 1 / (1 / 283.0 + log_rate_10 / activation))


@pytest.mark.parametrize(
    "row",
    rows_of("concrete/maturity"),
    ids=lambda row: f"{row['law']}-{row['temp_c_or_maturity_c_h']}-{row['expected']}",
)
def test_worked_example(row: dict[str, str]) -> None:
    assert found(row) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]


def test_plowman_is_full_strength_at_its_own_reference() -> None:
    """28 days at 18 degC over a datum of -11.5 degC; the printed constants come back to 98 to 102 % (Neville)."""
    reference = 28 * 24 * (18 + 11.46)
    assert all(97.5 < plowman_percent(reference, strength_mpa=mpa) < 102.5 for mpa in (15.0, 28.0, 40.0, 60.0))


def test_one_printed_step_between_two_readings_is_the_trapezoid() -> None:
    """ASTM C1074: the mean of the readings at the two ends of an interval."""
    readings = np.array([20.0, 26.0, 18.0])
    assert temperature_time_c_h(step_means_c(readings))[-1] == pytest.approx(np.trapezoid(readings))


@pytest.mark.parametrize("rate", RATES.values(), ids=RATES)
def test_short_steps_come_to_the_integral(rate) -> None:
    """A daily wave of 20 +- 12 degC integrated by SciPy; minutes of steps agree to 1e-5."""
    wave = lambda hour: 20 + 12 * np.sin(2 * np.pi * hour / 24)  # noqa: E731
    expected, _ = quad(lambda hour: float(rate(float(wave(hour)))), 0, 24, limit=200)
    middles = (np.arange(24 * 60) + 0.5) / 60
    assert equivalent_ages_h(wave(middles), rate=rate, step_h=1 / 60)[-1] == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("rate", RATES.values(), ids=RATES)
@given(low=st.floats(0, 40), high=st.floats(0, 40))
def test_warmer_hours_are_worth_more(rate, low, high) -> None:
    low, high = sorted((low, high))
    assert rate(low) <= rate(high) * (1 + 1e-12)


@given(histories, histories)
def test_histories_add_up(first, second) -> None:
    together = np.concatenate([first, second])
    for counted in (equivalent_ages_h, temperature_time_c_h):
        assert counted(together)[-1] == pytest.approx(counted(first)[-1] + counted(second)[-1])


@given(st.lists(st.floats(-30, 20), min_size=1, max_size=60).map(np.array))
def test_age_never_falls_and_cold_concrete_is_younger_than_the_clock(temps) -> None:
    ages = equivalent_ages_h(temps, rate=arrhenius_rate)
    assert (np.diff(ages) >= 0).all()
    assert (ages <= np.arange(1, len(temps) + 1) * (1 + 1e-12)).all()


def test_frozen_hours_count_nothing() -> None:
    assert equivalent_ages_h(np.array([20.0, -1.0, -15.0])).tolist() == [pytest.approx(0.998, abs=5e-4)] * 3


@pytest.mark.parametrize("rate", RATES.values(), ids=RATES)
@given(temps=histories)
def test_an_array_is_its_numbers(rate, temps) -> None:
    assert rate(temps) == pytest.approx([rate(float(temp)) for temp in temps])


def test_rows_of_histories_are_counted_one_by_one() -> None:
    rows = np.array([[20.0, 30.0], [5.0, 0.0]])
    assert equivalent_ages_h(rows) == pytest.approx(np.array([equivalent_ages_h(row) for row in rows]))


def test_an_unknown_hour_leaves_the_rest_unknown() -> None:
    ages = equivalent_ages_h(np.array([20.0, np.nan, 20.0]))
    assert ages[0] == pytest.approx(0.998, abs=5e-4)
    assert np.isnan(ages[1:]).all()


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: arrhenius_rate(40.1), "temp_c"),
        (lambda: arrhenius_rate(-0.1), "temp_c"),
        (lambda: arrhenius_rate(20.0, q_k=41_500.0), "q_k"),
        (lambda: arrhenius_rate(20.0, reference_c=73.0), "reference_c"),
        (lambda: freiesleben_hansen_rate(81.0), "temp_c"),
        (lambda: model_code_rate(float("nan")), "temp_c"),
        (lambda: q_from_activation_energy_k(41.5), "activation_energy_j_mol"),
        (lambda: equivalent_ages_h(np.array([20.0, 90.0])), "temps_c"),
        (lambda: equivalent_ages_h(np.array([20.0]), step_h=0.0), "step_h"),
        (lambda: temperature_time_c_h(np.array([-50.0])), "temps_c"),
        (lambda: temperature_time_c_h(np.array([5.0]), datum_c=-40.0), "datum_c"),
        (lambda: plowman_percent(999.0, strength_mpa=28.0), "maturity_c_h"),
        (lambda: plowman_percent(5000.0, strength_mpa=80.0), "strength_mpa"),
    ],
)
def test_outside_its_range_it_refuses(call, field) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field


def test_the_default_is_the_ordinary_activation_energy() -> None:
    """ASTM C1074 (from memory): Q of 5000 K stands for about 41.5 kJ/mol, inside 40 to 45 kJ/mol of ordinary cement."""
    assert q_from_activation_energy_k(41_500.0) == pytest.approx(5000.0, rel=0.002)
    assert q_from_activation_energy_k(40_000.0) < 5000.0 < q_from_activation_energy_k(45_000.0)


@given(st.lists(st.tuples(st.floats(0, 60), st.integers(1, 72)), min_size=1, max_size=8))
def test_the_age_of_a_history_is_what_fib_s_own_library_computes(history: list[tuple[float, int]]) -> None:
    """structuralcodes, the library of the fédération internationale du béton: EN 1992-1-1 (B.10), days at 20 degC."""
    temps, hours = np.array([temp for temp, _ in history]), np.array([float(count) for _, count in history])
    theirs = 24 * ec2_2004.t_T(temps, hours / 24)
    ours = equivalent_ages_h(np.repeat(temps, hours.astype(int)), rate=model_code_rate)[-1]
    # The code says 13.65 where 20 degC would be 13.652.
    assert float(ours) == pytest.approx(theirs, rel=2e-3)
