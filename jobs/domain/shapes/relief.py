"""The floor of a pool as plane pieces and its upright faces, with the water, surface and area at any level.

Levels are metres above the deepest point of the floor. Every piece is plane, so every figure is exact for the
pieces; a piece cut from a curved outline carries the ratio of its true area to the area of its straight chord.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Facet:
    """A plane convex piece of floor.

    Attributes
    ----------
    corners : (x, y, level) of each corner in turn [m].
    weight : true plan area over the plan area of the corners; 1 unless an edge is a chord of a curve.
    plan_m2, true_m2 : area in plan, and on the slope.
    low_m, high_m, mean_m : lowest, highest and mean level.
    """

    corners: tuple[Point, ...]
    weight: float
    plan_m2: float
    true_m2: float
    low_m: float
    high_m: float
    mean_m: float

    def under(self, level_m: float) -> tuple[float, float]:
        """Plan area [m2] under water at a level, and the water over it [m3]."""
        if level_m >= self.high_m:
            return self.plan_m2, self.plan_m2 * (level_m - self.mean_m)
        if level_m <= self.low_m:
            return 0.0, 0.0
        wet = clipped(self.corners, [level_m - z for _, _, z in self.corners])
        area, mean = area_and_mean(wet)
        return area * self.weight, area * self.weight * (level_m - mean)


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """An upright face over a straight or curved line in plan.

    Attributes
    ----------
    length_m : true length in plan [m].
    foot_m : level of its foot at both ends [m].
    head_m : level of its head at both ends; ``None`` is the coping: the face of an outer wall [m].
    """

    length_m: float
    foot_m: tuple[float, float]
    head_m: tuple[float, float] | None = None

    def under_m2(self, level_m: float) -> float:
        """Area under water at a level [m2]."""
        dry = 0.0 if self.head_m is None else _mean_height(level_m, self.head_m)
        return self.length_m * (_mean_height(level_m, self.foot_m) - dry)


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """All pieces of a pool, built once.

    ``depth_m`` is the design water over the deepest floor, ``foot_m`` the level of the highest floor: from there up
    the walls stand upright all round.
    """

    depth_m: float
    foot_m: float
    facets: tuple[Facet, ...]
    faces: tuple[Face, ...]

    def volume_at_m3(self, level_m: float) -> float:
        """Water at a level [m3]."""
        return sum(facet.under(level_m)[1] for facet in self.facets)

    def surface_at_m2(self, level_m: float) -> float:
        """Water surface at a level [m2], the derivative of the volume."""
        return sum(facet.under(level_m)[0] for facet in self.facets)

    def faces_at_m2(self, level_m: float) -> float:
        """Upright faces under water at a level [m2]."""
        return sum(face.under_m2(level_m) for face in self.faces)

    @property
    def floor_m2(self) -> float:
        """True area of the floor, slopes along the slope [m2]."""
        return sum(facet.true_m2 for facet in self.facets)

    @property
    def wall_length_m(self) -> float:
        """Length of the outer walls in plan [m]."""
        return sum(face.length_m for face in self.faces if face.head_m is None)


def facet(corners: Sequence[Point], weight: float = 1.0) -> Facet:
    """A piece of floor from its corners in turn; the corners lie in one plane."""
    area, mean = area_and_mean(corners)
    levels = [z for _, _, z in corners]
    return Facet(
        corners=tuple(corners),
        weight=weight,
        plan_m2=area * weight,
        true_m2=_true_area(corners) * weight,
        low_m=min(levels),
        high_m=max(levels),
        mean_m=mean,
    )


def clipped(corners: Sequence[Point], keep: Sequence[float]) -> list[Point]:
    """The part of a convex piece where a linear value, given at its corners, is not negative."""
    kept: list[Point] = []
    for at, corner in enumerate(corners):
        before, value_before = corners[at - 1], keep[at - 1]
        value = keep[at]
        if (value < 0) != (value_before < 0):
            share = value_before / (value_before - value)
            kept.append(
                (
                    before[0] + share * (corner[0] - before[0]),
                    before[1] + share * (corner[1] - before[1]),
                    before[2] + share * (corner[2] - before[2]),
                )
            )
        if value >= 0:
            kept.append(corner)
    return kept


def area_and_mean(corners: Sequence[Point]) -> tuple[float, float]:
    """Plan area of a convex piece [m2] and its mean level [m]."""
    total = moment = 0.0
    for second, third in itertools.pairwise(corners[1:]):
        first = corners[0]
        area = abs((second[0] - first[0]) * (third[1] - first[1]) - (third[0] - first[0]) * (second[1] - first[1])) / 2
        total += area
        moment += area * (first[2] + second[2] + third[2]) / 3
    return total, moment / total if total else corners[0][2] if corners else 0.0


def _true_area(corners: Sequence[Point]) -> float:
    # Newell: half the length of the sum of the cross products of successive corners.
    x = y = z = 0.0
    for at, (x2, y2, z2) in enumerate(corners):
        x1, y1, z1 = corners[at - 1]
        x += (y1 - y2) * (z1 + z2)
        y += (z1 - z2) * (x1 + x2)
        z += (x1 - x2) * (y1 + y2)
    return float((x * x + y * y + z * z) ** 0.5) / 2


def _mean_height(level_m: float, ends: tuple[float, float]) -> float:
    """Mean of what of ``level_m`` stands over a line between two levels; nothing counts as nothing."""
    low, high = min(ends), max(ends)
    if level_m >= high:
        return level_m - (low + high) / 2
    if level_m <= low:
        return 0.0
    return (level_m - low) ** 2 / (2 * (high - low))
