"""From cells of a plan with their floors to plane pieces, and to the upright faces where the floor ends or jumps."""

import itertools
from collections.abc import Iterator, Sequence

from jobs.domain.shapes.placing import Floor, Plane
from jobs.domain.shapes.rectangles import Box, Edge, sides
from jobs.domain.shapes.relief import Face, Facet, Point, area_and_mean, clipped, facet

NO_PLAN_M2 = 1e-12


def pieces_of(cell: Box, floors: Sequence[Floor]) -> Iterator[Facet]:
    """Plane pieces of the floor in a cell; where parts overlap, the deeper floor."""
    x, y = (cell.x1 + cell.x2) / 2, (cell.y1 + cell.y2) / 2
    here = [floor for floor in floors if floor.box.covers(x, y)]
    planes = {plane for floor in here for plane in (floor.shallow, *floor.slopes)}
    polygons: list[list[Point]] = [
        [(cell.x1, cell.y1, 0.0), (cell.x2, cell.y1, 0.0), (cell.x2, cell.y2, 0.0), (cell.x1, cell.y2, 0.0)]
    ]
    for one, other in itertools.combinations(sorted(planes, key=lambda plane: (plane.a, plane.b, plane.c)), 2):
        polygons = [part for polygon in polygons for part in _cut(polygon, one.less(other))]
    for polygon in polygons:
        middle_x = sum(corner[0] for corner in polygon) / len(polygon)
        middle_y = sum(corner[1] for corner in polygon) / len(polygon)
        plane = min((floor.at(middle_x, middle_y) for floor in here), key=lambda one: one.at(middle_x, middle_y))
        yield facet([(px, py, max(0.0, plane.at(px, py))) for px, py, _ in polygon])


def _cut(polygon: list[Point], line: Plane) -> Iterator[list[Point]]:
    values = [line.at(x, y) for x, y, _ in polygon]
    # A line along a side, or one that only nicks a corner, cuts nothing off.
    values = [0.0 if abs(value) < 1e-9 else value for value in values]
    if min(values) >= 0 or max(values) <= 0:
        yield polygon
        return
    halves = (clipped(polygon, values), clipped(polygon, [-value for value in values]))
    with_plan = [kept for kept in halves if area_and_mean(kept)[0] > NO_PLAN_M2]
    yield from with_plan if len(with_plan) == 2 else (polygon,)


def walls_of(pieces: dict[Box, tuple[Facet, ...]]) -> Iterator[tuple[Edge, tuple[Face, ...]]]:
    """The faces on every side of every cell: of a wall where nothing lies beyond, of a step where the floor jumps."""
    profiles = {edge: _profile(edge, found) for cell, found in pieces.items() for edge in sides(cell)}
    for edge, profile in profiles.items():
        other = profiles.get((edge[1], edge[0]))
        length = abs(edge[1][0] - edge[0][0]) + abs(edge[1][1] - edge[0][1])
        if other is None:
            yield (
                edge,
                tuple(
                    Face(length_m=(t2 - t1) * length, foot_m=(z1, z2))
                    for (t1, z1), (t2, z2) in itertools.pairwise(profile)
                    if t2 > t1
                ),
            )
        elif edge[0] < edge[1]:
            steps = tuple(_steps(profile, [(1 - t, z) for t, z in reversed(other)], length))
            if steps:
                yield edge, steps


def _profile(edge: Edge, found: Sequence[Facet]) -> list[tuple[float, float]]:
    """Floor along a side of a cell: (share of the way, level), by the corners of the pieces that lie on it."""
    (x1, y1), (x2, y2) = edge
    length = abs(x2 - x1) + abs(y2 - y1)
    points = {}
    for one in found:
        for x, y, z in one.corners:
            off = abs(x - x1) if x1 == x2 else abs(y - y1)
            if off < 1e-9:
                share = (abs(x - x1) + abs(y - y1)) / length
                points[round(share, 12)] = z
    return sorted(points.items())


def _steps(one: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]], length_m: float) -> Iterator[Face]:
    shares = sorted({t for t, _ in one} | {t for t, _ in other})
    for t1, t2 in itertools.pairwise(shares):
        a1, a2, b1, b2 = _read(one, t1), _read(one, t2), _read(other, t1), _read(other, t2)
        crossing = (a1 - b1) * (a2 - b2) < 0
        middle = t1 + (t2 - t1) * (a1 - b1) / ((a1 - b1) - (a2 - b2)) if crossing else t2
        level = _read(one, middle)
        for s1, s2, ends in (
            (t1, middle, ((a1, b1), (level, level) if crossing else (a2, b2))),
            (middle, t2, ((level, level), (a2, b2))),
        ):
            (low1, high1), (low2, high2) = sorted(ends[0]), sorted(ends[1])
            if s2 > s1 and max(high1 - low1, high2 - low2) > 1e-9:
                yield Face(length_m=(s2 - s1) * length_m, foot_m=(low1, low2), head_m=(high1, high2))


def _read(profile: Sequence[tuple[float, float]], share: float) -> float:
    for (t1, z1), (t2, z2) in itertools.pairwise(profile):
        if t1 <= share <= t2:
            return z1 + (z2 - z1) * (share - t1) / (t2 - t1)
    return profile[-1][1] if share > profile[-1][0] else profile[0][1]


def levels_at_corners(walls: dict[Edge, tuple[Face, ...]]) -> dict[tuple[float, float], float]:
    """The highest floor at each corner of the water line: below it only one of the two walls stands."""
    levels: dict[tuple[float, float], float] = {}
    for (start, end), faces in walls.items():
        if faces[0].head_m is None:
            for corner, level in ((start, faces[0].foot_m[0]), (end, faces[-1].foot_m[1])):
                levels[corner] = max(levels.get(corner, level), level)
    return levels
