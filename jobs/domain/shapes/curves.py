"""Round, oval, stadium and kidney pools with any long section: the floor is level across the pool.

The curve is cut into narrow strips whose true areas and lengths are integrated, so that surface, perimeter and a level
floor come out exact; a sloping floor is plane within a strip.
"""

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from jobs.domain.errors import CannotDo
from jobs.domain.shapes.entered import check_positive
from jobs.domain.shapes.shaped import ShapedBasin
from jobs.domain.shapes.stations import Chord, Station, relief_of

# (distance from the shallow end, design water over the floor), in order; a step is two points at one distance.
LongSection = tuple[tuple[float, float], ...]

STRIPS_A_QUARTER = 45

# Bends of a long section stand at least a millimetre apart, as a tape reads them; closer places are one place.
LEAST_APART_M = 0.001
SAME_BEND_M = 1e-7

# Trade rule for the area of a kidney: 0.45 (wide + narrow) length; common practice, no source.
KIDNEY_SHARE = 0.45

# How far the middle of a kidney is bent out of its ends, of its length; common practice, no source.
KIDNEY_BEND = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """A piece of outline, swept by a parameter from 0 to 1: ``at`` gives (x, left, right) [m]."""

    at: Callable[[float], tuple[float, float, float]]
    strips: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvedBasin(ShapedBasin):
    """A pool with a curved water line.

    Attributes
    ----------
    section : long section from the shallow end, first point at 0, last at the length of the pool [m].
    """

    section: LongSection

    def _settle_sweeps(self, length_m: float, sweeps: Sequence[Sweep]) -> None:
        _check_section(self.section, length_m)
        stations, chords = _strips(sweeps, self.section)
        self._settle(*relief_of(stations, chords))

    def stations(self) -> tuple[tuple[float, float], ...]:
        """The long section on the centre line: (distance from the shallow end, floor below design water) [m]."""
        return self.section


@dataclass(frozen=True, slots=True, kw_only=True)
class EllipseBasin(CurvedBasin):
    """An ellipse: area pi / 4 a b. With equal axes it is a round pool."""

    length_m: float
    width_m: float

    def __post_init__(self) -> None:
        check_positive("length_m", self.length_m)
        check_positive("width_m", self.width_m)
        along, across = self.length_m / 2, self.width_m / 2

        def at(share: float) -> tuple[float, float, float]:
            angle = share * math.pi
            half = across * math.sin(angle)
            return along * (1 - math.cos(angle)), half, half

        self._settle_sweeps(self.length_m, (Sweep(at=at, strips=2 * STRIPS_A_QUARTER),))


@dataclass(frozen=True, slots=True, kw_only=True)
class StadiumBasin(CurvedBasin):
    """A rectangle with half-round ends: area W (L - W) + pi W² / 4."""

    length_m: float
    width_m: float

    def __post_init__(self) -> None:
        check_positive("length_m", self.length_m)
        check_positive("width_m", self.width_m)
        if self.width_m > self.length_m:
            raise CannotDo("shapes.stadium_too_wide", field="width_m", width=self.width_m, length=self.length_m)
        radius = self.width_m / 2
        straight = self.length_m - self.width_m
        middle = Sweep(at=lambda share: (radius + share * straight, radius, radius), strips=1)
        sweeps = (_lobe(0.0, radius), *((middle,) if straight else ()), _lobe(self.length_m, radius))
        self._settle_sweeps(self.length_m, sweeps)


@dataclass(frozen=True, slots=True, kw_only=True)
class KidneyBasin(CurvedBasin):
    """Two round lobes joined by a waist, bent to one side.

    Attributes
    ----------
    length_m : over all along the straight line between the ends [m].
    wide_m, narrow_m : across the two lobes [m]; the wide one comes first.
    waist_in_m : how much the middle is drawn in against straight sides [m]; ``None`` makes the area the trade rule
        0.45 (wide + narrow) length. The drawing governs: measure stations where it matters.
    bend_m : how far the middle stands out of the line of the ends [m]; it changes the outline, not the area.
    """

    length_m: float
    wide_m: float
    narrow_m: float
    waist_in_m: float | None = None
    bend_m: float | None = None

    def __post_init__(self) -> None:
        for field in ("length_m", "wide_m", "narrow_m"):
            check_positive(field, getattr(self, field))
        wide, narrow = self.wide_m / 2, self.narrow_m / 2
        between = self.length_m - wide - narrow
        if between <= 0:
            raise CannotDo("shapes.kidney_too_short", field="length_m", length=self.length_m, least=wide + narrow)
        drawn_in = self._waist_in_m(between)
        if drawn_in < 0 or drawn_in >= wide + narrow:
            raise CannotDo("shapes.kidney_waist", field="waist_in_m", waist=round(drawn_in, 3))
        bend = KIDNEY_BEND * self.length_m if self.bend_m is None else self.bend_m

        def waist(share: float) -> tuple[float, float, float]:
            half = wide + (narrow - wide) * share - 2 * drawn_in * share * (1 - share)
            return wide + share * between, half, half

        sweeps = (
            _lobe(0.0, wide),
            Sweep(at=waist, strips=2 * STRIPS_A_QUARTER),
            _lobe(self.length_m, narrow),
        )
        self._settle_sweeps(self.length_m, [_bent(sweep, self.length_m, bend) for sweep in sweeps])

    def _waist_in_m(self, between_m: float) -> float:
        if self.waist_in_m is not None:
            return self.waist_in_m
        straight = math.pi / 8 * (self.wide_m**2 + self.narrow_m**2) + between_m * (self.wide_m + self.narrow_m) / 2
        # The waist takes two thirds of its depth over its length, as any parabola does.
        return (straight - KIDNEY_SHARE * (self.wide_m + self.narrow_m) * self.length_m) * 1.5 / between_m


def round_basin(*, diameter_m: float, depth_m: float, freeboard_m: float = 0.15) -> EllipseBasin:
    """A round pool with a level floor.

    Parameters
    ----------
    diameter_m, depth_m, freeboard_m : float
        Inside [m], above 0; freeboard 0 or more.

    Examples
    --------
    >>> round(round_basin(diameter_m=4.0, depth_m=1.2).water_volume_m3, 6)
    15.079645
    """
    return EllipseBasin(
        length_m=diameter_m,
        width_m=diameter_m,
        section=((0.0, depth_m), (diameter_m, depth_m)),
        freeboard_m=freeboard_m,
    )


def _lobe(end_m: float, radius_m: float) -> Sweep:
    """The half circle that opens from x = 0, or closes at the far end."""

    def at(share: float) -> tuple[float, float, float]:
        angle = share * math.pi / 2 if end_m == 0 else (1 + share) * math.pi / 2
        half = radius_m * math.sin(angle)
        centre = radius_m if end_m == 0 else end_m - radius_m
        return centre - radius_m * math.cos(angle), half, half

    return Sweep(at=at, strips=STRIPS_A_QUARTER)


def _bent(sweep: Sweep, length_m: float, bend_m: float) -> Sweep:
    def at(share: float) -> tuple[float, float, float]:
        x, left, right = sweep.at(share)
        out = bend_m * (1 - (2 * x / length_m - 1) ** 2)
        return x, left + out, right - out

    return Sweep(at=at, strips=sweep.strips)


def _strips(sweeps: Sequence[Sweep], section: LongSection) -> tuple[list[Station], list[Chord]]:
    stations: list[Station] = []
    chords: list[Chord] = []
    for sweep in sweeps:
        shares = {number / sweep.strips for number in range(sweep.strips + 1)}
        shares |= {_share_at(sweep, x) for x, _ in section if sweep.at(0.0)[0] < x < sweep.at(1.0)[0]}
        for one, other in itertools.pairwise(_apart(sweep, sorted(shares))):
            if not stations:
                stations.append(_station(sweep.at(one), _depth_at(section, sweep.at(one)[0], after=True)))
            x = sweep.at(other)[0]
            chords.append(_chord(sweep, one, other))
            stations.append(_station(sweep.at(other), _depth_at(section, x, after=False)))
            stepped = _depth_at(section, x, after=True)
            if stepped != stations[-1].depth_m:
                chords.append(Chord())
                stations.append(_station(sweep.at(other), stepped))
    return stations, chords


def _apart(sweep: Sweep, shares: Sequence[float]) -> Iterator[float]:
    """Both ends and what lies between them, without a bend that falls on a place that is there already."""
    yield 0.0
    last, end = sweep.at(0.0)[0], sweep.at(1.0)[0]
    for share in shares[1:-1]:
        x = sweep.at(share)[0]
        if min(x - last, end - x) > SAME_BEND_M:
            yield share
            last = x
    yield 1.0


def _station(place: tuple[float, float, float], depth_m: float) -> Station:
    x, left, right = place
    # sin(pi) leaves a hair of width, or less than none.
    return Station(x_m=max(x, 0.0), left_m=left, right_m=max(right, -left), depth_m=depth_m)


def _share_at(sweep: Sweep, x_m: float) -> float:
    low, high = 0.0, 1.0
    while high - low > 1e-14:
        middle = (low + high) / 2
        low, high = (middle, high) if sweep.at(middle)[0] < x_m else (low, middle)
    return (low + high) / 2


def _depth_at(section: LongSection, x_m: float, *, after: bool) -> float:
    stretches = list(itertools.pairwise(section))
    if not after:
        stretches.reverse()
    for (x1, depth1), (x2, depth2) in stretches:
        inside = x1 - SAME_BEND_M <= x_m < x2 - SAME_BEND_M if after else x1 + SAME_BEND_M < x_m <= x2 + SAME_BEND_M
        if inside:
            return depth1 + (depth2 - depth1) * min(1.0, max(0.0, (x_m - x1) / (x2 - x1)))
    return section[-1][1] if after else section[0][1]


def _chord(sweep: Sweep, one: float, other: float) -> Chord:
    area, left, right = _romberg(lambda cuts: _measured(sweep, one, other, cuts))
    area_1, left_1, right_1 = _measured(sweep, one, other, 1)
    return Chord(area=area / area_1, left=left / left_1, right=right / right_1)


def _measured(sweep: Sweep, one: float, other: float, cuts: int) -> tuple[float, float, float]:
    points = [sweep.at(one + (other - one) * number / cuts) for number in range(cuts + 1)]
    area = left = right = 0.0
    for (x1, l1, r1), (x2, l2, r2) in itertools.pairwise(points):
        area += (l1 + r1 + l2 + r2) / 2 * (x2 - x1)
        left += math.hypot(x2 - x1, l2 - l1)
        right += math.hypot(x2 - x1, r2 - r1)
    return area, left, right


def _romberg(measure: Callable[[int], tuple[float, float, float]]) -> tuple[float, ...]:
    # Chords miss by even powers of their length, so two halvings remove the second and the fourth.
    coarse, middle, fine = measure(2), measure(4), measure(8)
    return tuple((64 * f - 20 * m + c) / 45 for c, m, f in zip(coarse, middle, fine, strict=True))


def _check_section(section: LongSection, length_m: float) -> None:
    if len(section) < 2 or abs(section[0][0]) > 1e-9 or abs(section[-1][0] - length_m) > 1e-6:
        raise CannotDo("shapes.section_ends", field="section", length=length_m)
    for (x1, depth1), (x2, depth2) in itertools.pairwise(section):
        check_positive("depth_m", depth1)
        check_positive("depth_m", depth2)
        if x2 < x1 or 0 < x2 - x1 < LEAST_APART_M:
            raise CannotDo("shapes.section_order", field="section", x=x2, before=x1)
