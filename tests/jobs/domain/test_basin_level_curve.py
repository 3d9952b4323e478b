"""Properties of the level-volume curve over all shapes of rectangle."""

import itertools

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import dblquad, quad

from jobs.domain.basin import RectangularBasin

parts = st.floats(min_value=0.5, max_value=8.0)
optional = st.one_of(st.just(0.0), parts)


@st.composite
def basins(draw):
    shallow_length, slope, deep, back = draw(optional), draw(parts), draw(optional), draw(optional)
    width = draw(st.floats(min_value=2.0, max_value=10.0))
    depth = draw(st.floats(min_value=0.5, max_value=2.0))
    return RectangularBasin(
        length_m=shallow_length + slope + deep + back,
        width_m=width,
        shallow_depth_m=depth,
        deep_depth_m=depth + draw(st.floats(min_value=0.2, max_value=3.0)),
        shallow_length_m=shallow_length,
        slope_length_m=slope,
        deep_length_m=deep,
        back_slope_length_m=back,
        side_slope_width_m=draw(st.one_of(st.just(0.0), st.floats(min_value=0.05, max_value=0.45))) * width,
        freeboard_m=draw(st.floats(min_value=0.0, max_value=0.4)),
    )


shares = st.floats(min_value=0.0, max_value=1.0)


@given(basins(), shares, shares)
def test_more_level_is_more_water(basin, one, other):
    low, high = sorted((one, other))
    assert basin.volume_at_m3(low * basin.max_level_m) <= basin.volume_at_m3(high * basin.max_level_m) + 1e-12


@given(basins(), shares, shares)
def test_water_between_two_levels_is_the_surface_summed(basin, one, other):
    low, high = (share * basin.max_level_m for share in sorted((one, other)))
    kink = [basin.wall_foot_level_m] if low < basin.wall_foot_level_m < high else None
    summed, _ = quad(basin.surface_at_m2, low, high, points=kink)
    assert basin.volume_at_m3(high) - basin.volume_at_m3(low) == pytest.approx(summed, rel=1e-8, abs=1e-9)


@given(basins(), st.floats(min_value=0.01, max_value=0.99))
def test_surface_is_the_slope_of_the_volume(basin, share):
    level, step = share * basin.max_level_m, 1e-5
    assume(abs(level - basin.wall_foot_level_m) > 2 * step)
    assume(step < level < basin.max_level_m - step)
    slope = (basin.volume_at_m3(level + step) - basin.volume_at_m3(level - step)) / (2 * step)
    assert slope == pytest.approx(basin.surface_at_m2(level), rel=1e-5, abs=1e-5)


@given(basins(), shares)
def test_level_of_a_volume_gives_the_volume_back(basin, share):
    level = share * basin.max_level_m
    found = basin.level_for_volume_m(basin.volume_at_m3(level))
    assert basin.volume_at_m3(found) == pytest.approx(basin.volume_at_m3(level), abs=1e-6)
    if basin.deep_length_m or share > 0.05:
        assert found == pytest.approx(level, abs=1e-7)


@given(basins())
def test_water_at_design_level_is_the_depth_integrated_over_the_plan(basin):
    assert basin.water_volume_m3 == pytest.approx(_integrated_depth_m3(basin), rel=2e-3)


def _integrated_depth_m3(basin):
    """Depth under every point of the plan: the shallowest of the planes that bound the floor, by midpoints."""
    count = 300
    x = (np.arange(count) + 0.5) / count * basin.length_m
    y = (np.arange(count) + 0.5) / count * basin.width_m
    along, across = np.meshgrid(x, y)
    drop = basin.deep_depth_m - basin.shallow_depth_m
    below = np.full_like(along, drop)
    edge = along - basin.shallow_length_m
    below = np.minimum(below, np.clip(edge / basin.slope_length_m, 0, 1) * drop)
    if basin.back_slope_length_m:
        below = np.minimum(below, np.clip((basin.length_m - along) / basin.back_slope_length_m, 0, 1) * drop)
    if basin.side_slope_width_m:
        inside = np.minimum(across, basin.width_m - across)
        below = np.minimum(below, np.clip(inside / basin.side_slope_width_m, 0, 1) * drop)
    cell = basin.length_m * basin.width_m / count**2
    return float((basin.shallow_depth_m + below).sum() * cell)


def test_worked_hopper_against_a_library_integral():
    """scipy's adaptive double integral of the depth, independent of the closed form."""
    basin = RectangularBasin(
        length_m=12.0,
        width_m=6.0,
        shallow_depth_m=1.0,
        deep_depth_m=2.5,
        shallow_length_m=4.0,
        slope_length_m=3.0,
        deep_length_m=3.0,
        back_slope_length_m=2.0,
        side_slope_width_m=1.5,
    )

    def depth_m(across, along):
        share = min(1.0, max(0.0, along - 4.0) / 3.0, (12.0 - along) / 2.0, across / 1.5, (6.0 - across) / 1.5)
        return 1.0 + 1.5 * share

    cuts = (0.0, 4.0, 7.0, 10.0, 12.0)
    total = sum(dblquad(depth_m, low, high, 0.0, 3.0, epsabs=1e-6)[0] for low, high in itertools.pairwise(cuts))
    assert basin.water_volume_m3 == pytest.approx(2 * total, rel=1e-5)


@given(basins())
def test_floor_and_upright_faces_cover_the_plan(basin):
    """Sloping floor is never smaller than its plan, and equals it only when level."""
    assert basin.floor_area_m2 >= basin.water_surface_m2 - 1e-9


@given(basins())
def test_wetted_wall_of_the_full_pool_is_upper_wall_and_deep_faces(basin):
    upper = basin.perimeter_m * (basin.max_level_m - basin.wall_foot_level_m)
    assert basin.wetted_wall_m2(basin.max_level_m) == pytest.approx(upper + basin.deep_wall_m2)
    assert basin.wetted_wall_m2(0.0) == 0.0


@given(basins())
def test_long_section_spans_the_pool_and_touches_both_depths(basin):
    section = basin.stations()
    assert section[0][0] == 0.0
    assert section[-1][0] == pytest.approx(basin.length_m)
    assert max(depth for _, depth in section) == basin.deep_depth_m
    assert [x for x, _ in section] == sorted(x for x, _ in section)
