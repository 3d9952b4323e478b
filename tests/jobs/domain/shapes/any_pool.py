"""Drawn pools of every shape."""

from hypothesis import strategies as st

from jobs.domain.basin import RectangularBasin
from jobs.domain.shapes.curves import EllipseBasin, KidneyBasin, StadiumBasin
from jobs.domain.shapes.parts import PartedBasin
from jobs.domain.shapes.placing import Part
from jobs.domain.shapes.solids import WithSolids, straight_stair, sun_ledge
from jobs.domain.shapes.stations import Station, StationBasin
from tests.jobs.domain.shapes.pools import sloped

depths = st.floats(min_value=0.8, max_value=2.8)
lengths = st.floats(min_value=2.0, max_value=8.0)
shares = st.floats(min_value=0.0, max_value=1.0)
freeboards = st.floats(min_value=0.0, max_value=0.4)


@st.composite
def rectangles(draw):
    shallow_length, slope, deep, back = (draw(st.floats(min_value=0.5, max_value=4.0)) for _ in range(4))
    width = draw(st.floats(min_value=2.0, max_value=6.0))
    shallow = draw(st.floats(min_value=0.8, max_value=1.4))
    hopper = draw(st.booleans())
    return RectangularBasin(
        length_m=shallow_length + slope + deep + (back if hopper else 0.0),
        width_m=width,
        shallow_depth_m=shallow,
        deep_depth_m=shallow + draw(st.floats(min_value=0.2, max_value=2.0)),
        shallow_length_m=shallow_length,
        slope_length_m=slope,
        deep_length_m=deep,
        back_slope_length_m=back if hopper else 0.0,
        side_slope_width_m=draw(st.floats(min_value=0.1, max_value=0.4)) * width if hopper else 0.0,
    )


@st.composite
def parted(draw):
    """Two or three rectangles, each of which touches or overlaps the one before it."""
    parts = [Part(basin=draw(rectangles()), deep_side=draw(sides))]
    for _ in range(draw(st.integers(min_value=1, max_value=2))):
        box = parts[-1].box
        at_x = box.x1 + draw(st.floats(min_value=0.1, max_value=0.8)) * (box.x2 - box.x1)
        at_y = box.y1 + draw(st.floats(min_value=0.1, max_value=1.0)) * (box.y2 - box.y1)
        parts.append(Part(basin=draw(rectangles()), deep_side=draw(sides), x_m=at_x, y_m=at_y))
    return PartedBasin(parts=tuple(parts), freeboard_m=draw(freeboards))


sides = st.sampled_from(("right", "left", "top", "bottom"))


@st.composite
def measured(draw):
    """Stations with one sloped side, both, or none; never a step."""
    count = draw(st.integers(min_value=2, max_value=6))
    stations, x = [], 0.0
    for _ in range(count):
        left, right = draw(st.floats(min_value=0.5, max_value=3.0)), draw(st.floats(min_value=0.5, max_value=3.0))
        slopes = draw(st.booleans())
        stations.append(
            Station(
                x_m=x,
                left_m=left,
                right_m=right,
                depth_m=draw(depths),
                floor_left_m=left * draw(shares) if slopes else None,
                floor_right_m=right * draw(shares) if slopes else None,
            )
        )
        x += draw(st.floats(min_value=0.3, max_value=4.0))
    return StationBasin(measured=tuple(stations), freeboard_m=draw(freeboards))


@st.composite
def curved(draw):
    width = draw(lengths)
    length = width + draw(st.floats(min_value=1.0, max_value=8.0))
    bends = sorted(draw(st.lists(st.integers(1, 19), max_size=3, unique=True)))
    places = [0.0, *(twentieth * length / 20 for twentieth in bends), length]
    section = tuple((x, draw(depths)) for x in places)
    kind = draw(st.sampled_from((EllipseBasin, StadiumBasin, KidneyBasin)))
    if kind is KidneyBasin:
        narrow = width * draw(st.floats(min_value=0.6, max_value=1.0))
        waist = draw(st.floats(min_value=0.0, max_value=0.3)) * narrow
        return KidneyBasin(
            length_m=length, wide_m=width, narrow_m=narrow, waist_in_m=waist, section=section, freeboard_m=0.2
        )
    return kind(length_m=length, width_m=width, section=section, freeboard_m=draw(freeboards))


@st.composite
def furnished(draw):
    """A level pool with a ledge from wall to wall and a stair."""
    pool = sloped(draw(st.floats(min_value=8.0, max_value=12.0)), 5.0, 1.5, freeboard=0.2)
    ledge = sun_ledge(foot_m=0.0, top_m=draw(st.floats(min_value=0.3, max_value=1.6)), length_m=5.0, width_m=1.5)
    stair = straight_stair(foot_m=0.0, top_m=1.2, treads=draw(st.integers(1, 5)), tread_m=0.3, width_m=2.0)
    return WithSolids(basin=pool, solids=(ledge, *stair))


pools = st.one_of(parted(), measured(), curved(), furnished())
