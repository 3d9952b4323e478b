"""A shape that is no pool is refused with a sentence that names the field and the remedy."""

from typing import cast

import pytest

from jobs.domain.basin import Fitting
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.curves import EllipseBasin, KidneyBasin, StadiumBasin
from jobs.domain.shapes.parts import PartedBasin, l_shape
from jobs.domain.shapes.placing import DeepSide, Part
from jobs.domain.shapes.solids import Solid, WithSolids, bench, straight_stair, sun_ledge
from jobs.domain.shapes.stations import Station, StationBasin, station
from tests.jobs.domain.shapes.pools import level_section, sloped

BOX = sloped(8.0, 4.0, 1.5)


def ring_of_four():
    """Four rectangles round an island."""
    long, short = sloped(8.0, 1.0, 1.5), sloped(6.0, 1.0, 1.5)
    return (
        Part(basin=long),
        Part(basin=long, y_m=7.0),
        Part(basin=short, y_m=1.0, deep_side="top"),
        Part(basin=short, x_m=7.0, y_m=1.0, deep_side="top"),
    )


def measured(*widths, at=(0.0, 2.0, 4.0)):
    return tuple(station(x_m=x, width_m=width, depth_m=1.5) for x, width in zip(at, widths, strict=True))


BAD = [
    ("shapes.deep_side", lambda: Part(basin=BOX, deep_side=cast(DeepSide, "north"))),
    (
        "shapes.fittings_of_part",
        lambda: Part(basin=sloped_with_fitting()),
    ),
    ("shapes.no_parts", lambda: PartedBasin(parts=())),
    ("shapes.parts_apart", lambda: PartedBasin(parts=(Part(basin=BOX), Part(basin=BOX, x_m=9.0)))),
    ("shapes.parts_apart", lambda: PartedBasin(parts=ring_of_four())),
    ("shapes.parts_apart", lambda: PartedBasin(parts=(Part(basin=BOX), Part(basin=BOX, x_m=8.0, y_m=4.0)))),
    ("shapes.leg_outside", lambda: l_shape(main=BOX, leg=BOX, leg_from_m=6.0, freeboard_m=0.1)),
    ("shapes.too_few_stations", lambda: StationBasin(measured=measured(3.0, at=(0.0,)))),
    ("shapes.stations_out_of_order", lambda: StationBasin(measured=measured(3, 3, 3, at=(0.0, 4.0, 2.0)))),
    ("shapes.step_changes_width", lambda: StationBasin(measured=measured(3, 4, 3, at=(0.0, 0.0, 2.0)))),
    ("shapes.no_area", lambda: StationBasin(measured=measured(0.0, 0.0, 0.0))),
    ("shapes.no_area", lambda: StationBasin(measured=measured(3, 3, at=(1.0, 1.0)))),
    ("shapes.station_inside_out", lambda: Station(x_m=0.0, left_m=1.0, right_m=-2.0, depth_m=1.0)),
    ("shapes.station_slopes", lambda: station(x_m=0.0, width_m=3.0, depth_m=1.0, floor_width_m=4.0)),
    ("basin.not_positive", lambda: station(x_m=0.0, width_m=3.0, depth_m=0.0)),
    ("shapes.section_ends", lambda: EllipseBasin(length_m=8.0, width_m=4.0, section=level_section(7.0, 1.5))),
    (
        "shapes.section_order",
        lambda: EllipseBasin(length_m=8.0, width_m=4.0, section=((0, 1), (5, 2), (4, 2), (8.0, 2))),
    ),
    ("shapes.stadium_too_wide", lambda: StadiumBasin(length_m=4.0, width_m=5.0, section=level_section(4.0, 1.5))),
    (
        "shapes.kidney_too_short",
        lambda: KidneyBasin(length_m=4.0, wide_m=5.0, narrow_m=4.0, section=level_section(4.0, 1.5)),
    ),
    # So short that the trade rule asks for more than straight sides enclose.
    (
        "shapes.kidney_waist",
        lambda: KidneyBasin(length_m=7.0, wide_m=5.0, narrow_m=5.0, section=level_section(7.0, 1.5)),
    ),
    ("basin.too_large", lambda: EllipseBasin(length_m=400.0, width_m=4.0, section=level_section(400.0, 1.5))),
    (
        "basin.fitting_above_coping",
        lambda: PartedBasin(parts=(Part(basin=BOX),), fittings=(Fitting(kind="skimmer", flange_m=1.7),)),
    ),
    ("shapes.solid_flat", lambda: Solid(kind="bench", foot_m=1.0, top_m=1.0, plan_m2=1.0)),
    (
        "shapes.solid_above_coping",
        lambda: WithSolids(basin=BOX, solids=(bench(foot_m=0.0, top_m=2.0, length_m=2.0, width_m=0.5),)),
    ),
    (
        "shapes.solids_too_large",
        lambda: WithSolids(basin=BOX, solids=(sun_ledge(foot_m=0.0, top_m=1.0, length_m=4.0, width_m=8.1),)),
    ),
    (
        "shapes.stair_counts",
        lambda: straight_stair(foot_m=0.0, top_m=1.0, treads=0, tread_m=0.3, width_m=1.0),
    ),
    ("shapes.ends_on_wall", lambda: bench(foot_m=0.0, top_m=1.0, length_m=2.0, width_m=0.5, ends_on_wall=3)),
]


def sloped_with_fitting():
    pool = sloped(8.0, 4.0, 1.5)
    return type(pool)(
        length_m=8.0,
        width_m=4.0,
        shallow_depth_m=1.5,
        deep_depth_m=1.5,
        shallow_length_m=8.0,
        slope_length_m=0.0,
        deep_length_m=0.0,
        fittings=(Fitting(kind="return", flange_m=1.0),),
    )


@pytest.mark.parametrize(("code", "make"), BAD, ids=[f"{at}-{code}" for at, (code, _) in enumerate(BAD)])
def test_refused_with_field_and_remedy(code, make):
    with pytest.raises(CannotDo) as refused:
        make()
    assert refused.value.code == code
    assert refused.value.field
    assert refused.value.remedy
    assert "{" not in str(refused.value)


@pytest.mark.parametrize("level", [-0.1, 1.7])
def test_levels_and_volumes_outside_are_refused(level):
    for pool in (PartedBasin(parts=(Part(basin=BOX),)), WithSolids(basin=BOX, solids=())):
        for ask in (pool.volume_at_m3, pool.surface_at_m2, pool.wetted_wall_m2):
            with pytest.raises(CannotDo) as refused:
                ask(level)
            assert refused.value.code == "basin.level_outside"
        with pytest.raises(CannotDo) as full:
            pool.level_for_volume_m(60.0)
        assert full.value.code == "basin.volume_outside"
