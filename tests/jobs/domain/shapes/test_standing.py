"""Where ledges and stairs are drawn: inside the pool, with their own area, without changing what it holds."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.domain.basin import Basin, RectangularBasin
from jobs.domain.shapes.curves import EllipseBasin, KidneyBasin, StadiumBasin
from jobs.domain.shapes.parts import l_shape
from jobs.domain.shapes.solids import Solid, WithSolids, bench, straight_stair, sun_ledge
from jobs.domain.shapes.standing import Standing, sides_of, solids_of, standing
from jobs.domain.shapes.stations import StationBasin, station

LEVEL = ((0.0, 1.5), (12.0, 1.5))


def box(length: float, width: float) -> RectangularBasin:
    return RectangularBasin(
        length_m=length, width_m=width, shallow_depth_m=1.5, deep_depth_m=1.5, shallow_length_m=0.0,
        slope_length_m=0.0, deep_length_m=length,
    )  # fmt: skip


POOLS: tuple[Basin, ...] = (
    box(12.0, 5.0),
    EllipseBasin(length_m=12.0, width_m=6.0, section=LEVEL),
    StadiumBasin(length_m=12.0, width_m=5.0, section=LEVEL),
    KidneyBasin(length_m=12.0, wide_m=6.0, narrow_m=5.0, section=LEVEL),
    l_shape(main=box(12.0, 5.0), leg=box(4.0, 3.0), leg_from_m=2.0, freeboard_m=0.15),
    StationBasin(measured=tuple(station(x_m=x, width_m=w, depth_m=1.5) for x, w in ((2, 3), (6, 6), (14, 4)))),
)


def area(plan: tuple[tuple[float, float], ...]) -> float:
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in itertools.pairwise((*plan, plan[0])))) / 2


def built(basin: Basin, *solids: Solid) -> tuple[Standing, ...]:
    return standing(WithSolids(basin=basin, solids=solids))


@given(st.sampled_from(POOLS), st.floats(0.5, 4.0), st.floats(0.3, 1.2), st.integers(1, 4))
def test_what_is_drawn_has_its_own_area_and_stays_in_the_pool(
    basin: Basin, length: float, width: float, treads: int
) -> None:
    stair = straight_stair(foot_m=0.0, top_m=1.2, treads=treads, tread_m=0.3, width_m=1.5)
    ledges = [bench(foot_m=0.0, top_m=top, length_m=length, width_m=width) for top in (0.5, 1.0)]
    found = built(basin, *stair, *ledges)
    assert [len(one.solids) for one in found] == [treads, 1, 1]
    xs, ys = zip(*basin.outline(), strict=True)
    for one in found:
        for solid, plan, (near, far) in zip(one.solids, one.plans, one.along, strict=True):
            assert area(plan) == pytest.approx(solid.plan_m2, rel=1e-6)
            assert all(min(xs) - 1e-9 <= x <= max(xs) + 1e-9 and min(ys) - 1e-9 <= y <= max(ys) + 1e-9 for x, y in plan)
            assert near + 1e-9 >= 0.0
            assert near < far
    whole = WithSolids(basin=basin, solids=(*stair, *ledges))
    assert sum(one.volume_m3 for one in found) == pytest.approx(whole.solid_m3)
    assert basin.water_volume_m3 - whole.water_volume_m3 == pytest.approx(whole.solid_m3)


def test_a_ledge_across_the_end_is_cut_and_one_along_the_side_stands_beyond() -> None:
    across = sun_ledge(foot_m=0.0, top_m=1.2, length_m=5.0, width_m=2.0)
    along = bench(foot_m=0.0, top_m=1.0, length_m=3.0, width_m=0.5)
    ledge, seat = built(box(12.0, 5.0), across, along)
    assert ledge.cut
    assert ledge.along[0] == pytest.approx((0.0, 2.0))
    places = {(round(x, 6), round(y, 6)) for x, y in ledge.plans[0]}
    assert places == {(0.0, 0.0), (2.0, 0.0), (2.0, 5.0), (0.0, 5.0)}
    assert not seat.cut
    assert seat.along[0] == pytest.approx((2.0, 5.0))


def test_treads_rise_towards_the_wall() -> None:
    (stair,) = built(box(12.0, 5.0), *straight_stair(foot_m=0.0, top_m=1.2, treads=3, tread_m=0.3, width_m=2.0))
    assert [far for _, far in stair.along] == pytest.approx([0.9, 0.6, 0.3])
    assert stair.top_m == 1.2
    assert (stair.length_m, stair.width_m) == pytest.approx((2.0, 0.9))


def test_the_section_of_a_pool_that_deepens_to_the_left_begins_at_its_shallow_end() -> None:
    """A leg deeper than the main part turns the section: it runs along the leg, and so do ledges."""
    deep_leg = RectangularBasin(
        length_m=6.0, width_m=4.0, shallow_depth_m=1.5, deep_depth_m=2.5, shallow_length_m=1.0, slope_length_m=3.0,
        deep_length_m=2.0,
    )  # fmt: skip
    pool = l_shape(main=box(12.0, 5.0), leg=deep_leg, leg_from_m=4.0, freeboard_m=0.15)
    (ledge,) = built(pool, bench(foot_m=1.0, top_m=2.0, length_m=3.0, width_m=1.0))
    assert ledge.cut
    assert {round(y, 6) for _, y in ledge.plans[0]} == {0.0, 1.0}


def test_sides_are_read_from_faces_and_without_them_guessed() -> None:
    assert sides_of(Solid(kind="block", foot_m=0.0, top_m=1.0, plan_m2=2.0)) == pytest.approx((2.0, 1.0))
    assert built(box(6.0, 3.0), Solid(kind="block", foot_m=0.0, top_m=1.0, plan_m2=2.0))[0].cut
    assert standing(box(6.0, 3.0)) == ()
    inner = WithSolids(basin=box(6.0, 3.0), solids=(bench(foot_m=0, top_m=1, length_m=1, width_m=1),))
    outer = WithSolids(basin=inner, solids=(bench(foot_m=0, top_m=0.5, length_m=1, width_m=1),))
    assert [one.top_m for one in solids_of(outer)] == [1, 0.5]
