"""Shapes against numerical integration of their floors, written down a second time without our pieces."""

import itertools

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ellipe

from jobs.domain.basin import RectangularBasin
from jobs.domain.order.forms import corners_of
from jobs.domain.shapes.curves import EllipseBasin, StadiumBasin
from jobs.domain.shapes.parts import PartedBasin
from jobs.domain.shapes.placing import Part
from jobs.domain.shapes.solids import WithSolids, bench, straight_stair, sun_ledge
from jobs.domain.shapes.stations import StationBasin, station
from tests.jobs.domain.shapes.pools import sloped

HOPPER = RectangularBasin(
    length_m=9.0,
    width_m=5.0,
    shallow_depth_m=1.0,
    deep_depth_m=2.5,
    shallow_length_m=2.0,
    slope_length_m=3.0,
    deep_length_m=2.0,
    back_slope_length_m=2.0,
    side_slope_width_m=1.5,
    freeboard_m=0.2,
)


def hopper_depth(along, across):
    """Depth of the hopper above, from its dimensions."""
    by_length = np.interp(along, [0, 2, 5, 7, 9], [1, 1, 2.5, 2.5, 1])
    by_width = np.interp(across, [0, 1.5, 3.5, 5], [1, 2.5, 2.5, 1])
    return np.minimum(by_length, by_width)


def test_an_l_of_a_hopper_and_a_slope_is_the_integral_of_its_depths():
    leg = sloped(4.0, 3.0, 1.2, 1.8)
    pool = PartedBasin(
        parts=(Part(basin=HOPPER, deep_side="left"), Part(basin=leg, x_m=5.0, y_m=4.0, deep_side="top")),
        freeboard_m=0.2,
    )
    step = 0.0025
    x, y = np.meshgrid(np.arange(step / 2, 9, step), np.arange(step / 2, 8, step), indexing="ij")
    in_main, in_leg = y < 5, (x > 5) & (x < 8) & (y > 4)
    depth = np.where(in_main, hopper_depth(9 - x, y), 0.0)
    depth = np.maximum(depth, np.where(in_leg, 1.2 + (y - 4) / 4 * 0.6, 0.0))
    for level in (0.4, 1.1, 1.6, 2.0, 2.5):
        water = np.maximum(depth - (2.5 - level), 0.0).sum() * step**2
        assert pool.volume_at_m3(level) == pytest.approx(water, rel=2e-4)
    assert pool.water_surface_m2 == pytest.approx(45 + 9)
    assert pool.perimeter_m == pytest.approx(2 * (9 + 5) + 2 * 3)
    assert corners_of(pool.outline()) == (6, 2)


def test_an_ellipse_with_a_sloping_floor():
    a, b = 5.0, 2.5
    pool = EllipseBasin(length_m=10, width_m=5, section=((0, 1.0), (4, 1.0), (7, 2.4), (10, 2.4)), freeboard_m=0.2)

    def section(x, level):
        return 2 * b * np.sqrt(1 - (x / a - 1) ** 2) * max(0.0, level - 2.4 + np.interp(x, [4, 7], [1.0, 2.4]))

    for level in (0.3, 1.0, 1.4, 2.4):
        breaks = [4, 7, 7 - 3 * min(level, 1.4) / 1.4]
        expected, _ = quad(section, 0, 10, args=(level,), points=breaks, limit=200)
        assert pool.volume_at_m3(level) == pytest.approx(expected, rel=2e-5)
    assert pool.perimeter_m == pytest.approx(4 * a * ellipe(1 - b**2 / a**2), rel=1e-9)


def test_walls_of_a_stadium_with_a_sloping_floor():
    """The wall below the coping, along the line: straight sides and two half circles."""
    pool = StadiumBasin(length_m=10, width_m=4, section=((0, 1.0), (10, 2.0)), freeboard_m=0.0)
    straight = 2 * quad(lambda x: 1 + x / 10, 2, 8)[0]
    arcs = quad(lambda t: 2 * (1 + (2 - 2 * np.cos(t)) / 10), -np.pi / 2, np.pi / 2)[0]
    arcs += quad(lambda t: 2 * (1 + (8 + 2 * np.cos(t)) / 10), -np.pi / 2, np.pi / 2)[0]
    assert pool.wetted_wall_m2(pool.max_level_m) == pytest.approx(straight + arcs, rel=1e-5)
    assert pool.perimeter_m == pytest.approx(12 + 4 * np.pi)


def test_prismoidal_rule_between_stations():
    """L (A1 + 4 Am + A2) / 6 with the middle section from the mean of the ends, by hand for each stretch."""
    measures = ((0.0, 3.0, 1.0), (2.0, 4.5, 1.2), (5.0, 5.0, 2.1), (7.5, 3.6, 1.8), (8.0, 0.0, 1.8))
    pool = StationBasin(measured=tuple(station(x_m=x, width_m=w, depth_m=d) for x, w, d in measures))
    total = 0.0
    for (x1, w1, d1), (x2, w2, d2) in itertools.pairwise(measures):
        total += (x2 - x1) / 6 * (w1 * d1 + (w1 + w2) * (d1 + d2) + w2 * d2)
    assert pool.water_volume_m3 == pytest.approx(total, rel=1e-12)


def test_side_slopes_between_stations_are_the_integral_of_trapezoids():
    """Below the wall of 1 m each section is a trapezoid; the sides are planes, so nothing is lost."""
    places, floors, depths = [0, 1, 3, 6], [5, 5, 2, 2], [1.0, 1.0, 2.2, 2.2]
    pool = StationBasin(
        measured=tuple(
            station(x_m=x, width_m=5.0, depth_m=d, floor_width_m=f)
            for x, f, d in zip(places, floors, depths, strict=True)
        )
    )

    def section(x):
        return 5 * 1.0 + (5 + np.interp(x, places, floors)) / 2 * (np.interp(x, places, depths) - 1.0)

    expected, _ = quad(section, 0, 6, points=[1, 3])
    assert pool.water_volume_m3 == pytest.approx(expected, rel=1e-9)
    # Only the far end stands upright below the wall: a trapezoid.
    assert pool.deep_wall_m2 == pytest.approx((5 + 2) / 2 * 1.2)


def test_a_pool_with_ledge_bench_and_stair_counted_layer_by_layer():
    """A box 10 x 5 x 1.5 m; each solid by hand."""
    box = sloped(10.0, 5.0, 1.5, freeboard=0.2)
    pool = WithSolids(
        basin=box,
        solids=(
            sun_ledge(foot_m=0.0, top_m=1.25, length_m=5.0, width_m=2.0),
            bench(foot_m=0.0, top_m=1.0, length_m=3.0, width_m=0.5),
            *straight_stair(foot_m=0.0, top_m=1.2, treads=4, tread_m=0.3, width_m=1.5),
        ),
    )
    stair_m3 = 1.5 * 0.3 * 0.3 * (4 + 3 + 2 + 1)
    assert pool.solid_m3 == pytest.approx(12.5 + 1.5 + stair_m3)
    assert pool.water_volume_m3 == pytest.approx(75 - 12.5 - 1.5 - stair_m3)
    assert pool.surface_at_m2(0.0) == pytest.approx(50 - 10 - 1.5 - 1.8)
    assert pool.surface_at_m2(1.22) == pytest.approx(40)
    assert pool.surface_at_m2(1.25) == pool.water_surface_m2 == pytest.approx(50)
    # The ledge hides 5 + 2 x 2 m of wall and shows 5 m; the bench hides 3 and shows 4; each layer of the stair, open on
    # both sides, hides its width and shows its width and both sides.
    shown = (5 - 9) * 1.25 + (4 - 3) * 1.0 + 2 * 0.3 * 0.3 * (4 + 3 + 2 + 1)
    assert pool.wetted_wall_m2(1.7) == pytest.approx(box.wetted_wall_m2(1.7) + shown)
    assert pool.floor_area_m2 == box.floor_area_m2
