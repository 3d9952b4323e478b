"""Doses (doses.csv), saturation indices (saturation_index.csv, saturation_factors.csv) and dilution of pool water."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.domain.units import lb_from_kg, m3_from_gallons
from jobs.science.chemistry import (
    PRODUCTS,
    after_overflow_ppm,
    after_refill_ppm,
    balance,
    dose,
    langelier_index,
    saturation_index,
    share_to_replace,
)
from jobs.words import all_words
from tests.jobs.science.worked_examples import celsius, rows_of

FL_OZ_PER_LITRE = 128 / 3.785411784
volumes = st.floats(5, 500)
amounts = st.floats(0, 5000)


@pytest.mark.parametrize(
    "row", rows_of("water/doses"), ids=lambda row: f"{row['product']}-{row['change_ppm']}-{row['expected']}"
)
def test_published_dose(row: dict[str, str]) -> None:
    doses = dose(
        row["product"],
        change_ppm=float(row["change_ppm"]),
        volume_m3=m3_from_gallons(float(row["volume_gal"])),
    )
    found = {
        "lb": lb_from_kg(doses.total_kg),
        "oz": 16 * lb_from_kg(doses.total_kg),
        "fl_oz": doses.each_litres * doses.doses_each * FL_OZ_PER_LITRE,
    }[row["unit"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["source"]


@pytest.mark.parametrize("row", rows_of("water/saturation_index"), ids=lambda row: f"{row['form']}-{row['expected']}")
def test_worked_index(row: dict[str, str]) -> None:
    water = float(row["ph"]), celsius(row["water_degf"]), float(row["calcium_ppm"]), float(row["alkalinity_ppm"])
    dissolved = float(row["dissolved_ppm"])
    if row["form"] == "industrial":
        found = langelier_index(*water, dissolved_ppm=dissolved)
    else:
        found = saturation_index(*water, dissolved_ppm=dissolved, by_table=row["form"] == "table")
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["source"]


@pytest.mark.parametrize("row", rows_of("water/saturation_factors"), ids=lambda row: f"{row['factor']}-{row['ppm']}")
def test_the_printed_factors_are_the_logarithms(row: dict[str, str]) -> None:
    """pH 7 at 32 degF, where the heat factor is 0, and 100 ppm of the other (2.0 and 1.6 in the table)."""
    ppm = float(row["ppm"])
    calcium, alkalinity = (ppm, 100.0) if row["factor"] == "calcium" else (100.0, ppm)
    other = 2.0 if row["factor"] == "calcium" else 1.6
    for by_table in (False, True):
        factor = saturation_index(7.0, 0.0, calcium, alkalinity, by_table=by_table) - 7.0 + 12.1 - other
        assert factor == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row["source"]


@given(st.floats(6.8, 8.2), st.floats(0.5, 40), st.floats(100, 600), st.floats(40, 250), st.floats(300, 900))
def test_pool_form_and_industrial_form_agree(ph, temp_c, calcium, alkalinity, dissolved) -> None:
    """Computed range of the difference over 32 to 105 degF: 0.0 to 0.13; the constant 12.1 stands for about 800 ppm,
    and 300 ppm moves the industrial form by 0.04."""
    pool = saturation_index(ph, temp_c, calcium, alkalinity)
    industrial = langelier_index(ph, temp_c, calcium, alkalinity, dissolved_ppm=dissolved)
    assert abs(pool - industrial) < 0.18


@given(st.floats(6.5, 8.4), st.floats(1, 45), st.floats(20, 900), st.floats(40, 900), st.floats(1.01, 1.1))
def test_more_of_anything_scales_more_and_stabiliser_less(ph, temp_c, calcium, alkalinity, more) -> None:
    index = saturation_index(ph, temp_c, calcium, alkalinity)
    assert saturation_index(ph * more**0.1, temp_c, calcium, alkalinity) > index
    assert saturation_index(ph, temp_c * more, calcium, alkalinity) >= index
    assert saturation_index(ph, temp_c, calcium * more, alkalinity) > index
    assert saturation_index(ph, temp_c, calcium, alkalinity * more) > index
    assert saturation_index(ph, temp_c, calcium, alkalinity, stabiliser_ppm=50.0) < index
    assert saturation_index(ph, temp_c, calcium, alkalinity, dissolved_ppm=3200.0) == pytest.approx(index - 0.1)


def test_what_an_index_says() -> None:
    """Balanced within 0.3 ideal, 0.5 acceptable (pool operator manual)."""
    assert [balance(index) for index in (-0.31, -0.3, 0.0, 0.3, 0.31)] == [
        "corrosive",
        "balanced",
        "balanced",
        "balanced",
        "scaling",
    ]
    assert balance(-0.4, within=0.5) == "balanced"


@given(st.sampled_from(sorted(PRODUCTS)), st.floats(0.1, 500), volumes)
def test_no_single_dose_is_larger_than_usual(product: str, change: float, volume_m3: float) -> None:
    signed = change if PRODUCTS[product].raises else -change
    doses = dose(product, change_ppm=signed, volume_m3=volume_m3)
    most_ppm = PRODUCTS[product].most_ppm or math.inf
    one = dose(product, change_ppm=signed / doses.doses_each, volume_m3=volume_m3)
    assert change / doses.doses_each <= most_ppm * (1 + 1e-9)
    assert one.doses_each == 1
    assert one.each_kg == pytest.approx(doses.each_kg)
    assert doses.total_kg == pytest.approx(dose(product, change_ppm=signed, volume_m3=1.0).total_kg * volume_m3)


def test_every_dose_says_never_mix_and_test_again() -> None:
    doses = dose("muriatic_acid_31", change_ppm=-30.0, volume_m3=75.0)
    assert doses.doses_each == 3
    assert set(doses.cautions) == {"chemistry.never_mix", "chemistry.retest"}
    assert all(code in all_words() for code in doses.cautions)


def test_acid_at_once_is_a_quart_to_ten_thousand_gallons() -> None:
    """Common practice, no source: a quart; the limit of 12.5 ppm alkalinity is exactly that to 1 %."""
    quart = dose("muriatic_acid_31", change_ppm=-12.5, volume_m3=m3_from_gallons(10_000))
    assert quart.doses_each == 1
    assert quart.each_litres * FL_OZ_PER_LITRE == pytest.approx(32, rel=0.01)


@given(amounts, volumes, st.floats(0, 1))
def test_salt_is_neither_made_nor_lost(now_ppm: float, volume_m3: float, share: float) -> None:
    """Drained water takes its salt, refill brings its own: what was in the pool is there or down the drain."""
    replaced = volume_m3 * share
    after = after_refill_ppm(now_ppm, replaced, volume_m3, fresh_ppm=100.0)
    before_g, after_g = now_ppm * volume_m3, after * volume_m3
    assert after_g == pytest.approx(before_g - now_ppm * replaced + 100.0 * replaced, abs=1e-6 * (before_g + 1))


@given(amounts, volumes, st.floats(0, 1))
def test_overflow_loses_less_than_draining_first_and_adds_up(now_ppm: float, volume_m3: float, share: float) -> None:
    rain = volume_m3 * share
    mixed = after_overflow_ppm(now_ppm, rain, volume_m3)
    assert mixed >= after_refill_ppm(now_ppm, rain, volume_m3) - 1e-9
    half = after_overflow_ppm(now_ppm, rain / 2, volume_m3)
    assert after_overflow_ppm(half, rain / 2, volume_m3) == pytest.approx(mixed)


def test_overflow_is_the_integral_of_the_balance() -> None:
    """SciPy: dc/dVr = -c / V. Computed by hand: 20,000 gal, 807.9 gal of rain, 3200 -> 3,073.3 and 3,070.7 ppm."""
    solved = solve_ivp(lambda _, c: -c / 20_000, (0, 807.9), [3200.0], rtol=1e-10)
    volume, rain = m3_from_gallons(20_000), m3_from_gallons(807.9)
    assert after_overflow_ppm(3200.0, rain, volume) == pytest.approx(float(solved.y[0][-1]), rel=1e-7)
    assert after_overflow_ppm(3200.0, rain, volume) == pytest.approx(3073.3, abs=0.05)
    assert after_refill_ppm(3200.0, rain, volume) == pytest.approx(3070.7, abs=0.05)


def test_share_to_replace() -> None:
    """Computed by hand: 90 to 50 ppm takes 44.4 % with pure water, 50 % with water of 10 ppm."""
    assert share_to_replace(90.0, 50.0) == pytest.approx(0.444, abs=0.0005)
    assert share_to_replace(90.0, 50.0, fresh_ppm=10.0) == pytest.approx(0.5)
    assert share_to_replace(50.0, 50.0, fresh_ppm=50.0) == 0
    for now, wanted, fresh in ((50.0, 90.0, 0.0), (90.0, 50.0, 60.0), (90.0, 80.0, 90.0)):
        with pytest.raises(CannotDo, match="cannot bring"):
            share_to_replace(now, wanted, fresh_ppm=fresh)


@given(st.floats(10, 5000), st.floats(0.01, 1))
def test_replacing_the_share_brings_the_wanted(now_ppm: float, part: float) -> None:
    share = share_to_replace(now_ppm, now_ppm * part)
    assert after_refill_ppm(now_ppm, share * 80.0, 80.0) == pytest.approx(now_ppm * part)


@given(st.lists(st.tuples(st.floats(6.5, 8.5), st.floats(1, 45)), min_size=1, max_size=10))
def test_an_array_is_its_numbers(waters) -> None:
    ph, temp_c = np.array(waters).T
    calcium, alkalinity = np.full(len(ph), 250.0), np.full(len(ph), 90.0)
    for by_table in (False, True):
        together = saturation_index(ph, temp_c, calcium, alkalinity, by_table=by_table)
        one = [saturation_index(p, t, 250.0, 90.0, by_table=by_table) for p, t in waters]
        assert together == pytest.approx(one)
    together = langelier_index(ph, temp_c, calcium, alkalinity, dissolved_ppm=500.0)
    assert together == pytest.approx([langelier_index(p, t, 250.0, 90.0, dissolved_ppm=500.0) for p, t in waters])
    assert after_overflow_ppm(np.array([3200.0]), 3.0, 75.0)[0] == after_overflow_ppm(3200.0, 3.0, 75.0)


@pytest.mark.parametrize(
    ("product", "change", "code"),
    [
        ("magic_powder", 10.0, "chemistry.no_product"),
        ("salt", -100.0, "chemistry.wrong_way"),
        ("muriatic_acid_31", 10.0, "chemistry.wrong_way"),
    ],
)
def test_doses_that_cannot_be(product: str, change: float, code: str) -> None:
    with pytest.raises(CannotDo) as refused:
        dose(product, change_ppm=change, volume_m3=75.0)
    assert refused.value.code == code


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: dose("salt", change_ppm=9000.0, volume_m3=75.0), "change_ppm"),
        (lambda: dose("salt", change_ppm=100.0, volume_m3=0.0), "volume_m3"),
        (lambda: after_overflow_ppm(3200.0, -1.0, 75.0), "rain_m3"),
        (lambda: after_refill_ppm(3200.0, 76.0, 75.0), "replaced_m3"),
        (lambda: saturation_index(5.0, 25.0, 200.0, 100.0), "ph"),
        (lambda: saturation_index(7.5, 84.0, 200.0, 100.0), "water_temp_c"),
        (lambda: saturation_index(7.5, 25.0, 200.0, 30.0, stabiliser_ppm=100.0), "alkalinity_ppm"),
        (lambda: langelier_index(7.5, 25.0, 2.0, 100.0, dissolved_ppm=500.0), "calcium_ppm"),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field
