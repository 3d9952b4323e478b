"""Take-off against the 16 x 32 ft pool worked by hand (common practice, no source), and by properties."""

import pytest

from jobs.domain.order.buying import Buying
from jobs.domain.takeoff import SWELL, quantities
from jobs.domain.units import yd3_from_m3
from tests.jobs.domain.pools import FT, basin_ft, design_of, hopper_16x32, wedge_16x32, worked_design

# Worked by hand in feet, printed to the last digit given: half a unit of it is the tolerance.
BY_HAND = [
    ("each", 1, 0),
    ("perimeter_m", 29.26, 0.005),
    ("water_m2", 47.57, 0.005),
    ("water_m3", 67.19, 0.005),
    ("floor_m2", 56.01, 0.005),
    ("wall_m2", 31.22, 0.005),
    ("inner_m2", 87.23, 0.005),
    ("liner_m2", 87.23, 0.005),
    ("excavation_m3", 124.4, 0.05),
    # 7.58 m3 is 9.92 yd3, with 5 % and 0.805 spreads of 3 % 10.65: 10.75 yd3. 5.855 m3: 7.66, 8.23, 8.25 yd3.
    ("slab_pour_m3", 8.219, 0.0005),
    ("wall_pour_m3", 6.308, 0.0005),
    ("backfill_m3", 23.9, 0.05),
    ("deck_m2", 44.6, 0.05),
    # 44.6 m2 x 0.102 m is 4.55 m3 or 5.95 yd3, with the over-order 6.39: 6.5 yd3.
    ("deck_pour_m3", 4.970, 0.0005),
    ("coping_m", 30.48, 0.005),
    ("floor_steel_kg", 300, 0),
    ("bond_points_each", 6, 0),
    ("fittings_each", 6, 0),
    ("fence_m", 45, 0),
    ("pipe_m", 60, 0),
    ("floor_pipe_m", 14, 0),
    ("deck_joint_m", 26, 0),
    ("equipment_each", 4, 0),
    ("fill_1_m3", 0.28, 0.005),
    ("fill_2_m3", 33.56, 0.005),
    ("fill_3_m3", 10.15, 0.005),
    ("fill_4_m3", 11.60, 0.005),
    ("fill_5_m3", 11.60, 0.005),
]


@pytest.mark.parametrize(("key", "expected", "tolerance"), BY_HAND)
def test_quantity_worked_by_hand(key, expected, tolerance):
    assert quantities(worked_design())[key] == pytest.approx(expected, abs=tolerance + 1e-9, rel=0)


def test_the_fills_are_the_water():
    amounts = quantities(worked_design())
    assert sum(amounts[f"fill_{number}_m3"] for number in range(1, 6)) == pytest.approx(amounts["water_m3"])


def test_a_pool_without_fittings_fills_in_one_and_the_other_rows_hold_no_water():
    amounts = quantities(design_of(hopper_16x32()))
    assert amounts["fill_1_m3"] == pytest.approx(amounts["water_m3"])
    assert [amounts[f"fill_{number}_m3"] for number in range(2, 6)] == [0.0] * 4


@pytest.mark.parametrize(("soil", "swell"), [("sand", 1.12), ("loam", 1.25), ("clay", 1.30)])
def test_spoil_swells_with_the_soil_less_what_is_used_again(soil, swell):
    """Swell factors: earthmoving handbook range, from memory (source key soil_swell)."""
    amounts = quantities(worked_design(soil=soil, reused_m3=20.0))
    assert SWELL[soil] == swell
    assert amounts["spoil_m3"] == pytest.approx((amounts["excavation_m3"] - 20.0) * swell)


def test_sloped_dig_adds_half_depth_squared_times_run_for_each_metre_of_face():
    upright, sloped = worked_design(), worked_design(dig_slope=0.5)
    added = quantities(sloped)["excavation_m3"] - quantities(upright)["excavation_m3"]
    depth = upright.upper_dig_m
    faces = 0.5 * depth**2 / 2 * upright.basin.offset_length_m(upright.dig_offset_m)
    corners = 4 * (0.5 * depth) ** 2 * depth / 3
    assert added == pytest.approx(faces + corners)


def test_steep_hopper_needs_no_deep_walls_but_a_wedge_does():
    hopper, wedge = quantities(design_of(hopper_16x32())), quantities(design_of(wedge_16x32()))
    assert hopper["wall_m2"] == pytest.approx(96 * 3.5 * FT**2)
    # Two sides of (6 + 20) / 2 x 5 ft and a back of 16 x 5 ft stand upright below the shallow floor.
    assert wedge["wall_m2"] == pytest.approx((96 * 3.5 + 2 * 65 + 80) * FT**2)


def test_wedge_backfill_is_the_dig_less_the_shell_behind_all_walls():
    design = design_of(wedge_16x32())
    amounts = quantities(design)
    basin, space, form = design.basin, design.dig_offset_m, design.form_thickness_m
    upper = (basin.offset_area_m2(space) - basin.offset_area_m2(form)) * design.upper_dig_m
    drop = 5 * FT
    sides = 2 * 65 * FT**2 * (space - form)
    back_with_corners = ((16 * FT + 2 * space) * space - (16 * FT + 2 * form) * form) * drop
    assert amounts["backfill_m3"] == pytest.approx(upper + sides + back_with_corners)


def test_floor_pour_of_the_20x40_hopper_is_what_is_bought_of_its_slab():
    """881 ft2 x 6 in = 16.31 yd3 by hand; with 7.4 % over 17.52 yd3, bought as 17.75 yd3."""
    basin = basin_ft(
        length=40,
        width=20,
        shallow_depth=3.5,
        deep_depth=8,
        shallow_length=14,
        slope_length=10,
        deep_length=8,
        back_slope_length=8,
        side_slope_width=6,
        freeboard=0,
    )
    amounts = quantities(design_of(basin, slab_m=0.1524, edge_width_m=0.0, edge_depth_m=0.0))
    assert yd3_from_m3(amounts["slab_pour_m3"]) == pytest.approx(17.75)


def test_a_missing_quantity_is_missing():
    amounts = quantities(worked_design())
    assert "tower_m" not in amounts
    with pytest.raises(KeyError):
        amounts["tower_m"]
    assert len(amounts) == len(list(amounts))


def test_an_office_that_buys_by_quarter_cubic_metres_orders_in_those():
    """7.58 m3 with the over-order 8.14, 5.855 with it 6.29, by hand."""
    amounts = quantities(worked_design(), buying=Buying(pour_step_m3=0.25))
    assert (amounts["slab_pour_m3"], amounts["wall_pour_m3"]) == (8.25, 6.5)


def test_an_office_to_which_running_short_is_dear_orders_more():
    usual, dear = quantities(worked_design()), quantities(worked_design(), buying=Buying(short_dollars_m3=9000.0))
    for key in ("slab_pour_m3", "wall_pour_m3", "deck_pour_m3"):
        assert dear[key] > usual[key]
