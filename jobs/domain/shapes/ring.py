"""The water line of a pool as a closed ring: its length, and the ring moved outwards for dig, form, coping and deck."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

# A corner of less than this is a point of a curve that was measured, not a corner that is formed.
CURVE_UNTIL_RAD = math.radians(45.0) - 1e-9

# A very sharp corner is cut off: nobody digs or forms its point.
SHARPEST_HALF_TURN = math.tan(math.radians(60.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A point of the ring.

    Attributes
    ----------
    x_m, y_m : place [m].
    level_m : level of the floor at the foot of the wall there [m].
    turn : what moving the ring outwards by d adds to its length, over 2 d; negative where the ring turns in.
    formed : whether it is a corner that is formed, not a point of a curve.
    """

    x_m: float
    y_m: float
    level_m: float
    turn: float
    formed: bool


def ring_of(points: Sequence[tuple[float, float, float]]) -> tuple[Corner, ...]:
    """Corners of a ring of (x, y, floor level), counter-clockwise [m]; each learns how sharply it turns."""
    corners = []
    for at, (x, y, level) in enumerate(points):
        x0, y0, _ = points[at - 1]
        x1, y1, _ = points[(at + 1) % len(points)]
        angle = math.atan2(y1 - y, x1 - x) - math.atan2(y - y0, x - x0)
        angle = math.remainder(angle, 2 * math.pi)
        formed = abs(angle) > CURVE_UNTIL_RAD
        half = angle / 2
        turn = half if not formed else math.copysign(min(abs(math.tan(half)), SHARPEST_HALF_TURN), half)
        corners.append(Corner(x_m=x, y_m=y, level_m=level, turn=turn, formed=formed))
    return tuple(corners)


def turned(ring: Sequence[Corner]) -> float:
    """Sum of the turns: pi for a smooth curve, 4 for square corners."""
    return sum(corner.turn for corner in ring)


def deep_corner_m(ring: Sequence[Corner], foot_m: float) -> float:
    """Upright corner edges below the foot of the walls, each weighted by its turn [m].

    Digging out by d behind two deep walls that meet there takes d² more for each metre.
    """
    return sum(corner.turn * max(0.0, foot_m - corner.level_m) for corner in ring)
