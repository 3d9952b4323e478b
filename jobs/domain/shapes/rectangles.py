"""A union of rectangles in plan: its cells, its area, its ring; where rectangles overlap the plan counts once."""

import itertools
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from jobs.domain.errors import CannotDo

# Places closer than this are one place; a tape is read to a millimetre.
PLACE_DIGITS = 7
SAME_LINE_M = 1e-6

Point = tuple[float, float]
Edge = tuple[Point, Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle in plan [m]."""

    x1: float
    y1: float
    x2: float
    y2: float

    def grown(self, by_m: float) -> "Box":
        """The rectangle with every side moved outwards [m]."""
        return Box(x1=self.x1 - by_m, y1=self.y1 - by_m, x2=self.x2 + by_m, y2=self.y2 + by_m)

    def covers(self, x: float, y: float) -> bool:
        """Whether a point lies in it."""
        return self.x1 < x < self.x2 and self.y1 < y < self.y2


def place(value_m: float) -> float:
    """A coordinate, without the hair that sums of lengths leave."""
    return round(value_m, PLACE_DIGITS) + 0.0


def cells(boxes: Sequence[Box], also_x: Sequence[float] = (), also_y: Sequence[float] = ()) -> tuple[Box, ...]:
    """The union cut into cells along every side of every box and along the lines given."""
    xs = _lines([x for box in boxes for x in (box.x1, box.x2)], also_x)
    ys = _lines([y for box in boxes for y in (box.y1, box.y2)], also_y)
    return tuple(
        Box(x1=x1, y1=y1, x2=x2, y2=y2)
        for x1, x2 in itertools.pairwise(xs)
        for y1, y2 in itertools.pairwise(ys)
        if any(box.covers((x1 + x2) / 2, (y1 + y2) / 2) for box in boxes)
    )


def _lines(borders: Sequence[float], also: Sequence[float]) -> list[float]:
    """Lines in order, none within a micrometre of another; a border stands before another line."""
    kept: list[float] = []
    for value in sorted(borders):
        if not kept or value - kept[-1] > SAME_LINE_M:
            kept.append(value)
    for value in also:
        at = bisect_left(kept, value)
        near = kept[max(0, at - 1) : at + 1]
        if kept[0] < value < kept[-1] and all(abs(value - line) > SAME_LINE_M for line in near):
            kept.insert(at, value)
    return [place(value) for value in kept]


def union_m2(boxes: Sequence[Box]) -> float:
    """Area of the union [m2]."""
    return sum((cell.x2 - cell.x1) * (cell.y2 - cell.y1) for cell in cells(boxes))


def union_length_m(boxes: Sequence[Box]) -> float:
    """Length of all borders of the union [m]."""
    return sum(abs(x2 - x1) + abs(y2 - y1) for (x1, y1), (x2, y2) in border(cells(boxes)))


def sides(cell: Box) -> Iterator[Edge]:
    """The four sides of a cell, its inside on the left."""
    yield (cell.x1, cell.y1), (cell.x2, cell.y1)
    yield (cell.x2, cell.y1), (cell.x2, cell.y2)
    yield (cell.x2, cell.y2), (cell.x1, cell.y2)
    yield (cell.x1, cell.y2), (cell.x1, cell.y1)


def border(all_cells: Sequence[Box]) -> tuple[Edge, ...]:
    """Sides of cells with nothing on the other side."""
    edges = {edge for cell in all_cells for edge in sides(cell)}
    return tuple(sorted(edge for edge in edges if (edge[1], edge[0]) not in edges))


def ring_points(all_cells: Sequence[Box]) -> tuple[Point, ...]:
    """The one border of the cells as a ring, counter-clockwise from its lowest corner on the left.

    Raises
    ------
    CannotDo
        ``shapes.parts_apart`` where the cells make more than one ring: parts that do not touch, or water all round an
        island.
    """
    following: dict[Point, list[Point]] = {}
    edges = border(all_cells)
    for start, end in edges:
        following.setdefault(start, []).append(end)
    here = edges[0][0]
    ring = [here]
    came: Point | None = None
    for _ in edges:
        ends = following[here]
        # Where two cells meet only in a corner the ring turns to the left and stays with its own cell.
        step = ends[0] if came is None else min(ends, key=partial(_rightwards, came, here))
        ends.remove(step)
        came, here = here, step
        if here == ring[0] and not following[here]:
            break
        ring.append(here)
    if any(following.values()):
        raise CannotDo("shapes.parts_apart", field="parts")
    return tuple(
        point for at, point in enumerate(ring) if not _straight(ring[at - 1], point, ring[(at + 1) % len(ring)])
    )


def _rightwards(came: Point, here: Point, end: Point) -> float:
    """How far to the right the step to ``end`` turns from the way one came."""
    way, step = (here[0] - came[0], here[1] - came[1]), (end[0] - here[0], end[1] - here[1])
    return way[1] * step[0] - way[0] * step[1]


def _straight(before: Point, point: Point, after: Point) -> bool:
    return (before[0] == point[0] == after[0]) or (before[1] == point[1] == after[1])
