"""Strength laws against printed tables (strength.csv), and strength after a temperature history."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from structuralcodes.codes import ec2_2004

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.science.maturity import arrhenius_rate, equivalent_ages_h, model_code_rate
from jobs.science.strength import (
    ACI_LAWS,
    DEFAULT_RATE,
    EUROPEAN_LAWS,
    AciLaw,
    EuropeanLaw,
    StrengthLaw,
    StrengthTest,
    fractions_by_hour,
    hours_to_fraction,
    ready_hours_by_start,
)
from tests.jobs.science.worked_examples import rows_of

LAWS: dict[str, StrengthLaw] = {
    **{f"aci_{cement}_{cure}": law for (cement, cure), law in ACI_LAWS.items()},
    **{f"european_{name}": law for name, law in EUROPEAN_LAWS.items()},
}
NORMAL = EUROPEAN_LAWS["N"]
every_law = pytest.mark.parametrize("law", LAWS.values(), ids=LAWS)
temps = st.lists(st.floats(-10, 40), min_size=30, max_size=120).map(np.array)


@pytest.mark.parametrize(
    "row", rows_of("concrete/strength"), ids=lambda row: f"{row['law']}-{row['age_days']}-{row['fraction']}"
)
def test_worked_example(row: dict[str, str]) -> None:
    law, tolerance = LAWS[row["law"]], float(row["tolerance"])
    days, fraction = float(row["age_days"]), float(row["fraction"])
    if row["quantity"] == "fraction":
        assert law.fraction(days * 24) == pytest.approx(fraction, abs=tolerance, rel=0), row["source"]
    elif row["quantity"] == "days_to_fraction":
        assert law.age_h(fraction) / 24 == pytest.approx(days, abs=tolerance, rel=0), row["source"]
    else:
        # The row counts its age by the law as printed, 0.998 at 20 degC; ours counts a day at 20 degC as a day.
        history = np.full(400, float(row["temp_c"]))
        found = hours_to_fraction(history, fraction, law=law, rate=model_code_rate) / 24 / np.exp(13.65 - 4000 / 293)
        assert found == pytest.approx(days, abs=tolerance, rel=0), row["source"]


def test_seven_days_cold_and_warm() -> None:
    """Published page on winter work in the UK (ordinary cement): 65 to 70 % after 7 days at 20 degC, 30 to 35 % at 5.

    The slow law reads the warm pair; at 5 degC the chosen law of maturity reads 0.36 and the European one 0.50.
    """
    slow = EUROPEAN_LAWS["S"]
    warm = fractions_by_hour(np.full(168, 20.0), law=slow)[-1]
    cold, european = (
        fractions_by_hour(np.full(168, 5.0), law=slow, rate=rate)[-1] for rate in (DEFAULT_RATE, model_code_rate)
    )
    assert 0.65 <= warm <= 0.70
    assert 0.30 <= cold < 0.365 < european


@every_law
@given(age_h=st.floats(1, 8000))
def test_age_undoes_fraction(law: StrengthLaw, age_h: float) -> None:
    assert law.age_h(law.fraction(age_h)) == pytest.approx(age_h, rel=1e-6)


@every_law
def test_the_inverse_is_the_root_scipy_finds(law: StrengthLaw) -> None:
    for fraction in (0.2, 0.35, 0.5, 0.75):
        root = brentq(lambda age_h, f=fraction: law.fraction(age_h) - f, 1.0, 8000.0)
        assert law.age_h(fraction) == pytest.approx(root, rel=1e-6)


@every_law
@given(ages=st.lists(st.floats(0, 8760), min_size=2, max_size=20))
def test_strength_grows_and_an_array_is_its_numbers(law: StrengthLaw, ages: list[float]) -> None:
    together = law.fraction(np.array(sorted(ages)))
    assert (np.diff(together) >= -1e-12).all()
    assert together == pytest.approx([law.fraction(age) for age in sorted(ages)])


@every_law
def test_nothing_at_placing(law: StrengthLaw) -> None:
    assert law.fraction(0.0) == 0
    assert law.age_h(0.0) == 0


@every_law
def test_a_day_at_the_reference_is_a_day(law: StrengthLaw) -> None:
    history = np.full(240, law.reference_c)
    assert fractions_by_hour(history, law=law)[-1] == pytest.approx(law.fraction(240.0))
    assert hours_to_fraction(history, 0.5, law=law) == pytest.approx(law.age_h(0.5))


@given(temps, st.floats(0.02, 0.6))
def test_the_hour_found_has_the_strength_asked(history: np.ndarray, fraction: float) -> None:
    by_hour = fractions_by_hour(history, law=NORMAL)
    if by_hour[-1] < fraction:
        with pytest.raises(CannotDo, match="not reached"):
            hours_to_fraction(history, fraction, law=NORMAL)
        return
    ready = hours_to_fraction(history, fraction, law=NORMAL)
    assert by_hour[int(np.ceil(ready)) - 1] >= fraction - 1e-12
    before = int(np.ceil(ready)) - 2
    assert before < 0 or by_hour[before] < fraction + 1e-12


@every_law
@pytest.mark.parametrize("fraction", [0.2, 0.35, 0.5, 0.7])
def test_the_hour_of_a_share_is_the_root_of_the_integral_scipy_finds(law: StrengthLaw, fraction: float) -> None:
    """SciPy: the age is the integral of the rate over a daily wave about 12 degC, the hour the root of the law over it.

    Ours counts whole hours of mean temperature; the wave in steps of an hour costs less than a tenth of an hour.
    """
    wave = lambda hour: 12 + 6 * np.sin(2 * np.pi * hour / 24)  # noqa: E731
    a_day = float(DEFAULT_RATE(np.array([law.reference_c]))[0])

    def age_h(hour: float) -> float:
        return quad(lambda at: float(DEFAULT_RATE(np.array([wave(at)]))[0]), 0, hour, limit=400)[0] / a_day

    expected = brentq(lambda hour: law.fraction(age_h(hour)) - fraction, 2.0, 900.0, xtol=0.01)
    history = wave(np.arange(1000) + 0.5)
    assert hours_to_fraction(history, fraction, law=law) == pytest.approx(expected, abs=0.1)


@given(temps, st.floats(0, 20))
def test_warmer_concrete_is_ready_no_later(history: np.ndarray, warmer_c: float) -> None:
    full = np.concatenate([history, np.full(400, 15.0)])
    warm = np.minimum(full + warmer_c, 40.0)
    assert hours_to_fraction(warm, 0.5, law=NORMAL) <= hours_to_fraction(full, 0.5, law=NORMAL) + 1e-9


@given(st.lists(st.floats(-20, 35), min_size=60, max_size=60))
def test_placed_later_is_never_ready_earlier(air: list[float]) -> None:
    """Concrete placed at 30 degC that cools to the air by half each hour: by itself it can overtake."""
    clock = np.concatenate([air, np.full(300, 20.0)])
    hours = np.arange(200)
    rows = np.array([clock[at : at + 200] + (30 - clock[at : at + 200]) * 0.5**hours for at in range(60)])
    ready = ready_hours_by_start(np.clip(rows, -30, 40), 0.35, law=NORMAL)
    assert (np.diff(ready) >= 0).all()
    own = [at + hours_to_fraction(np.clip(row, -30, 40), 0.35, law=NORMAL) for at, row in enumerate(rows)]
    assert ready == pytest.approx(np.maximum.accumulate(own))


def test_a_start_that_is_never_ready_hides_the_later_ones() -> None:
    rows = np.vstack([np.full(50, 20.0), np.full(50, -5.0), np.full(50, 20.0)])
    ready = ready_hours_by_start(rows, 0.35, law=NORMAL)
    assert ready[0] == pytest.approx(NORMAL.age_h(0.35))
    assert np.isnan(ready[1:]).all()


HISTORY = np.full(2000, 20.0)


@given(st.floats(12, 200), st.floats(0.05, 1.0))
def test_a_test_is_met_and_what_follows_is_the_lower_of_two_readings(after_h: float, measured: float) -> None:
    test = StrengthTest(after_h=after_h, fraction=measured)
    followed = fractions_by_hour(HISTORY, law=NORMAL, test=test)
    plain = fractions_by_hour(HISTORY, law=NORMAL)
    first = int(np.ceil(after_h))
    at_test = NORMAL.fraction(after_h)
    assert followed[: first - 1] == pytest.approx(plain[: first - 1])
    assert followed[first - 1] == pytest.approx(measured, abs=0.08)
    assert (np.diff(followed[first - 1 :]) >= -1e-12).all()
    assert (followed[first - 1 :] <= plain[first - 1 :] * measured / at_test + 1e-12).all()


@pytest.mark.parametrize("measured", [0.45, 0.6, 0.9])
def test_a_test_moves_the_hour_of_a_share(measured: float) -> None:
    """At 72 h of 20 degC the law says 0.598 (EC2): a lower test waits longer, a higher one shorter."""
    test = StrengthTest(after_h=72.0, fraction=measured)
    ready = hours_to_fraction(HISTORY, 0.75, law=NORMAL, test=test)
    plain = hours_to_fraction(HISTORY, 0.75, law=NORMAL)
    if measured >= 0.75:
        assert ready == 72
    else:
        assert (ready > plain) == (measured < NORMAL.fraction(72.0))
        by_hour = fractions_by_hour(HISTORY, law=NORMAL, test=test)
        assert by_hour[int(np.floor(ready)) - 1] <= 0.75 <= by_hour[int(np.ceil(ready)) - 1] + 1e-9


def test_a_very_weak_test_is_not_waited_out() -> None:
    with pytest.raises(CannotDo) as refused:
        hours_to_fraction(HISTORY, 0.75, law=NORMAL, test=StrengthTest(after_h=168.0, fraction=0.3))
    assert refused.value.code == "strength.too_weak"


def test_a_test_of_concrete_that_computes_to_nothing_takes_up_its_own_age() -> None:
    history = np.concatenate([np.full(24, -5.0), np.full(300, 20.0)])
    followed = fractions_by_hour(history, law=NORMAL, test=StrengthTest(after_h=24.0, fraction=0.2))
    assert followed[23] == pytest.approx(0.2)
    assert followed[-1] == pytest.approx(NORMAL.fraction(NORMAL.age_h(0.2) + 300))


def test_an_unknown_hour_is_named() -> None:
    with pytest.raises(CannotDo) as refused:
        hours_to_fraction(np.array([20.0, np.nan, 20.0]), 0.5, law=NORMAL)
    assert refused.value.facts["hour"] == 2
    early = hours_to_fraction(np.concatenate([np.full(100, 20.0), [np.nan]]), 0.35, law=NORMAL)
    assert early == pytest.approx(NORMAL.age_h(0.35))


def test_another_rate_law_gives_another_hour() -> None:
    cold = np.full(600, 8.0)
    ready = hours_to_fraction(cold, 0.5, law=NORMAL, rate=arrhenius_rate)
    assert equivalent_ages_h(cold, rate=arrhenius_rate)[0] * ready == pytest.approx(NORMAL.age_h(0.5))


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: NORMAL.fraction(-1.0), "age_h"),
        (lambda: NORMAL.fraction(24.0 * 400), "age_h"),
        (lambda: NORMAL.age_h(1.5), "fraction"),
        (lambda: ACI_LAWS["I", "moist"].age_h(-0.1), "fraction"),
        (lambda: AciLaw(a_days=10.0, b=0.85), "a_days"),
        (lambda: AciLaw(a_days=4.0, b=1.2), "b"),
        (lambda: EuropeanLaw(s=0.5), "s"),
        (lambda: StrengthTest(after_h=0.0, fraction=0.2), "after_h"),
        (lambda: StrengthTest(after_h=24.0, fraction=20.0), "fraction"),
        (lambda: fractions_by_hour(HISTORY, law=NORMAL, test=StrengthTest(after_h=2001.0, fraction=0.5)), "after_h"),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(CannotDo) as refused:
        call()
    assert refused.value.field == field


def test_a_number_outside_says_its_source() -> None:
    with pytest.raises(OutsideValidRange, match="aci_209"):
        ACI_LAWS["III", "moist"].fraction(9000.0)


@given(st.floats(0.5, 365), st.sampled_from(["R", "N", "S"]))
def test_the_european_law_is_what_fib_s_own_library_computes(days: float, cement: str) -> None:
    """structuralcodes, the library of the fédération internationale du béton: EN 1992-1-1, 3.1.2(6)."""
    theirs = ec2_2004.beta_cc(days, ec2_2004.s_time_development(cement))
    assert EUROPEAN_LAWS[cement].fraction(24 * days) == pytest.approx(float(theirs), rel=1e-9)
