"""Answers are complete, move the right way, and refuse to call anything safe."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.errors import CannotDo
from planner.calculators.answering.answer import DEFERS
from planner.calculators.asking.inputs import Choose
from planner.calculators.catalog import CALCULATORS
from tests.jobs.science.worked_examples import rows_of
from tests.planner.calculators.asked import also, ask, hours_in, printed

EXAMPLE_CHOICES = {
    name: {one.name: one.default for one in found.inputs if isinstance(one, Choose)}
    for name, found in CALCULATORS.items()
}
BOX = {"shallow_length": None, "deep_length": None, "back_slope": None, "side_slope": None}


def says(name: str, given: dict[str, str]) -> str:
    """The answer in a sentence, or what to do instead."""
    try:
        return ask(name, **given).says
    except CannotDo as refusal:
        return refusal.remedy


def test_every_question_of_the_trade_is_there() -> None:
    assert set(CALCULATORS) == {
        "fill", "pour-rate", "strength", "evaporation", "salt", "saturation", "uplift", "drying", "setting", "heat",
        "pool", "concrete", "ph", "measures", "maturity", "wall-pour", "cold", "mixture", "keeping-warm",
        "steel", "spoil", "over-order", "forms", "gravel", "pipe", "liner", "plaster", "deck",
        "whole-order",
    }  # fmt: skip


@pytest.mark.parametrize("name", CALCULATORS)
def test_an_answer_says_formula_range_source_and_cautions(name: str) -> None:
    answer = ask(name)
    assert all((answer.says, answer.lines, answer.formula, answer.valid, answer.sources, answer.pictures))
    assert answer.cautions[-1] == DEFERS
    ranges = " ".join(answer.valid).lower()
    asks = [one for one in CALCULATORS[name].asks if one.when is None or one.when.holds(EXAMPLE_CHOICES[name])]
    assert all(f"{one.label.lower()} {one.allowed().lower()}" in ranges for one in asks)
    assert "is safe" not in " ".join((answer.says, *answer.cautions)).replace("that a thing is safe", "")


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_choice_is_answered_or_refused_in_words(name: str) -> None:
    for one in CALCULATORS[name].inputs:
        for value, _ in one.options if isinstance(one, Choose) else ():
            assert says(name, {one.name: value})


@given(st.floats(4, 40), st.floats(4, 40))
def test_a_stronger_hose_fills_sooner(gpm: float, more: float) -> None:
    assert also(ask("fill", flow=gpm + more), "Full after") <= also(ask("fill", flow=gpm), "Full after")


def test_a_fill_is_the_integral_of_its_balance() -> None:
    """Box of 800 ft2: dV/dt = Q - e A is constant, so t = V / (Q - e A); 0.25 in/day off 800 ft2 is 124.7 gal/day."""
    answer = ask("fill", **BOX, shallow_depth="5 ft", deep_depth="5 ft", flow="10 gpm", evaporation="0.25 in/day")
    volume = 800 * 5 * 7.480519
    assert also(answer, "Full after") == pytest.approx(volume / (10 - 124.675 / 1440) / 60, abs=0.1)


def test_stops_of_a_liner_are_below_their_fittings_and_plaster_has_none() -> None:
    liner, plaster = ask("fill"), ask("fill", finish="plaster")
    stops = [line.label for line in liner.lines if line.label.startswith("Cut in")]
    assert stops == ["Cut in: main drain", "Cut in: stair, light", "Cut in: return", "Cut in: skimmer"]
    hours = [hours_in(liner, stop) for stop in stops]
    assert hours == sorted(hours)
    assert hours_in(liner, "Full after") >= hours[-1]
    assert not any(line.label.startswith("Cut in") for line in plaster.lines)
    assert any("does not stop" in caution for caution in plaster.cautions)


@given(st.floats(35, 95), st.floats(0.5, 40))
def test_colder_concrete_holds_longer_and_presses_longer(temp_f: float, colder: float) -> None:
    cold = max(temp_f - colder, 34.0)
    label = "70 % reached after"
    assert also(ask("strength", concrete_temp=cold), label) >= also(ask("strength", concrete_temp=temp_f), label)
    rain = "Rain-safe after"
    assert hours_in(ask("setting", concrete_temp=cold), rain) >= hours_in(ask("setting", concrete_temp=temp_f), rain)


@pytest.mark.parametrize("row", [row for row in rows_of("concrete/maturity") if row["history_c_by_hours"]], ids=str)
def test_a_history_is_as_mature_as_printed(row: dict[str, str]) -> None:
    """Worked histories, published and computed, each naming its source."""
    rows = ";".join(f"{span.split(':')[0]} C, {span.split(':')[1]}" for span in row["history_c_by_hours"].split())
    datum = {"nurse_saul_0": 0, "nurse_saul_minus_5": -5, "nurse_saul_minus_10": -10, "nurse_saul_minus_11": -11,
             "nurse_saul_2.5": 2.5}.get(row["law"])  # fmt: skip
    if row["law"] == "arrhenius_q5000_23":
        return
    answer = ask("maturity", history=rows, datum=f"{datum or 0} C")
    label = {
        "freiesleben_hansen": "Equivalent age at 68 °F",
        "arrhenius_q5000_20": "The same with one activation energy",
        "model_code": "The same by the European code",
    }.get(row["law"], "Temperature-time factor")
    found, half = (also(answer, label), 0.05) if datum is None else (printed(answer, label), 0.5)
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + half)


def test_the_hour_of_a_share_is_where_the_steady_calculator_finds_it() -> None:
    steady = ask("strength", concrete_temp="50 F", percent="50", cement="class-n")
    told = ask("maturity", history="50, 720", percent="50", cement="class-n")
    assert hours_in(told, "50 % was reached after") == hours_in(steady, "50 % reached after")
    assert [line.value for line in ask("maturity", history="50, 24").lines if "reached" in line.label] == ["not yet"]


@given(st.floats(-10, 60), st.floats(0, 30), st.floats(3, 14))
def test_what_holds_its_heat_stays_warmer_and_gets_stronger(coldest: float, swing: float, thickness: float) -> None:
    """Foam forms hold more than a blanket, a blanket more than nothing; never colder than the coldest air."""
    air = {"coldest": coldest, "warmest": coldest + swing, "placed": 62, "thickness": thickness, "days": 4}
    bare, covered, wall = (ask("keeping-warm", **air, member=one) for one in ("slab", "slab-blanket", "insulated-wall"))
    for label in ("Coldest concrete", "Share of the 28-day strength after 4 days"):
        found = [printed(answer, label) for answer in (bare, covered, wall)]
        if coldest + swing < 60:
            assert found == sorted(found)
    assert printed(bare, "Coldest concrete") >= min(coldest, 62) - 0.51


def test_frost_on_young_concrete_is_told_with_its_hour() -> None:
    cold = ask("keeping-warm", member="slab", coldest="5", warmest="20", placed="55", days="3")
    assert "before it is strong enough" in cold.says
    assert "does not freeze" in ask("keeping-warm", member="insulated-wall", coldest="28", warmest="44").says


def test_bars_of_a_mat_worked_by_hand() -> None:
    """20 by 10 ft at 12 in: 11 bars along and 21 across; 11 x 20 + 21 x 10 ft = 430 ft, no lap in 20 ft of stock.
    With 5 % lost 451.5 ft are 23 bars; 0.668 lb a foot of No. 4 (A615, from memory) are 307 lb."""
    answer = ask("steel", length="20", width="10", spacing="12")
    assert printed(answer, "Bars in the mat") == 32
    assert printed(answer, "Length without laps") == printed(answer, "Length with laps") == 430
    assert printed(answer, "Bars to buy") == 23
    assert printed(answer, "They weigh") == pytest.approx(23 * 20 * 0.668, rel=2e-3)


@given(st.floats(4, 60), st.floats(4, 60), st.floats(4, 18), st.floats(0, 40))
def test_steel_covers_both_ways_and_laps_only_add(length: float, width: float, spacing: float, lap: float) -> None:
    answer = ask("steel", length=length, width=width, spacing=spacing, lap=lap)
    net, lapped = printed(answer, "Length without laps"), printed(answer, "Length with laps")
    assert net >= 2 * length * width / (spacing / 12) - 1
    assert lapped >= net
    assert 20 * printed(answer, "Bars to buy") >= 1.05 * lapped - 1


def test_spoil_swells_and_is_hauled() -> None:
    """27 by 20 ft, 5 ft deep are 100 yd3 in the ground (computed by hand); loam swells to 125, eleven trucks of 12."""
    answer = ask("spoil", length="27", width="20", depth="5", soil="loam")
    assert printed(answer, "Dug, as it lies in the ground") == 100
    assert (printed(answer, "To haul away, loose"), printed(answer, "Truckloads")) == (125, 11)
    kept = ask("spoil", length="27", width="20", depth="5", soil="loam", kept="40 yd³")
    assert (printed(kept, "To haul away, loose"), printed(kept, "Heap of what is kept, loose")) == (75, 50)


def test_rain_through_a_salt_pool_and_what_to_add() -> None:
    """2 in on 648 ft2 through 20,000 gallons: 3,200 ppm falls to 3,073.3 (well mixed); 126.7 ppm is 21.1 lb."""
    answer = ask("salt", now="3200", wanted="3200", volume="20,000 gal", rain="2 in", catch="648 ft2")
    assert printed(answer, "Rain that went through the pool") == pytest.approx(807.9, abs=0.6)
    assert printed(answer, "Left after the rain") == pytest.approx(3073.3, abs=0.6)
    assert printed(answer, "Salt") == pytest.approx(20_000 * 8.345e-6 * 126.7, abs=0.1)


def test_too_much_salt_is_replaced_not_dosed() -> None:
    """90 to 50 with fill water of 10: half of the water (balance of mass)."""
    answer = ask("salt", product="cyanuric-acid", now="90", wanted="50", fresh="10", volume="20,000 gal")
    assert printed(answer, "Share of the water") == 50.0
    assert printed(answer, "Drain and replace") == 10_000
    assert "Never drain" in answer.cautions[0]


def test_a_form_that_bears_liquid_concrete_sets_no_limit() -> None:
    """8 ft of 150 lb/ft3 press 1,200 psf at the foot (published)."""
    answer = ask("pour-rate", rating="1,201 psf", height="8 ft")
    assert answer.lines[0].value == "no limit from the form"
    assert printed(answer, "Liquid concrete at the foot") == 1200


def test_the_hours_of_the_sun_and_the_band() -> None:
    """Occupational Safety and Health Administration: 96 °F and 65 % read 121 °F; above 115 very high; sun adds 15."""
    answer = ask("heat", air_temp="96", humidity="65", sun="sun")
    assert (printed(answer, "Heat index"), printed(answer, "In full sun up to")) == (121, 136)
    assert "very high" in answer.says


def test_the_order_is_never_short() -> None:
    rng = np.random.default_rng(7)
    for length, width, over in rng.uniform([5, 5, 0], [60, 40, 25], size=(40, 3)):
        answer = ask("concrete", length=length, width=width, over=over)
        order, net = printed(answer, "Order"), printed(answer, "In place")
        assert order * 4 == int(order * 4)
        assert order >= net * (1 + over / 100) - 0.02
        assert order - 0.25 <= net * (1 + over / 100) + 0.02


def test_an_order_from_the_offices_own_prices() -> None:
    """600 a yard short and 160 wasted: ratio .789, z .805 (normal table). 20 yd with 5 % used over and 3 % spread."""
    answer = ask("concrete", length="27", width="20", thickness="12", short="600 $", waste="$160", loss="5", spread="3")
    wanted = 20 * 1.05 + 0.805 * 20 * 0.03
    assert printed(answer, "Order") == -(-wanted // 0.25) * 0.25
    assert "is not used" in " ".join(answer.formula)
    with pytest.raises(CannotDo) as refused:
        ask("concrete", short="600")
    assert (refused.value.code, refused.value.field) == ("calculator.needs_too", "waste")


@pytest.mark.parametrize(
    ("shape", "length", "width", "gallons"), [("oval", 32, 16, 15_040), ("round-ends", 36, 18, 21_636)]
)
def test_round_outlines(shape: str, length: int, width: int, gallons: int) -> None:
    """Ellipse 16 by 32 by 5 ft and stadium 18 by 36 by 5 ft, computed from pi."""
    answer = ask("pool", **BOX, shape=shape, length=length, width=width, shallow_depth="5", deep_depth="5")
    assert printed(answer, "Water when full") == pytest.approx(gallons, abs=0.6)
    with pytest.raises(CannotDo) as refused:
        ask("pool", shape=shape)
    assert (refused.value.code, refused.value.field) == ("calculator.side_slopes_of_curves", "side_slope")


def test_a_hose_takes_what_its_speed_leaves_of_the_pressure() -> None:
    """By hand: 17.5 gpm in 3/4 in run 0.4085 x 17.5 / 0.75^2 = 12.7 ft/s, a head of 2.51 ft or 1.1 of the 40 psi."""
    hose = {"hose_diameter": "0.75 in", "hose_length": "100 ft", "tap_pressure": "40 psi"}
    found = ask("fill", flow=None, **hose)
    assert printed(found, "Flow, all hoses") == pytest.approx(17.5, abs=0.05)
    assert printed(found, "Pressure the hose takes") == pytest.approx(40 - 1.1, abs=0.1)


def test_the_temperature_time_factor_alone_gives_a_share_by_the_older_law() -> None:
    """By hand: 160 h at 20 degC over -11.5 degC are 5,040 degC h; 21 + 61 log10(5.04) = 63.85 for 4,000 psi."""
    label = "Share by the temperature-time factor alone"
    found = ask("maturity", history="68, 160", specified="4000 psi")
    assert printed(found, label) == pytest.approx(63.85, abs=0.06)
    early = next(one for one in ask("maturity", history="68, 12", specified="4000 psi").lines if one.label == label)
    assert (early.value, "1000 to 20000 °C·h" in early.also) == ("outside its range", True)
    assert label not in {one.label for one in ask("maturity", history="68, 160", specified=None).lines}


def test_a_tested_activation_energy_takes_the_place_of_the_usual() -> None:
    """5,000 K times the gas constant are 41.57 kJ/mol; below 20 degC a higher energy makes concrete younger."""
    label, cold = "The same with one activation energy", "50, 100"
    usual, tested, high = (also(ask("maturity", history=cold, energy=kj), label) for kj in (None, "41.57", "60"))
    assert usual == pytest.approx(tested, abs=0.1)
    assert high < usual
