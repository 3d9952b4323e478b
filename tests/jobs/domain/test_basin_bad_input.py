"""A shape that is no pool is refused; the error names the field and a remedy."""

import math

import pytest

from jobs.domain.basin import Fitting, RectangularBasin
from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.takeoff import quantities, slab_coverage_m2, truck_interval_minutes, trucks
from tests.jobs.domain.pools import wedge_16x32

POOL = {
    "length_m": 10.0,
    "width_m": 5.0,
    "shallow_depth_m": 1.0,
    "deep_depth_m": 2.4,
    "shallow_length_m": 3.0,
    "slope_length_m": 3.0,
    "deep_length_m": 2.0,
    "back_slope_length_m": 2.0,
    "side_slope_width_m": 1.0,
    "freeboard_m": 0.15,
}

BAD_POOLS = [
    ({"length_m": 0.0}, "basin.not_positive", "length_m"),
    ({"width_m": -5.0}, "basin.not_positive", "width_m"),
    ({"shallow_depth_m": 0.0}, "basin.not_positive", "shallow_depth_m"),
    ({"deep_depth_m": 0.9}, "basin.deep_above_shallow", "deep_depth_m"),
    ({"deep_depth_m": math.nan}, "basin.not_a_number", "deep_depth_m"),
    ({"length_m": math.inf}, "basin.not_a_number", "length_m"),
    ({"width_m": "5"}, "basin.not_a_number", "width_m"),
    ({"width_m": None}, "basin.not_a_number", "width_m"),
    ({"width_m": True}, "basin.not_a_number", "width_m"),
    ({"freeboard_m": -0.1}, "basin.negative", "freeboard_m"),
    ({"back_slope_length_m": -2.0}, "basin.negative", "back_slope_length_m"),
    ({"shallow_length_m": 4.0}, "basin.lengths_do_not_add_up", "length_m"),
    ({"side_slope_width_m": 2.5}, "basin.side_slopes_too_wide", "side_slope_width_m"),
    ({"slope_length_m": 0.0, "shallow_length_m": 6.0}, "basin.no_slope", "slope_length_m"),
    ({"deep_depth_m": 1.0}, "basin.slopes_without_drop", "slope_length_m"),
    ({"length_m": 328.0}, "basin.too_large", "length_m"),
    ({"deep_depth_m": 9.0}, "basin.too_large", "deep_depth_m"),
    ({"fittings": (Fitting(kind="skimmer", flange_m=2.6),)}, "basin.fitting_above_coping", "fittings"),
]


@pytest.mark.parametrize(("changes", "code", "field"), BAD_POOLS)
def test_bad_pool_names_field_and_remedy(changes, code, field):
    with pytest.raises(CannotDo) as refused:
        RectangularBasin(**{**POOL, **changes})
    assert (refused.value.code, refused.value.field) == (code, field)
    assert refused.value.says.endswith(".")
    assert refused.value.remedy.endswith(".")


def test_the_pool_the_table_spoils_is_good():
    assert RectangularBasin(**POOL).water_volume_m3 > 0


def test_lengths_turned_from_feet_may_miss_their_sum_by_less_than_a_millimetre():
    assert RectangularBasin(**{**POOL, "length_m": 10.0009}).length_m == 10.0009


@pytest.mark.parametrize(
    ("kind", "flange_m", "code"),
    [
        ("window", 1.0, "basin.unknown_fitting"),
        ("light", -0.1, "basin.negative"),
        ("light", math.nan, "basin.not_a_number"),
    ],
)
def test_bad_fitting(kind, flange_m, code):
    with pytest.raises(CannotDo) as refused:
        Fitting(kind=kind, flange_m=flange_m)
    assert refused.value.code == code


@pytest.mark.parametrize("level_m", [-0.01, 2.56, math.nan])
def test_level_outside_the_basin(level_m):
    basin = RectangularBasin(**POOL)
    for ask in (basin.volume_at_m3, basin.surface_at_m2, basin.wetted_wall_m2):
        with pytest.raises(CannotDo, match="outside the basin"):
            ask(level_m)


@pytest.mark.parametrize("volume_m3", [-0.1, 500.0, math.nan])
def test_volume_that_does_not_fit(volume_m3):
    with pytest.raises(CannotDo, match="does not fit"):
        RectangularBasin(**POOL).level_for_volume_m(volume_m3)


DESIGN = {
    "deck_width_m": 1.2,
    "soil": "loam",
    "fence_m": 40.0,
    "pipe_m": 50.0,
    "floor_pipe_m": 12.0,
    "floor_steel_kg": 300.0,
    "bond_points_each": 6,
    "deck_joint_m": 20.0,
    "equipment_each": 4,
}


@pytest.mark.parametrize(
    ("changes", "code", "field"),
    [
        ({"soil": "rock"}, "design.unknown_soil", "soil"),
        ({"core_m": 0.3}, "design.core_too_thick", "core_m"),
        ({"form_height_m": 0.5}, "design.form_too_low", "form_height_m"),
        ({"slab_m": 0.0}, "basin.not_positive", "slab_m"),
        ({"flow_m3_h": 0.0}, "basin.not_positive", "flow_m3_h"),
        ({"fence_m": -1.0}, "basin.negative", "fence_m"),
        ({"equipment_each": math.nan}, "basin.not_a_number", "equipment_each"),
        ({"stone_m": 100.0}, "basin.too_large", "stone_m"),
        ({"form_height_m": 42.0}, "basin.too_large", "form_height_m"),
        ({"dig_slope": -0.5}, "basin.negative", "dig_slope"),
    ],
)
def test_bad_design_names_field(changes, code, field):
    with pytest.raises(CannotDo) as refused:
        PoolDesign(basin=wedge_16x32(), **{**DESIGN, **changes})
    assert (refused.value.code, refused.value.field) == (code, field)


def test_more_soil_used_again_than_dug():
    with pytest.raises(CannotDo) as refused:
        quantities(PoolDesign(basin=wedge_16x32(), **{**DESIGN, "reused_m3": 9000.0}))
    assert refused.value.field == "reused_m3"


@pytest.mark.parametrize(
    ("ask", "values", "field"),
    [
        (trucks, (-1.0, 7.6), "volume_m3"),
        (trucks, (5.0, 0.0), "load_m3"),
        (truck_interval_minutes, (7.6, 0.0), "rate_m3_h"),
        (slab_coverage_m2, (1.0, 0.0), "thickness_m"),
    ],
)
def test_bad_concrete_figures_name_the_field(ask, values, field):
    with pytest.raises(CannotDo) as refused:
        ask(*values)
    assert refused.value.field == field
