"""Free form: widths and depths measured at stations along the length, straight between them."""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jobs.domain.errors import CannotDo
from jobs.domain.shapes.entered import check_not_negative, check_number, check_positive
from jobs.domain.shapes.relief import Face, Facet, Point, Relief, facet
from jobs.domain.shapes.ring import Corner, ring_of
from jobs.domain.shapes.shaped import ShapedBasin

SAME_PLACE_M = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A cross section of the pool.

    Attributes
    ----------
    x_m : distance along the centre line from the shallow end [m].
    left_m, right_m : from the centre line to the water line, left counted to the left, right to the right [m];
        negative where the water line crosses over the centre line.
    depth_m : design water over the floor [m].
    floor_left_m, floor_right_m : from the centre line to the foot of a side slope [m]; ``None`` is an upright wall.
        A side slope rises from there to the foot of the wall, at the depth of the shallowest station.
    """

    x_m: float
    left_m: float
    right_m: float
    depth_m: float
    floor_left_m: float | None = None
    floor_right_m: float | None = None

    def __post_init__(self) -> None:
        for field in ("left_m", "right_m"):
            check_number(field, getattr(self, field))
        check_not_negative("x_m", self.x_m)
        check_positive("depth_m", self.depth_m)
        if self.left_m + self.right_m < 0:
            raise CannotDo("shapes.station_inside_out", field="left_m", x=self.x_m)
        floor = self.left_foot_m + self.right_foot_m
        if self.left_foot_m > self.left_m or self.right_foot_m > self.right_m or floor < 0:
            raise CannotDo("shapes.station_slopes", field="floor_left_m", x=self.x_m)

    @property
    def width_ends(self) -> tuple[float, float]:
        """From the centre line to the water line on either side [m]."""
        return self.left_m, self.right_m

    @property
    def is_upright(self) -> bool:
        """Whether both walls stand upright to the floor."""
        return (self.left_foot_m, self.right_foot_m) == self.width_ends

    @property
    def left_foot_m(self) -> float:
        """From the centre line to the edge of the floor on the left [m]."""
        return self.left_m if self.floor_left_m is None else self.floor_left_m

    @property
    def right_foot_m(self) -> float:
        """From the centre line to the edge of the floor on the right [m]."""
        return self.right_m if self.floor_right_m is None else self.floor_right_m


def station(*, x_m: float, width_m: float, depth_m: float, floor_width_m: float | None = None) -> Station:
    """A station alike on both sides of the centre line.

    Parameters
    ----------
    x_m, width_m, depth_m : float
        Distance from the shallow end, width of the water line, design water over the floor [m].
    floor_width_m : float, optional
        Width of the floor between side slopes [m]; the width of the water line if not given.
    """
    check_not_negative("width_m", width_m)
    if floor_width_m is not None:
        check_not_negative("floor_width_m", floor_width_m)
    half = width_m / 2
    foot = None if floor_width_m is None else floor_width_m / 2
    return Station(x_m=x_m, left_m=half, right_m=half, depth_m=depth_m, floor_left_m=foot, floor_right_m=foot)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chord:
    """What a stretch between two stations is in truth, over what it is with straight sides."""

    area: float = 1.0
    left: float = 1.0
    right: float = 1.0


STRAIGHT = Chord()


@dataclass(frozen=True, slots=True, kw_only=True)
class StationBasin(ShapedBasin):
    """A pool measured at stations, two or more, in order along its length.

    Between two stations widths and depth change evenly, so the section is a parabola in the distance and the
    prismoidal rule L (A1 + 4 Am + A2) / 6 is exact. Two stations at one place are a step in the floor.
    """

    measured: tuple[Station, ...]

    def __post_init__(self) -> None:
        self._settle(*relief_of(self.measured))

    def stations(self) -> tuple[tuple[float, float], ...]:
        """The long section: (distance from the first station, floor below design water) [m]."""
        first = self.measured[0].x_m
        return tuple((station.x_m - first, station.depth_m) for station in self.measured)


def relief_of(stations: Sequence[Station], chords: Sequence[Chord] | None = None) -> tuple[Relief, tuple[Corner, ...]]:
    """Floor, faces and water line of a row of stations.

    Parameters
    ----------
    stations : Sequence[Station]
        In order.
    chords : Sequence[Chord], optional
        One for each stretch between stations, where the water line is a curve; straight if not given.

    Returns
    -------
    tuple
        Relief and ring.

    Raises
    ------
    CannotDo
        ``shapes.too_few_stations``, ``shapes.stations_out_of_order``, ``shapes.step_changes_width``,
        ``shapes.no_area``.
    """
    _check(stations)
    chords = chords or (STRAIGHT,) * (len(stations) - 1)
    depth = max(station.depth_m for station in stations)
    shallow = min(station.depth_m for station in stations)
    sections = [_Section(station, depth, shallow) for station in stations]
    facets: list[Facet] = []
    faces: list[Face] = []
    for before, after, chord in zip(sections, sections[1:], chords, strict=False):
        if after.x - before.x < SAME_PLACE_M:
            faces.append(_step(before, after))
            continue
        facets += _floor(before, after, chord.area)
        faces.append(_wall(before.left, after.left, chord.left))
        faces.append(_wall(before.right, after.right, chord.right))
    faces += [*_end(sections[0]), *_end(sections[-1])]
    relief = Relief(
        depth_m=depth,
        foot_m=depth - shallow,
        facets=tuple(facets),
        faces=tuple(face for face in faces if face.length_m > 0),
    )
    return relief, ring_of(_outline(sections))


class _Section:
    """The four corners of a cross section: water line and floor edge on either side."""

    def __init__(self, station: Station, depth_m: float, shallow_m: float) -> None:
        level = depth_m - station.depth_m
        foot = depth_m - shallow_m
        self.x = station.x_m
        self.level = level
        self.floor_left: Point = (self.x, station.left_foot_m, level)
        self.floor_right: Point = (self.x, -station.right_foot_m, level)
        self.left: Point = (self.x, station.left_m, foot if station.left_foot_m < station.left_m else level)
        self.right: Point = (self.x, -station.right_m, foot if station.right_foot_m < station.right_m else level)
        self.width = station.left_m + station.right_m
        self.is_sloped = self.floor_left != self.left or self.floor_right != self.right


def _floor(before: _Section, after: _Section, weight: float) -> Iterator[Facet]:
    middle = [before.floor_right, after.floor_right, after.floor_left, before.floor_left]
    # The two edges of a side slope need not lie in one plane; two triangles do.
    triangles = (
        (before.floor_left, after.floor_left, after.left),
        (before.floor_left, after.left, before.left),
        (before.floor_right, before.right, after.right),
        (before.floor_right, after.right, after.floor_right),
    )
    for corners in (middle, *triangles):
        made = facet(corners, weight)
        if made.plan_m2 > 0:
            yield made


def _wall(before: Point, after: Point, weight: float) -> Face:
    length = ((after[0] - before[0]) ** 2 + (after[1] - before[1]) ** 2) ** 0.5
    return Face(length_m=length * weight, foot_m=(before[2], after[2]))


def _end(section: _Section) -> Iterator[Face]:
    points = (section.right, section.floor_right, section.floor_left, section.left)
    for one, other in itertools.pairwise(points):
        yield _wall(one, other, 1.0)


def _step(before: _Section, after: _Section) -> Face:
    low, high = sorted((before.level, after.level))
    return Face(length_m=before.width, foot_m=(low, low), head_m=(high, high))


def _outline(sections: Sequence[_Section]) -> list[Point]:
    there = [section.right for section in sections]
    back = [section.left for section in reversed(sections)]
    ring: list[Point] = []
    for point in (*there, *back):
        if ring and _same_place(ring[-1], point):
            ring[-1] = max(ring[-1], point, key=lambda one: one[2])
        else:
            ring.append(point)
    if _same_place(ring[0], ring[-1]):
        ring.pop()
    return ring


def _same_place(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) < SAME_PLACE_M and abs(one[1] - other[1]) < SAME_PLACE_M


def _check(stations: Sequence[Station]) -> None:
    if len(stations) < 2:
        raise CannotDo("shapes.too_few_stations", field="stations", count=len(stations))
    for at, (before, after) in enumerate(itertools.pairwise(stations), start=1):
        if after.x_m < before.x_m:
            raise CannotDo(
                "shapes.stations_out_of_order", field="stations", number=at + 1, x=after.x_m, before=before.x_m
            )
        is_step = after.x_m - before.x_m < SAME_PLACE_M
        if is_step and not (before.is_upright and after.is_upright and before.width_ends == after.width_ends):
            raise CannotDo("shapes.step_changes_width", field="stations", x=after.x_m)
    if all(station.left_m + station.right_m == 0 for station in stations) or (
        stations[-1].x_m - stations[0].x_m < SAME_PLACE_M
    ):
        raise CannotDo("shapes.no_area", field="stations")
