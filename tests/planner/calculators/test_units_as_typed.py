"""A number may be typed in any unit of its kind, with its unit or with one chosen beside it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from jobs.domain.units import ft_from_m
from planner.calculators.asking.inputs import Ask
from planner.calculators.asking.reading import read_number
from planner.calculators.asking.units import LENGTH, TEMPERATURE, WATER, WIND
from planner.calculators.catalog import CALCULATORS
from tests.planner.calculators.asked import ask

ASKS = [(name, one) for name, calculator in CALCULATORS.items() for one in calculator.asks]
DEEP = Ask(name="depth", label="Depth", kind=LENGTH, low=0.0, high=30.0, source="common practice, no source")


@pytest.mark.parametrize(("name", "asked"), ASKS, ids=lambda one: one if isinstance(one, str) else one.name)
def test_the_same_in_another_unit_is_the_same_answer(name: str, asked: Ask) -> None:
    typed = asked.example or asked.default
    if not typed:
        return
    value, _ = read_number(asked, typed)
    expected = ask(name)
    for unit in asked.kind.units:
        number = f"{unit.from_si(value):.12g}"
        assert ask(name, **{asked.name: f"{number} {unit.symbol}"}).lines == expected.lines
        assert ask(name, **{asked.name: number, f"{asked.name}_unit": unit.symbol}).lines == expected.lines


@pytest.mark.parametrize(
    ("typed", "feet"),
    [
        ("8", 8),
        ("8ft", 8),
        ("8 ft 6 in", 8.5),
        ("8'6\"", 8.5),
        ("8 ft 6", 8.5),
        ("8' 6 1/2\"", 8 + 6.5 / 12),
        ("8-1/2 ft", 8.5),
        ("102in", 8.5),
        ("2.5908 m", 8.5),
        (" 8.5 FT. ", 8.5),
        ("1/2", 0.5),
        (".5 ft", 0.5),
    ],
)
def test_lengths_as_builders_write_them(typed: str, feet: float) -> None:
    assert ft_from_m(read_number(DEEP, typed)[0]) == pytest.approx(feet)


@pytest.mark.parametrize("typed", ["8 ft 6 m", "eight", "", "8 8", "1,2", "8..5", "1/0", "nan", "inf", "--8", "8 ft x"])
def test_what_is_no_length_is_refused(typed: str) -> None:
    with pytest.raises(CannotDo) as refused:
        read_number(DEEP, typed)
    assert refused.value.field == "depth"
    assert refused.value.says.startswith("Depth is ")


def read(typed: str) -> tuple[float, str]:
    """Metres and the unit they were typed in, or 0 and the field that is refused."""
    try:
        value, unit = read_number(DEEP, typed)
    except CannotDo as refused:
        return 0.0, refused.field
    return value, unit.symbol


@given(st.text(max_size=12))
def test_no_text_breaks_the_reading(typed: str) -> None:
    value, unit_or_field = read(typed)
    assert 0 <= value <= 30
    assert unit_or_field in ("depth", *LENGTH.symbols)


@given(st.floats(-40, 50), st.sampled_from(TEMPERATURE.units))
def test_a_temperature_comes_back_from_any_unit(value: float, unit) -> None:
    asked = Ask(name="air", label="Air", kind=TEMPERATURE, low=-40.0, high=50.0, source="common practice, no source")
    assert read_number(asked, f"{unit.from_si(value)!r} {unit.symbol}")[0] == pytest.approx(value, abs=1e-6)


def test_a_unit_typed_with_the_number_wins_over_the_one_beside_it() -> None:
    """68 °F is 20 °C: two ways of one truth, from the definition of the scales."""
    asked = Ask(name="air", label="Air", kind=TEMPERATURE, low=-40.0, high=50.0, source="common practice, no source")
    value, unit = read_number(asked, "68F", "°C")
    assert (value, unit.symbol) == (pytest.approx(20.0), "°F")


def test_published_conversions() -> None:
    """NIST Special Publication 811, appendix B: gallon, mile an hour, psi."""
    assert WATER.units[0].to_si(1.0) == pytest.approx(3.785412e-3, rel=1e-6)
    assert WIND.units[0].to_si(1.0) == pytest.approx(0.44704, rel=1e-9)
    psi = next(one for one in CALCULATORS["pour-rate"].asks if one.name == "rating").kind.unit("psi")
    assert psi is not None
    assert psi.to_si(1.0) == pytest.approx(6.894757, rel=1e-6)
