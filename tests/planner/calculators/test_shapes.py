"""Pools of every shape through the calculators: published and computed volumes, and fills of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.calculators.answering.answer import Answer
from planner.calculators.catalog import CALCULATORS
from tests.jobs.science.worked_examples import rows_of
from tests.planner.calculators.asked import also, filled, hours_in, printed

LEVEL = {"shallow_length": "", "deep_length": "", "back_slope": "", "side_slope": ""}
STEPS = {
    "step_25yd_45ft": "0, 45, 3; 30, 45, 5; 30, 45, 12; 75, 45, 12",
    "step_45yd_65ft": "0, 65, 4; 75, 65, 6; 75, 65, 15; 135, 65, 15",
}
SHAPES = ("rectangle", "l-shape", "oval", "round-ends", "kidney", "stations")


def shaped(name: str, shape: str, **given: object) -> Answer:
    found = CALCULATORS[name]
    return found.answer({**filled(found, {"shape": shape}), **{key: str(value) for key, value in given.items()}})


def published(case: str, quantity: str, gallons_per_ft3: str) -> float:
    (row,) = [
        row
        for row in rows_of("pools_shapes")
        if (row["case"], row["quantity"], row["gallons_per_ft3"]) == (case, quantity, gallons_per_ft3)
    ]
    return float(row["expected"])


@pytest.mark.parametrize("case", STEPS)
def test_stations_of_published_problems(case: str) -> None:
    answer = shaped("pool", "stations", stations=STEPS[case])
    assert printed(answer, "Water when full") == pytest.approx(published(case, "water_gal", "7.480519"), abs=0.6)


def test_the_published_kidney_and_a_pool_in_the_shape_of_an_l() -> None:
    kidney = shaped("pool", "kidney", length=30, width=16, narrow=12, shallow_depth=5, deep_depth=5, **LEVEL)
    assert printed(kidney, "Water when full") == pytest.approx(
        published("kidney_16_12_30x5", "water_gal", "7.480519"), abs=0.6
    )
    lap = shaped(
        "pool", "l-shape", length=175, width=50, shallow_depth=5, deep_depth=5, **LEVEL,
        leg_length=25, leg_width=25, leg_depth=5, leg_from=0,
    )  # fmt: skip
    assert printed(lap, "Water surface") == 175 * 50 + 25 * 25
    # A quarter inch a day and an inch a week are 2.75 in a week.
    week = 2.75 * printed(lap, "Inch of water")
    assert week == pytest.approx(published("l_175x50_25x25", "week_loss_gal", "7.480519"), abs=2)


def test_a_hopper_in_the_leg_and_what_is_wet_at_a_level() -> None:
    """By hand: 40 x 20 ft and a leg of 20 x 12 ft, 4 ft deep; the leg falls over 12 ft to 8 ft and is level for 8:
    3,200 + 960 + 12 x (12 x 4 / 2 + 8 x 4) ft3. At 2 ft the slope is wet for 6 ft: 12 x (8 x 2 + 6 x 2 / 2) ft3 under
    14 x 12 ft2, against walls of 2 x (8 x 2 + 6) + 12 x 2 ft2."""
    leg = {"leg_length": 20, "leg_width": 12, "leg_depth": 4, "leg_from": 28, "leg_deep": 8, "leg_deep_length": 8}
    box = {"length": 40, "width": 20, "shallow_depth": 4, "deep_depth": 4, **LEVEL}
    answer = shaped("pool", "l-shape", **box, **leg, level="2 ft")
    assert printed(answer, "Water when full") == pytest.approx(4832 * 7.480519, abs=0.6)
    assert printed(answer, "Water at 2 ft") == pytest.approx(264 * 7.480519, abs=0.6)
    assert printed(answer, "Water surface at 2 ft") == 168
    assert printed(answer, "Walls under water at 2 ft") == 68
    hopper = shaped("pool", "l-shape", **box, **leg, leg_back_slope=4, leg_side_slope=3)
    assert printed(hopper, "Water when full") < printed(answer, "Water when full")


def test_what_is_built_in_takes_the_place_of_water() -> None:
    """A ledge 20 by 6 ft under 9 in of water on a floor 3.5 ft deep takes 20 x 6 x 2.75 ft3; three treads of a stair
    6 ft wide, 12 in deep, rising 3.5 / 4 ft each, take 6 x (3 + 2 + 1) x 0.875."""
    plain, built = shaped("pool", "rectangle"), shaped("pool", "rectangle", ledges="20, 6, 9", stairs="6, 3, 12")
    taken = (20 * 6 * 2.75 + 6 * (3 + 2 + 1) * 0.875) * 7.480519
    assert printed(built, "Taken by ledges and stairs") == pytest.approx(taken, abs=0.6)
    assert printed(plain, "Water when full") - printed(built, "Water when full") == pytest.approx(taken, abs=1.1)


@pytest.mark.parametrize("shape", SHAPES)
def test_a_fill_of_every_shape_adds_up_and_stops_in_order(shape: str) -> None:
    """Flow x hours = water added + what sun and wind took; every fitting before the next, all before full."""
    answer = shaped("fill", shape)
    hours = also(answer, "Full after")
    came = printed(answer, "Flow, all hoses") * 60 * hours
    lost = printed(answer, "Lost to sun and wind on the way")
    assert came == pytest.approx(printed(answer, "Water to add") + lost, rel=0.004)
    stops = [hours_in(answer, one.label) for one in answer.lines if one.label.startswith("Cut in")]
    assert len(stops) == 4
    assert stops == sorted(stops)
    assert stops[-1] <= hours_in(answer, "Full after") + 0.5
    assert any("behind the liner" in reason for reason in answer.why)


@given(st.sampled_from(("rectangle", "stations")), st.integers(4, 23))
def test_nights_off_lengthen_a_fill_but_not_its_running_water(shape: str, runs: int) -> None:
    through, paused = shaped("fill", shape, evaporation=0), shaped("fill", shape, evaporation=0, runs=runs)
    assert also(paused, "Full after") == pytest.approx(also(through, "Full after"), abs=0.11)
    assert hours_in(paused, "Full after") >= hours_in(through, "Full after")


def test_sources_with_hours_of_their_own_by_hand() -> None:
    """20 by 40 ft hopper, from 8 pm: two hoses of 12 gpm bring 14,400 gal until six; the hydrant from nine on at 167
    gpm brings the rest of the water in its minutes."""
    several = {"water": "several", "clock": "20 h", "evaporation": 0}
    found = shaped("fill", "rectangle", **several, sources="12, 20, 6; 12, 20, 6; 167, 9, 17")
    water = printed(found, "Water to add")
    assert printed(found, "From 2 × 12 gpm, 8 pm to 6 am") == pytest.approx(14_400, abs=2)
    assert printed(found, "From 167 gpm, 9 am to 5 pm") == pytest.approx(water - 14_400, abs=3)
    assert hours_in(found, "Full after") == pytest.approx(13 + (water - 14_400) / 167 / 60, abs=0.02)
    (full,) = (line for line in found.lines if line.label == "Full after")
    assert full.also.startswith("day 2, 10:")
    loads = shaped("fill", "rectangle", **several, sources="12, 0, 24", tankers="6000, 2, 22, 2")
    assert printed(loads, "From 2 loads of 6,000 gal a day, from 10 pm on every 2 h") == pytest.approx(12_000, abs=2)


def test_a_reading_tells_what_share_of_several_sources_came() -> None:
    """From 8 pm two hoses of 12 gpm: 9,648 gal were planned by 2:42 am; 4.5 ft are 8,618 gal (worked by hand)."""
    several = {"water": "several", "clock": "20 h", "evaporation": 0, "sources": "12, 20, 6; 12, 20, 6; 167, 9, 17"}
    found = shaped("fill", "rectangle", **several, read_after="6.7 h", read_level="4.5 ft")
    assert printed(found, "Came of what was planned, by the level that was read") == pytest.approx(89, abs=1)


def test_one_source_day_and_night_is_the_hose_alone() -> None:
    alone = shaped("fill", "rectangle")
    several = shaped("fill", "rectangle", water="several", clock="15 h", sources="12, 0, 24", flow="")
    assert hours_in(several, "Full after") == hours_in(alone, "Full after")


@pytest.mark.parametrize(("level", "sooner"), [("4 ft", False), ("6 ft", True)])
def test_a_level_that_was_read_times_the_rest_again(level: str, sooner: bool) -> None:
    """20 by 40 ft hopper: 4.5 ft are 8,618 gal and 5 ft 11,610 (worked by hand); at 12 gpm 12 h bring 8,640."""
    plan, read = shaped("fill", "rectangle"), shaped("fill", "rectangle", read_after="12 h", read_level=level)
    assert (hours_in(read, "Full after") < hours_in(plan, "Full after")) == sooner
    on_time = shaped("fill", "rectangle", read_after="12 h", read_level="4.5 ft", evaporation=0)
    assert printed(on_time, "Flow by the level that was read") == pytest.approx(8618 / 720, abs=0.06)


def test_what_does_not_count_is_said_not_swallowed() -> None:
    answer = shaped("pool", "stations", stations=STEPS["step_25yd_45ft"])
    (said,) = [one for one in answer.formula if one.startswith("Not used")]
    assert "Length of the water line" in said
    assert not [one for one in shaped("pool", "rectangle").formula if one.startswith("Not used")]
