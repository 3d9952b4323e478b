"""The long section's arithmetic, against areas worked out by hand and the shoelace formula."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.web.presenters.profile import Points, PoolShape

# 10 m long, 1 m at the shallow end for 4 m, sloping over 4 m to 2.5 m.
WEDGE = PoolShape(stations=((0, 1.0), (4, 1.0), (8, 2.5), (10, 2.5)))
HOPPER = PoolShape(stations=((0, 1.0), (3, 1.0), (6, 2.5), (8, 2.5), (10, 1.0)))


def area(points: Points) -> float:
    """Shoelace formula (Gauss's area formula; Meister 1769, from memory)."""
    following = (*points[1:], points[0])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, following, strict=True))) / 2


@pytest.mark.parametrize(
    ("shape", "level", "expected"),
    [
        # Full: 4 x 1 + 4 x (1 + 2.5) / 2 + 2 x 2.5.
        (WEDGE, 2.5, 16.0),
        # At the shallow floor: triangle 4 x 1.5 / 2 and rectangle 2 x 1.5.
        (WEDGE, 1.5, 6.0),
        # Half way up the slope: triangle 2 x 0.75 / 2 and rectangle 2 x 0.75.
        (WEDGE, 0.75, 2.25),
        # Full: 3 + 3 x 1.75 + 2 x 2.5 + 2 x 1.75.
        (HOPPER, 2.5, 16.75),
        # Half way: 1.5 x 0.75 / 2 + 2 x 0.75 + 1 x 0.75 / 2.
        (HOPPER, 0.75, 2.4375),
    ],
)
def test_area_of_the_water(shape: PoolShape, level: float, expected: float) -> None:
    assert area(shape.water(level)) == pytest.approx(expected, abs=1e-9)


def test_no_water_at_the_floor_and_none_above_the_coping() -> None:
    assert WEDGE.water(0.0) == ()
    assert WEDGE.water(99.0) == WEDGE.water(WEDGE.coping_level_m)


@given(st.floats(0.001, 2.6), st.floats(0.001, 2.6))
def test_more_water_is_never_less_area(one: float, other: float) -> None:
    low, high = sorted((one, other))
    for shape in (WEDGE, HOPPER):
        assert area(shape.water(low)) <= area(shape.water(high)) + 1e-9


def test_slab_wall_and_backfill_by_hand() -> None:
    shape = PoolShape(stations=((0, 1.0), (5, 1.0)), wall_m=0.3, slab_m=0.1, stone_m=0.2, working_space_m=0.5)
    assert area(shape.band(top_m=0, bottom_m=0.1, beyond_m=0.3)) == pytest.approx(5.6 * 0.1)
    # Wall from the floor to the coping: 1.0 + 0.15 freeboard.
    assert area(shape.wall(far=True)) == pytest.approx(0.3 * 1.15)
    # Backfill from under the stone to the underside of the deck: 1.15 - 0.1 + 0.3.
    assert area(shape.backfill(far=False)) == pytest.approx(0.5 * 1.35)
    assert area(shape.dig()) == pytest.approx((5 + 2 * 0.8) * 1.35)


def test_a_sloped_dig_is_wider_at_the_top() -> None:
    shape = PoolShape(stations=((0, 1.0), (5, 1.0)), wall_m=0.3, slab_m=0.1, stone_m=0.2, dig_slope=0.5)
    upright = PoolShape(stations=((0, 1.0), (5, 1.0)), wall_m=0.3, slab_m=0.1, stone_m=0.2)
    assert area(shape.dig()) - area(upright.dig()) == pytest.approx(0.5 * 1.35**2)


@pytest.mark.parametrize(
    "stations", [((0.0, 1.0),), ((0.0, 1.0), (-1.0, 1.0)), ((0.0, 1.0), (0.0, 2.0)), ((0.0, 0.0), (5.0, 1.0))]
)
def test_a_shape_that_is_no_pool_is_refused(stations: Points) -> None:
    with pytest.raises(ValueError):
        PoolShape(stations=stations)
