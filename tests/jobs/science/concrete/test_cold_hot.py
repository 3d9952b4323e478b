"""Cold and hot weather tables (cold_hot.csv), the mixture equation (mixture_temperature.csv), early frost."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo, OutsideValidRange
from jobs.domain.units import kg_from_lb
from jobs.science.cold_hot import (
    cools_too_fast,
    discharge_limits_c,
    first_frost_h,
    is_cold_weather,
    is_hot_weather,
    least_mixed_temp_c,
    least_placed_temp_c,
    mixture_temp_c,
    protection_days,
    transit_drop_c,
)
from jobs.science.strength import EUROPEAN_LAWS, fractions_by_hour
from tests.jobs.science.worked_examples import celsius, rows_of

INCH = 0.0254
NORMAL = EUROPEAN_LAWS["N"]


def found(row: dict[str, str]) -> float:
    quantity = row["quantity"]
    if quantity.startswith("protection_days_"):
        return protection_days(quantity.removeprefix("protection_days_"), quick=row["case"] == "quick")
    if quantity == "transit_drop":
        drop_c = transit_drop_c(celsius(row["required_degf"]), celsius(row["air_degf"]), 1.0, row["case"])
        return drop_c * 1.8
    section_m = float(row["section_in"]) * INCH
    if quantity == "placed":
        return least_placed_temp_c(section_m) * 1.8 + 32
    air_f = float(quantity.removeprefix("mixed_air_").replace("minus_", "-"))
    return least_mixed_temp_c(section_m, celsius(air_f)) * 1.8 + 32


@pytest.mark.parametrize(
    "row", rows_of("concrete/cold_hot"), ids=lambda row: f"{row['quantity']}-{row['section_in']}{row['case']}"
)
def test_published_table(row: dict[str, str]) -> None:
    assert found(row) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0), row["source"]


@pytest.mark.parametrize("row", rows_of("concrete/mixture_temperature"), ids=lambda row: row["expected_temp"])
def test_mixture_equation(row: dict[str, str]) -> None:
    us = row["units"] == "degF"
    masses = {
        f"{name}_kg": kg_from_lb(float(row[f"{name}_lb_or_kg"])) if us else float(row[f"{name}_lb_or_kg"])
        for name in ("aggregate", "cement", "water", "moisture", "ice")
    }
    temps = {
        f"{name}_c": celsius(row[f"{name}_temp"]) if us else float(row[f"{name}_temp"])
        for name in ("aggregate", "cement", "water")
    }
    temp_c = mixture_temp_c(**masses, **temps)
    assert (temp_c * 1.8 + 32 if us else temp_c) == pytest.approx(
        float(row["expected_temp"]), abs=float(row["tolerance"])
    )


@given(st.floats(0, 90))
def test_one_temperature_of_all_materials_is_the_mixture(temp_c: float) -> None:
    mixed = mixture_temp_c(
        aggregate_kg=1800,
        aggregate_c=temp_c,
        cement_kg=300,
        cement_c=temp_c,
        water_kg=150,
        water_c=temp_c,
        moisture_kg=40,
    )
    assert mixed == pytest.approx(temp_c, abs=1e-9)


@given(st.floats(0, 60), st.floats(0, 60))
def test_ice_cools_and_hot_water_warms(ice_kg: float, water_c: float) -> None:
    batch = {"aggregate_kg": 1800.0, "aggregate_c": 25.0, "cement_kg": 300.0, "cement_c": 40.0, "water_kg": 150.0}
    plain = mixture_temp_c(**batch, water_c=water_c)
    assert mixture_temp_c(**batch, water_c=water_c, ice_kg=ice_kg) <= plain + 1e-9
    assert mixture_temp_c(**batch, water_c=water_c + 5) > plain


def test_each_column_is_five_degrees_lower_and_boundaries_take_the_printed_or_the_warmer_column() -> None:
    """ACI 306R table: 5 degF a column; 12 in belongs to 12-36 in, 36 in and 72 in are printed in two columns."""
    fahrenheit = [least_placed_temp_c(inches * INCH) * 1.8 + 32 for inches in (11.9, 12, 36, 36.1, 72, 72.1)]
    assert fahrenheit == pytest.approx([55, 50, 50, 45, 45, 40])


@pytest.mark.parametrize(("air_f", "more_f"), [(31, 5), (30, 10), (0, 10), (-1, 15)])
def test_colder_air_asks_for_a_warmer_mix(air_f: float, more_f: float) -> None:
    """ACI 306R table, lines 2 to 4: air above 30 degF, 0 to 30 degF, below 0 degF."""
    more_c = least_mixed_temp_c(0.15, celsius(air_f)) - least_placed_temp_c(0.15)
    assert more_c * 1.8 == pytest.approx(more_f)


def test_weather_words_at_their_limits() -> None:
    """ACI 306R: below 40 degF; ACI 305.1: 80 degF or more and above 1 kg/m2/h."""
    assert is_cold_weather(celsius(39.9))
    assert not is_cold_weather(celsius(40.1))
    assert is_hot_weather(celsius(80.1), 1.01)
    assert not is_hot_weather(celsius(80.1), 1.0)
    assert not is_hot_weather(celsius(79.0), 2.0)
    assert discharge_limits_c(0.15) == pytest.approx((celsius(55), celsius(95)))


@given(st.floats(0, 40), st.floats(-40, 40), st.floats(0, 3))
def test_a_load_cools_toward_the_air_only(required_c: float, air_c: float, hours: float) -> None:
    drop = transit_drop_c(required_c, air_c, hours, "drum")
    assert 0 <= drop <= max(0.0, required_c - air_c)
    assert transit_drop_c(required_c, air_c, hours, "covered_dump") <= drop
    assert transit_drop_c(np.array([required_c]), np.array([air_c]), hours)[0] == drop


def test_full_load_has_no_days() -> None:
    with pytest.raises(CannotDo) as refused:
        protection_days("full_load")
    assert refused.value.code == "cold.protection_by_test"


def test_cooling_after_the_cover_comes_off() -> None:
    """UFGS: 5 degF in an hour, 50 degF in 24 hours."""
    assert not cools_too_fast(np.linspace(25, 0, 25))
    assert cools_too_fast(np.linspace(30, 0, 25))
    assert cools_too_fast(np.array([20.0, 17.1]))
    assert not cools_too_fast(np.array([10.0, 30.0]))
    assert cools_too_fast(np.array([20.0, np.nan, 20.0]))


def test_frost_counts_until_the_concrete_can_bear_it() -> None:
    """3.5 MPa of 28 is an eighth; a day at 20 degC is beyond it, six hours are not (ACI 306R: within the first day)."""
    frost = np.full(10, -4.0)
    assert first_frost_h(np.concatenate([np.full(6, 20.0), frost]), specified_mpa=28.0, law=NORMAL) == 6
    assert first_frost_h(np.concatenate([np.full(24, 20.0), frost]), specified_mpa=28.0, law=NORMAL) is None
    assert fractions_by_hour(np.full(24, 20.0), law=NORMAL)[-1] * 28 > 3.5
    assert first_frost_h(np.array([20.0, np.nan, -5.0]), specified_mpa=28.0, law=NORMAL) == 2


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: least_placed_temp_c(0.0), "section_m"),
        (lambda: least_mixed_temp_c(0.15, 60.0), "air_temp_c"),
        (lambda: transit_drop_c(20.0, -50.0, 1.0), "air_temp_c"),
        (lambda: transit_drop_c(20.0, 0.0, 4.0), "hours"),
        (
            lambda: mixture_temp_c(aggregate_kg=0, aggregate_c=20, cement_kg=0, cement_c=20, water_kg=0, water_c=20),
            "batch_kg",
        ),
        (
            lambda: mixture_temp_c(
                aggregate_kg=100, aggregate_c=1, cement_kg=10, cement_c=1, water_kg=10, water_c=1, ice_kg=50
            ),
            "mixture temperature",
        ),
        (lambda: first_frost_h(np.array([1.0]), specified_mpa=4000.0, law=NORMAL), "specified_mpa"),
    ],
)
def test_outside_its_range_it_refuses(call, field: str) -> None:
    with pytest.raises(OutsideValidRange) as refusal:
        call()
    assert refusal.value.field == field


@pytest.mark.parametrize("call", [lambda: protection_days("half"), lambda: transit_drop_c(20.0, 0.0, 1.0, "bucket")])
def test_an_unknown_case_is_named(call) -> None:
    with pytest.raises(CannotDo, match="not in the table"):
        call()


@given(st.lists(st.tuples(st.floats(0, 40), st.floats(-40, 40)), min_size=1, max_size=12), st.floats(0, 3))
def test_losses_of_a_way_are_those_of_its_numbers_and_grow_with_it(
    pairs: list[tuple[float, float]], hours: float
) -> None:
    required, air = np.array(pairs).T
    drops = transit_drop_c(required, air, hours)
    assert drops == pytest.approx([transit_drop_c(*pair, hours) for pair in pairs])
    assert (transit_drop_c(required, air, 3.0) >= drops - 1e-9).all()
