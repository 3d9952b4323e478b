"""A pool made of rectangles, each with its own depths and its deep end on any side: L, T, Z, step and lap pools."""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.joints import levels_at_corners, pieces_of, walls_of
from jobs.domain.shapes.placing import Part, breaks, floor_of
from jobs.domain.shapes.rectangles import cells, ring_points, union_length_m, union_m2
from jobs.domain.shapes.relief import Facet, Relief
from jobs.domain.shapes.ring import ring_of
from jobs.domain.shapes.shaped import ShapedBasin


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionLine:
    """A line in plan along which a long section is cut.

    Attributes
    ----------
    line_m : where it lies across itself, a y, or an x where it runs ``along_y`` [m].
    backwards : whether it runs towards smaller x or y.
    start_m : where the section begins, along the line in its own direction [m].
    """

    line_m: float
    along_y: bool = False
    backwards: bool = False
    start_m: float = 0.0

    def along(self, x_m: float, y_m: float) -> tuple[float, float]:
        """A place in plan as (distance along the section, distance across it) [m]."""
        along, across = (y_m, x_m) if self.along_y else (x_m, y_m)
        return (-along if self.backwards else along) - self.start_m, across - self.line_m

    def place(self, along_m: float, across_m: float) -> tuple[float, float]:
        """The inverse of ``along``."""
        along = along_m + self.start_m
        along, across = -along if self.backwards else along, across_m + self.line_m
        return (across, along) if self.along_y else (along, across)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartedBasin(ShapedBasin):
    """A pool of rectangles that overlap or touch along a side; where they overlap, the deeper floor counts.

    All parts share the design water. A step in the floor where parts meet is an upright face.
    """

    parts: tuple[Part, ...]

    def __post_init__(self) -> None:
        if not self.parts:
            raise CannotDo("shapes.no_parts", field="parts")
        depth = max(part.basin.deep_depth_m for part in self.parts)
        floors = [floor_of(part, depth) for part in self.parts]
        grid = cells(
            [part.box for part in self.parts],
            also_x=[x for part in self.parts for x in breaks(part, along_y=False)],
            also_y=[y for part in self.parts for y in breaks(part, along_y=True)],
        )
        pieces = {cell: tuple(pieces_of(cell, floors)) for cell in grid}
        walls = dict(walls_of(pieces))
        facets = tuple(itertools.chain.from_iterable(pieces.values()))
        relief = Relief(
            depth_m=depth,
            foot_m=max(one.high_m for one in facets),
            facets=facets,
            faces=tuple(itertools.chain.from_iterable(walls.values())),
        )
        levels = levels_at_corners(walls)
        self._settle(relief, ring_of([(x, y, levels[x, y]) for x, y in ring_points(grid)]))

    def offset_length_m(self, offset_m: float) -> float:
        """Length of the water line moved outwards with square corners [m]; a gap that closes counts no more."""
        return union_length_m([part.box.grown(offset_m) for part in self.parts])

    def offset_area_m2(self, offset_m: float) -> float:
        """Area inside the water line moved outwards with square corners [m2]; a gap that closes counts once."""
        return union_m2([part.box.grown(offset_m) for part in self.parts])

    def stations(self) -> tuple[tuple[float, float], ...]:
        """The long section on the centre line of the deepest part: (distance, floor below design water) [m].

        It runs along the length of that part, from one end of the pool to the other, where the pool lies on the line.
        """
        line = self.section_line()
        # A micrometre: the line runs off the middle by a hair.
        moved = [(round(at - line.start_m, 6), round(depth, 6)) for at, depth in self._crossed(line)]
        return tuple(_bends(moved))

    def section_line(self) -> SectionLine:
        """Where the long section is cut."""
        deepest = max(self.parts, key=lambda part: part.basin.deep_depth_m)
        box, flip = deepest.box, deepest.is_upright_in_plan
        line = SectionLine(
            line_m=(box.x1 + box.x2) / 2 if flip else (box.y1 + box.y2) / 2,
            along_y=flip,
            backwards=deepest.deep_side in ("left", "bottom"),
        )
        return replace(line, start_m=self._crossed(line)[0][0])

    def _crossed(self, line: SectionLine) -> list[tuple[float, float]]:
        """(Place along the line, floor below design water) of every piece it crosses, in order."""
        crossed = sorted(_crossing(self._relief.facets, line.line_m, flip=line.along_y))
        points = [(at, self._relief.depth_m - level) for pair in crossed for at, level in pair]
        return [(-at, depth) for at, depth in reversed(points)] if line.backwards else points


def l_shape(*, main: RectangularBasin, leg: RectangularBasin, leg_from_m: float, freeboard_m: float) -> PartedBasin:
    """An L: a main rectangle and a leg that leaves its upper side.

    Parameters
    ----------
    main : RectangularBasin
        Its length runs along x from 0, deep end to the right.
    leg : RectangularBasin
        Its length runs away from the main part, deep end away from it.
    leg_from_m : float
        Where along the main part the leg begins [m].
    freeboard_m : float
        Coping above design water [m].
    """
    if not 0 <= leg_from_m <= main.length_m - leg.width_m + 1e-6:
        raise CannotDo(
            "shapes.leg_outside", field="leg_from_m", at=leg_from_m, most=round(main.length_m - leg.width_m, 3)
        )
    return PartedBasin(
        parts=(Part(basin=main), Part(basin=leg, x_m=leg_from_m, y_m=main.width_m, deep_side="top")),
        freeboard_m=freeboard_m,
    )


def _crossing(
    facets: Sequence[Facet], line_m: float, *, flip: bool
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Where a line along the pool crosses each piece: (place, level) of both ends."""
    # Off the line by a hair, so that a line along the side of a piece meets only one of two pieces.
    line_m += 1e-7
    for one in facets:
        corners = [(y, x, z) if flip else (x, y, z) for x, y, z in one.corners]
        hits = []
        for at, (x, y, z) in enumerate(corners):
            x0, y0, z0 = corners[at - 1]
            if (y > line_m) != (y0 > line_m):
                share = (line_m - y0) / (y - y0)
                hits.append((x0 + share * (x - x0), z0 + share * (z - z0)))
        if len(hits) == 2 and abs(hits[0][0] - hits[1][0]) > 1e-9:
            yield min(hits), max(hits)


def _bends(points: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """Only the points where the section bends."""
    kept: list[tuple[float, float]] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        if len(kept) > 1 and _on_line(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return iter(kept)


def _on_line(one: tuple[float, float], middle: tuple[float, float], other: tuple[float, float]) -> bool:
    across = (middle[0] - one[0]) * (other[1] - one[1]) - (other[0] - one[0]) * (middle[1] - one[1])
    return abs(across) < 1e-6 and one[0] <= middle[0] <= other[0] and one[0] < other[0]
