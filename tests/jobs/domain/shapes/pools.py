"""Pools of every shape that the shape tests share, from feet."""

from jobs.domain.basin import RectangularBasin
from jobs.domain.shapes.curves import EllipseBasin, KidneyBasin, StadiumBasin, round_basin
from jobs.domain.shapes.parts import PartedBasin
from jobs.domain.shapes.placing import Part
from jobs.domain.shapes.stations import StationBasin, station

FT = 0.3048
YD = 3 * FT


def sloped(length, width, shallow, deep=None, freeboard=0.15):
    """A rectangle in metres that falls evenly from one end to the other, or is level."""
    level = deep is None or deep == shallow
    return RectangularBasin(
        length_m=length,
        width_m=width,
        shallow_depth_m=shallow,
        deep_depth_m=shallow if level else deep,
        shallow_length_m=length if level else 0.0,
        slope_length_m=0.0 if level else length,
        deep_length_m=0.0,
        freeboard_m=freeboard,
    )


def level_section(length, depth):
    return ((0.0, depth), (length, depth))


def stepped(width, first_length, shallow, deep, second_length, second_depth):
    """A slope that ends in a step down to a level floor, as two parts."""
    return PartedBasin(
        parts=(
            Part(basin=sloped(first_length, width, shallow, deep)),
            Part(basin=sloped(second_length, width, second_depth), x_m=first_length),
        )
    )


def stepped_by_stations(width, first_length, shallow, deep, second_length, second_depth):
    """The same pool measured at stations."""
    places = (
        (0.0, shallow),
        (first_length, deep),
        (first_length, second_depth),
        (first_length + second_length, second_depth),
    )
    return StationBasin(measured=tuple(station(x_m=x, width_m=width, depth_m=depth) for x, depth in places))


CASES = {
    "plan_20m_20yd": lambda: PartedBasin(parts=(Part(basin=sloped(20.0, 20 * YD, 1.5)),)),
    "l_175x50_25x25": lambda: PartedBasin(
        parts=(
            Part(basin=sloped(175 * FT, 50 * FT, 1.5)),
            Part(basin=sloped(25 * FT, 25 * FT, 1.2), x_m=100 * FT, y_m=50 * FT),
        )
    ),
    "rect_40x20": lambda: PartedBasin(parts=(Part(basin=sloped(40 * FT, 20 * FT, 5 * FT)),)),
    "step_25yd_45ft": lambda: stepped(45 * FT, 10 * YD, 3 * FT, 5 * FT, 15 * YD, 12 * FT),
    "step_45yd_65ft": lambda: stepped(65 * FT, 25 * YD, 4 * FT, 6 * FT, 20 * YD, 15 * FT),
    "round_10x1": lambda: round_basin(diameter_m=10 * FT, depth_m=FT),
    "ellipse_16x32x5": lambda: EllipseBasin(length_m=32 * FT, width_m=16 * FT, section=level_section(32 * FT, 5 * FT)),
    "kidney_16_12_30x5": lambda: KidneyBasin(
        length_m=30 * FT, wide_m=16 * FT, narrow_m=12 * FT, section=level_section(30 * FT, 5 * FT)
    ),
    "stadium_18x36x5": lambda: StadiumBasin(length_m=36 * FT, width_m=18 * FT, section=level_section(36 * FT, 5 * FT)),
}
