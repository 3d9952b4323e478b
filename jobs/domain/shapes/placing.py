"""A rectangle of a pool placed in plan, and its floor as planes in the plan of the whole pool."""

import itertools
from dataclasses import dataclass
from typing import Literal, get_args

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.rectangles import Box, place

# The side of the plan towards which a part gets deeper; x runs to the right, y to the top.
DeepSide = Literal["right", "left", "top", "bottom"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A rectangle of a pool, placed in plan.

    Attributes
    ----------
    basin : lengths and depths; its length runs towards ``deep_side``. Its freeboard and fittings are not used.
    x_m, y_m : left lower corner in plan [m].
    """

    basin: RectangularBasin
    x_m: float = 0.0
    y_m: float = 0.0
    deep_side: DeepSide = "right"

    def __post_init__(self) -> None:
        if self.deep_side not in get_args(DeepSide):
            raise CannotDo(
                "shapes.deep_side", field="deep_side", value=self.deep_side, sides=", ".join(get_args(DeepSide))
            )
        if self.basin.fittings:
            raise CannotDo("shapes.fittings_of_part", field="fittings")

    @property
    def is_upright_in_plan(self) -> bool:
        """Whether its length runs along y."""
        return self.deep_side in ("top", "bottom")

    @property
    def box(self) -> Box:
        """Its rectangle in plan."""
        along, across = self.basin.length_m, self.basin.width_m
        wide, high = (across, along) if self.is_upright_in_plan else (along, across)
        return Box(x1=place(self.x_m), y1=place(self.y_m), x2=place(self.x_m + wide), y2=place(self.y_m + high))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """A plane in plan: level = a x + b y + c."""

    a: float
    b: float
    c: float

    def at(self, x: float, y: float) -> float:
        """Level over a place [m]."""
        return self.a * x + self.b * y + self.c

    def less(self, other: "Plane") -> "Plane":
        """Their difference, a plane again."""
        return Plane(a=self.a - other.a, b=self.b - other.b, c=self.c - other.c)


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """The floor of a part: the highest of its slopes, no higher than its shallow floor."""

    box: Box
    shallow: Plane
    slopes: tuple[Plane, ...]

    def at(self, x: float, y: float) -> Plane:
        """The plane that is the floor over a place."""
        steepest = max(self.slopes, key=lambda plane: plane.at(x, y))
        return min(self.shallow, steepest, key=lambda plane: plane.at(x, y))


def floor_of(part: Part, depth_m: float) -> Floor:
    """The floor of a part, in levels over the deepest floor of the whole pool."""
    basin, box = part.basin, part.box
    base = depth_m - basin.deep_depth_m
    drop = basin.deep_depth_m - basin.shallow_depth_m
    deep_from = basin.shallow_length_m + basin.slope_length_m
    back_from = deep_from + basin.deep_length_m
    # (slope along the length, slope across, level at the shallow left corner), over the deep floor of this part.
    local = [(0.0, 0.0, 0.0)]
    if drop and basin.slope_length_m:
        fall = drop / basin.slope_length_m
        local.append((-fall, 0.0, fall * deep_from))
    if drop and basin.back_slope_length_m:
        rise = drop / basin.back_slope_length_m
        local.append((rise, 0.0, -rise * back_from))
    if drop and basin.side_slope_width_m:
        side = drop / basin.side_slope_width_m
        local += [(0.0, -side, drop), (0.0, side, drop - side * basin.width_m)]
    return Floor(
        box=box,
        shallow=Plane(a=0.0, b=0.0, c=base + drop),
        slopes=tuple(_placed(part, box, along, across, base + level) for along, across, level in local),
    )


def _placed(part: Part, box: Box, along: float, across: float, level: float) -> Plane:
    if part.deep_side == "right":
        return Plane(a=along, b=across, c=level - along * box.x1 - across * box.y1)
    if part.deep_side == "left":
        return Plane(a=-along, b=across, c=level + along * box.x2 - across * box.y1)
    if part.deep_side == "top":
        return Plane(a=across, b=along, c=level - along * box.y1 - across * box.x1)
    return Plane(a=across, b=-along, c=level + along * box.y2 - across * box.x1)


def breaks(part: Part, *, along_y: bool) -> list[float]:
    """Where the floor of a part bends, along one axis of the plan [m]."""
    basin, box = part.basin, part.box
    if part.is_upright_in_plan == along_y:
        lengths = (basin.shallow_length_m, basin.slope_length_m, basin.deep_length_m)
        ends = list(itertools.accumulate(lengths))
        low, high = (box.y1, box.y2) if along_y else (box.x1, box.x2)
        return [low + end for end in ends] if part.deep_side in ("right", "top") else [high - end for end in ends]
    low, high = (box.y1, box.y2) if along_y else (box.x1, box.x2)
    return [low + basin.side_slope_width_m, high - basin.side_slope_width_m]
