"""Where what is built into a pool is drawn: its plan against a wall, and where the long section cuts it.

A solid knows its size and the wall it hides, not its place. Ledges and stairs are drawn at the shallow end side by
side, what has no room there along the sides; volumes and areas do not depend on it. Against a curved wall the drawn
plan reaches as far out as its area needs.
"""

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jobs.domain.basin import Basin
from jobs.domain.shapes.parts import PartedBasin, SectionLine
from jobs.domain.shapes.solids import Solid, WithSolids, bare

Place = tuple[float, float]

# Halvings of a pool's length until a ten-thousandth of a millimetre.
HALVINGS = 40
# Of the wall at the shallow end, what must be left for the next to be built there.
SLACK_M = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A ledge, or a stair with all its treads.

    Attributes
    ----------
    solids : its layers, the lowest first.
    plans : outline of each in the plan of the pool [m].
    along : from where to where each lies along the long section [m].
    cut : whether the section runs through it; else it stands beyond.
    length_m, width_m : along the wall, and out from it at the floor [m].
    """

    solids: tuple[Solid, ...]
    plans: tuple[tuple[Place, ...], ...]
    along: tuple[tuple[float, float], ...]
    cut: bool
    length_m: float
    width_m: float

    @property
    def volume_m3(self) -> float:
        """Water it takes the place of, up to its top [m3]."""
        return sum(one.plan_m2 * (one.top_m - one.foot_m) for one in self.solids)

    @property
    def top_m(self) -> float:
        """Level of its top [m]."""
        return self.solids[-1].top_m


def solids_of(basin: Basin) -> tuple[Solid, ...]:
    """Every solid of a pool, the inner ones first."""
    return (*solids_of(basin.basin), *basin.solids) if isinstance(basin, WithSolids) else ()


def standing(basin: Basin) -> tuple[Standing, ...]:
    """Everything built into a pool, in the order it was given.

    Examples
    --------
    >>> from jobs.domain.basin import RectangularBasin
    >>> from jobs.domain.shapes.solids import sun_ledge
    >>> box = RectangularBasin(length_m=8.0, width_m=4.0, shallow_depth_m=1.2, deep_depth_m=1.2,
    ...     shallow_length_m=0.0, slope_length_m=0.0, deep_length_m=8.0)
    >>> ledge = sun_ledge(foot_m=0.0, top_m=1.0, length_m=4.0, width_m=2.0)
    >>> [(one.cut, one.along[0]) for one in standing(WithSolids(basin=box, solids=(ledge,)))]
    [(True, (0.0, 2.0))]
    """
    groups = list(_groups(solids_of(basin)))
    if not groups:
        return ()
    shell = bare(basin)
    line = _line_of(shell)
    ring = [line.along(x, y) for x, y in shell.outline()]
    return tuple(_drawn(group, strip, line) for group, strip in zip(groups, _strips(groups, ring), strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strip:
    """Water in front of a piece of wall: ``ring`` between two lines, filled from one side, in section coordinates."""

    ring: tuple[Place, ...]
    from_end: bool
    from_below: bool = True

    def filled(self, area_m2: float) -> tuple[Place, ...]:
        """The part nearest the wall that has an area; all of it where that is not enough."""
        across = 0 if self.from_end else 1
        places = [place[across] for place in self.ring]
        low, high = min(places), max(places)
        near, far = 0.0, high - low
        for _ in range(HALVINGS):
            middle = (near + far) / 2
            near, far = (middle, far) if _area(self._until(low, high, middle)) < area_m2 else (near, middle)
        return self._until(low, high, far)

    def _until(self, low: float, high: float, reach: float) -> tuple[Place, ...]:
        axis = 0 if self.from_end else 1
        if self.from_end or self.from_below:
            return _kept(self.ring, axis, low + reach, below=True)
        return _kept(self.ring, axis, high - reach, below=False)


def _line_of(shell: Basin) -> SectionLine:
    if isinstance(shell, PartedBasin):
        return shell.section_line()
    xs, ys = zip(*shell.outline(), strict=True)
    return SectionLine(line_m=(min(ys) + max(ys)) / 2, start_m=min(xs))


def _groups(solids: Sequence[Solid]) -> Iterator[tuple[Solid, ...]]:
    """Layers of one stair together: each stands on the one before."""
    group: tuple[Solid, ...] = ()
    for solid in solids:
        stands_on = group and solid.kind == group[-1].kind and math.isclose(solid.foot_m, group[-1].top_m)
        if group and not (stands_on and solid.plan_m2 < group[-1].plan_m2):
            yield group
            group = ()
        group = (*group, solid)
    if group:
        yield group


def sides_of(solid: Solid) -> Place:
    """Length along the wall and width away from it of a solid, from its area and its faces [m].

    Its faces together are twice both sides; how many ends stand on a wall tells which is which.

    Examples
    --------
    >>> from jobs.domain.shapes.solids import bench
    >>> [sides_of(bench(foot_m=0, top_m=1, length_m=3.0, width_m=0.5, ends_on_wall=ends)) for ends in (0, 1, 2)]
    [(3.0, 0.5), (3.0, 0.5), (3.0, 0.5)]
    """
    both = (solid.riser_m + solid.wall_m) / 2
    if solid.wall_m < solid.riser_m:
        length = solid.wall_m
    elif solid.wall_m > solid.riser_m:
        length = solid.riser_m
    else:
        length = (both + math.sqrt(max(both**2 - 4 * solid.plan_m2, 0.0))) / 2
    # Without faces only the area is known.
    length = length or math.sqrt(2 * solid.plan_m2)
    return length, solid.plan_m2 / length


def _strips(groups: Sequence[tuple[Solid, ...]], ring: Sequence[Place]) -> Iterator[_Strip]:
    sizes = [sides_of(group[0]) for group in groups]
    start, end = min(u for u, _ in ring), max(u for u, _ in ring)
    low, high = _span(_kept(ring, 0, start + max(width for _, width in sizes), below=True), 1)
    at_end = _that_fit([length for length, _ in sizes], high - low)
    used = sum(length for (length, _), here in zip(sizes, at_end, strict=True) if here)
    across = max(low, (low + high - used) / 2)
    taken = start + max((width for (_, width), here in zip(sizes, at_end, strict=True) if here), default=0.0)
    sides, below = [taken, taken], True
    for (length, _), here in zip(sizes, at_end, strict=True):
        if here:
            yield _Strip(ring=_between(ring, 1, across, across + length), from_end=True)
            across += length
        else:
            at = max(min(sides[below], end - length), start)
            yield _Strip(ring=_between(ring, 0, at, at + length), from_end=False, from_below=below)
            sides[below] = at + length
            below = not below


def _that_fit(lengths: Sequence[float], room_m: float) -> list[bool]:
    """Which of them stand at the shallow end, in order; the first does even where it is as long as the end."""
    left, fit = room_m, []
    for length in lengths:
        here = length <= left + SLACK_M or left == room_m
        fit.append(here)
        left -= length if here else 0.0
    return fit


def _drawn(group: tuple[Solid, ...], strip: _Strip, line: SectionLine) -> Standing:
    plans = [strip.filled(solid.plan_m2) for solid in group]
    crossed = [_crossed(plan) for plan in plans]
    cut = all(one is not None for one in crossed)
    length, width = sides_of(group[0])
    return Standing(
        solids=group,
        plans=tuple(tuple(line.place(u, v) for u, v in plan) for plan in plans),
        along=tuple((one if cut and one else _span(plan, 0)) for one, plan in zip(crossed, plans, strict=True)),
        cut=cut,
        length_m=length,
        width_m=width,
    )


def _crossed(plan: Sequence[Place]) -> Place | None:
    """Where the section, which runs at 0 across, enters and leaves a plan."""
    hits = [
        u0 + (u1 - u0) * v0 / (v0 - v1)
        for (u0, v0), (u1, v1) in itertools.pairwise((*plan, plan[0]))
        if (v0 > 0) != (v1 > 0)
    ]
    return (min(hits), max(hits)) if len(hits) > 1 else None


def _span(ring: Sequence[Place], axis: int) -> Place:
    return min(place[axis] for place in ring), max(place[axis] for place in ring)


def _between(ring: Sequence[Place], axis: int, low: float, high: float) -> tuple[Place, ...]:
    return _kept(_kept(ring, axis, low, below=False), axis, high, below=True)


def _kept(ring: Sequence[Place], axis: int, at: float, *, below: bool) -> tuple[Place, ...]:
    """The part of a ring on one side of a line across an axis."""
    kept: list[Place] = []
    for before, here in itertools.pairwise((*ring[-1:], *ring)):
        over, over_before = here[axis] - at, before[axis] - at
        if (over > 0) != (over_before > 0):
            share = over_before / (over_before - over)
            kept.append((before[0] + share * (here[0] - before[0]), before[1] + share * (here[1] - before[1])))
        if (over <= 0) == below or over == 0:
            kept.append(here)
    return tuple(kept)


def _area(ring: Sequence[Place]) -> float:
    return (
        abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in itertools.pairwise((*ring, ring[0])))) / 2 if ring else 0.0
    )
