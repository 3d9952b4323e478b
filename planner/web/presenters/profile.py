"""Points of a pool's long section in metres: x from the shallow end, level above the deepest floor."""

import itertools
from dataclasses import dataclass

from jobs.domain.basin import Basin
from jobs.domain.shapes.standing import standing

Point = tuple[float, float]
Points = tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltIn:
    """A layer of a ledge or a stair in the section [m]; ``cut`` where the section runs through it, else beyond."""

    from_m: float
    until_m: float
    foot_m: float
    top_m: float
    cut: bool

    def outline(self) -> Points:
        """Its closed outline."""
        return (
            (self.from_m, self.foot_m),
            (self.from_m, self.top_m),
            (self.until_m, self.top_m),
            (self.until_m, self.foot_m),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolShape:
    """What a long section is drawn from.

    Attributes
    ----------
    stations : (x, floor below design water) [m], x not falling, as ``Basin.stations()`` gives them.
    freeboard_m : coping above design water [m].
    wall_m, slab_m, stone_m : thickness of wall, floor slab and stone [m].
    working_space_m : dug beyond the outside of the wall [m].
    dig_slope : run for each metre of height of the dig faces.
    deck_width_m, deck_m : width of the deck beyond the wall, and its thickness [m].
    built_in : ledges, benches and stairs, layer by layer.
    """

    stations: Points
    freeboard_m: float = 0.15
    wall_m: float = 0.279
    slab_m: float = 0.102
    stone_m: float = 0.10
    working_space_m: float = 0.56
    dig_slope: float = 0.0
    deck_width_m: float = 1.2
    deck_m: float = 0.10
    built_in: tuple[BuiltIn, ...] = ()

    def __post_init__(self) -> None:
        if len(self.stations) < 2:
            raise ValueError("a long section needs at least two stations")
        if any(after[0] < before[0] for before, after in itertools.pairwise(self.stations)):
            raise ValueError("stations must not run back towards the shallow end")
        if self.length_m <= 0 or min(depth for _, depth in self.stations) <= 0:
            raise ValueError("a pool has a length, and its floor lies below the water")

    @property
    def start_m(self) -> float:
        return self.stations[0][0]

    @property
    def end_m(self) -> float:
        return self.stations[-1][0]

    @property
    def length_m(self) -> float:
        return self.end_m - self.start_m

    @property
    def design_level_m(self) -> float:
        return max(depth for _, depth in self.stations)

    @property
    def coping_level_m(self) -> float:
        return self.design_level_m + self.freeboard_m

    @property
    def ground_level_m(self) -> float:
        """The ground meets the underside of the deck."""
        return self.coping_level_m - self.deck_m

    def floor(self, *, below_m: float = 0.0, beyond_m: float = 0.0) -> Points:
        """The floor line lowered by ``below_m`` and carried level ``beyond_m`` past both ends."""
        line = tuple((x, self.design_level_m - depth - below_m) for x, depth in self.stations)
        if beyond_m <= 0:
            return line
        return ((self.start_m - beyond_m, line[0][1]), *line, (self.end_m + beyond_m, line[-1][1]))

    def band(self, *, top_m: float, bottom_m: float, beyond_m: float) -> Points:
        """The closed band between the floor lowered by ``top_m`` and by ``bottom_m``."""
        upper = self.floor(below_m=top_m, beyond_m=beyond_m)
        lower = self.floor(below_m=bottom_m, beyond_m=beyond_m)
        return (*upper, *reversed(lower))

    def dig(self) -> Points:
        """The closed outline of the dig, from the ground down and back."""
        bottom = self.floor(below_m=self.slab_m + self.stone_m, beyond_m=self.wall_m + self.working_space_m)
        (left, left_level), (right, right_level) = bottom[0], bottom[-1]
        ground = self.ground_level_m
        return (
            (left - self.dig_slope * (ground - left_level), ground),
            *bottom,
            (right + self.dig_slope * (ground - right_level), ground),
        )

    def wall(self, *, far: bool) -> Points:
        """The closed outline of the end wall, from its foot on the slab to the coping."""
        floor = self.floor()
        foot = floor[-1][1] if far else floor[0][1]
        inner = self.end_m if far else self.start_m
        outer = inner + self.wall_m if far else inner - self.wall_m
        return ((inner, foot), (outer, foot), (outer, self.coping_level_m), (inner, self.coping_level_m))

    def backfill(self, *, far: bool) -> Points:
        """The closed outline between wall, dig face and ground."""
        floor = self.floor()
        foot = (floor[-1][1] if far else floor[0][1]) - self.slab_m - self.stone_m
        side, inner = (1.0, self.end_m) if far else (-1.0, self.start_m)
        wall, face = inner + side * self.wall_m, inner + side * (self.wall_m + self.working_space_m)
        ground = self.ground_level_m
        return ((wall, foot), (face, foot), (face + side * self.dig_slope * (ground - foot), ground), (wall, ground))

    def deck(self, *, far: bool) -> Points:
        """The closed outline of the deck beyond the wall."""
        side, inner = (1.0, self.end_m) if far else (-1.0, self.start_m)
        near = inner + side * self.wall_m
        out, top = near + side * self.deck_width_m, self.coping_level_m
        return ((near, top), (out, top), (out, top - self.deck_m), (near, top - self.deck_m))

    def lining(self) -> Points:
        """The inner face, from coping to coping."""
        top = self.coping_level_m
        return ((self.start_m, top), *self.floor(), (self.end_m, top))

    def water(self, level_m: float) -> Points:
        """The closed outline of water standing at ``level_m``; empty when the floor is dry."""
        if level_m <= 0:
            return ()
        level_m = min(level_m, self.coping_level_m)
        bed: list[Point] = []
        for (x, z), (next_x, next_z) in itertools.pairwise(self.floor()):
            bed.append((x, min(z, level_m)))
            if (z - level_m) * (next_z - level_m) < 0:
                bed.append((x + (next_x - x) * (level_m - z) / (next_z - z), level_m))
        last_x, last_z = self.floor()[-1]
        bed.append((last_x, min(last_z, level_m)))
        wet = [at for at, (_, z) in enumerate(bed) if z < level_m]
        first, last = max(wet[0] - 1, 0), min(wet[-1] + 1, len(bed) - 1)
        kept = bed[first : last + 1]
        return ((kept[0][0], level_m), *kept, (kept[-1][0], level_m))


def built_into(basin: Basin) -> tuple[BuiltIn, ...]:
    """Ledges, benches and stairs of a pool, layer by layer."""
    return tuple(
        BuiltIn(from_m=near, until_m=far, foot_m=solid.foot_m, top_m=solid.top_m, cut=one.cut)
        for one in standing(basin)
        for solid, (near, far) in zip(one.solids, one.along, strict=True)
    )
