"""What must hold for a pool of any shape."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.domain.shapes.parts import PartedBasin
from jobs.domain.shapes.placing import Part
from jobs.domain.shapes.solids import WithSolids
from jobs.domain.takeoff import quantities
from tests.jobs.domain.pools import design_of
from tests.jobs.domain.shapes.any_pool import curved, measured, parted, pools, rectangles, shares, sides

few = settings(max_examples=40, deadline=None)


@few
@given(pools, shares, shares)
def test_more_level_is_more_water_and_a_wider_surface(basin, one, other):
    low, high = (share * basin.max_level_m for share in sorted((one, other)))
    assert basin.volume_at_m3(low) <= basin.volume_at_m3(high) + 1e-9
    if not isinstance(basin, WithSolids):
        assert basin.surface_at_m2(low) <= basin.surface_at_m2(high) + 1e-9


@few
@given(pools, st.floats(min_value=0.02, max_value=0.98))
def test_surface_is_the_slope_of_the_volume(basin, share):
    """Between its values just below and just above: a level floor makes the surface jump."""
    level, step = share * basin.max_level_m, 1e-6
    slope = (basin.volume_at_m3(level + step) - basin.volume_at_m3(level - step)) / (2 * step)
    around = (basin.surface_at_m2(level - step), basin.surface_at_m2(level + step))
    assert min(around) - 1e-4 <= slope <= max(around) + 1e-4


@few
@given(pools, shares)
def test_level_and_volume_are_inverse(basin, share):
    level = share * basin.max_level_m
    assert basin.level_for_volume_m(basin.volume_at_m3(level)) == pytest.approx(level, abs=1e-6)


@few
@given(pools)
def test_from_the_shallow_floor_up_it_is_the_whole_outline(basin):
    foot, top = basin.wall_foot_level_m, basin.max_level_m
    shell = basin.basin if isinstance(basin, WithSolids) else basin
    assert shell.surface_at_m2(foot) == pytest.approx(shell.water_surface_m2)
    assert shell.wetted_wall_m2(top) == pytest.approx(basin.deep_wall_m2 + basin.perimeter_m * (top - foot))
    assert shell.wetted_wall_m2(foot) == pytest.approx(basin.deep_wall_m2)
    assert basin.floor_area_m2 >= basin.water_surface_m2 * (1 - 1e-9)


@few
@given(st.one_of(parted(), measured()))
def test_the_outline_encloses_the_surface(basin):
    """Gauss's area formula; the length of the ring is the perimeter."""
    ring = basin.outline()
    pairs = list(zip(ring, ring[1:] + ring[:1], strict=True))
    area = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs) / 2
    assert area == pytest.approx(basin.water_surface_m2)
    assert sum(math.dist(one, other) for one, other in pairs) == pytest.approx(basin.perimeter_m)


@few
@given(rectangles(), rectangles(), sides, sides)
def test_parts_side_by_side_add_up(one, other, side, other_side):
    first = Part(basin=one, deep_side=side)
    second = Part(basin=other, deep_side=other_side, x_m=first.box.x2)
    both = PartedBasin(parts=(first, second))
    apart = [PartedBasin(parts=(part,)) for part in (first, second)]
    assert both.water_volume_m3 == pytest.approx(sum(pool.water_volume_m3 for pool in apart))
    assert both.water_surface_m2 == pytest.approx(sum(pool.water_surface_m2 for pool in apart))
    assert both.floor_area_m2 == pytest.approx(sum(pool.floor_area_m2 for pool in apart))


@few
@given(rectangles(), rectangles(), st.floats(min_value=0.0, max_value=0.9))
def test_where_parts_overlap_nothing_counts_twice(one, other, share):
    first = Part(basin=one)
    second = Part(basin=other, x_m=share * one.length_m, deep_side="left")
    both = PartedBasin(parts=(first, second))
    wide, narrow = max(one.width_m, other.width_m), min(one.width_m, other.width_m)
    overlap = (min(first.box.x2, second.box.x2) - second.box.x1) * narrow
    assert both.water_surface_m2 == pytest.approx(one.water_surface_m2 + other.water_surface_m2 - overlap)
    length = max(first.box.x2, second.box.x2)
    assert max(one.water_volume_m3, other.water_volume_m3) <= both.water_volume_m3 + 1e-6
    assert both.water_volume_m3 <= length * wide * both.design_level_m + 1e-6


@few
@given(rectangles(), st.floats(min_value=0.05, max_value=0.9))
def test_a_part_inside_a_deeper_part_changes_nothing(basin, share):
    whole = PartedBasin(parts=(Part(basin=basin),))
    shallow = Part(basin=basin, deep_side="right")
    again = PartedBasin(parts=(Part(basin=basin), shallow))
    assert again.water_volume_m3 == pytest.approx(whole.water_volume_m3)
    assert again.floor_area_m2 == pytest.approx(whole.floor_area_m2)
    level = share * basin.max_level_m
    assert again.wetted_wall_m2(level) == pytest.approx(whole.wetted_wall_m2(level))


@few
@given(st.one_of(parted(), curved()), st.floats(min_value=0.01, max_value=0.3))
def test_moving_the_outline_out_adds_its_length(basin, offset):
    """The area moved out grows by the length there: Steiner."""
    step = 1e-5
    grown = (basin.offset_area_m2(offset + step) - basin.offset_area_m2(offset)) / step
    assert grown == pytest.approx(basin.offset_length_m(offset), rel=1e-3)
    assert basin.offset_area_m2(0.0) == pytest.approx(basin.water_surface_m2)
    assert basin.offset_length_m(0.0) == pytest.approx(basin.perimeter_m)


@few
@given(pools)
def test_the_take_off_reads_any_shape(basin):
    amounts = quantities(design_of(basin))
    assert all(amount >= -1e-9 for amount in amounts.values())
    assert amounts["water_m3"] == pytest.approx(basin.water_volume_m3)
    assert amounts["fill_1_m3"] == pytest.approx(basin.water_volume_m3)
