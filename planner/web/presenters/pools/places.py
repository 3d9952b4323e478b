"""Where on a pool's section a task works: drawn thick enough to carry a hatch, whatever the scale."""

from collections.abc import Callable, Iterator, Mapping
from typing import Literal

from jobs.domain.facts import TaskFacts
from planner.web.presenters.long_section import Sheet
from planner.web.presenters.profile import Points, PoolShape

Place = Literal["marks", "dig", "floor", "walls", "shell", "beside", "deck", "edge", "face", "pad", "water", "surface"]

# No part of a section is drawn thinner where it is being worked on [px].
THICK_PX = 8.0
FENCE_M = 1.3

# Tasks whose exposure says too little of where they work.
BY_KEY: dict[str, Place] = {
    "stake_out": "marks",
    "shape_floor": "floor",
    "floor_pipe": "floor",
    "shell_pipe": "floor",
    "floor_steel": "floor",
    "bond_floor": "floor",
    "floor_foam": "floor",
    "rim_forms": "walls",
    "shell_steel": "shell",
    "bond_shell": "shell",
    "wet_cure": "shell",
    "strip_braces": "walls",
    "strip_rim": "walls",
    "deck_forms": "deck",
    "power_and_bond": "deck",
    "set_equipment": "pad",
    "hand_over": "surface",
}
BY_EXPOSURE: dict[str, Place] = {
    "dig": "dig",
    "pipe_trench": "beside",
    "steel": "shell",
    "slab_pour": "floor",
    "wall_pour": "walls",
    "form_stack": "walls",
    "shell_pour": "shell",
    "spray_pour": "shell",
    "backfill": "beside",
    "deck_base": "deck",
    "deck_pour": "deck",
    "saw_cut": "deck",
    "tile_coping": "walls",
    "electrical": "beside",
    "fence_work": "edge",
    "fill": "water",
    "start_up": "surface",
}
BY_TRADE: dict[str, Place] = {
    "layout": "marks",
    "locator": "marks",
    "excavation": "dig",
    "steel": "shell",
    "concrete_forms": "face",
    "plumbing": "beside",
    "electrical": "deck",
    "fence": "edge",
    "service": "surface",
    "clock": "surface",
}


def place_of(task: TaskFacts) -> Place:
    """The part of the pool a task works on; work nobody knows more of is on the inner face."""
    known = BY_KEY.get(task.key) or BY_EXPOSURE.get(task.exposure)
    return known or BY_TRADE.get(task.trade, "face")


def areas_of(sheet: Sheet, place: Place, *, from_m: float | None, until_m: float | None) -> tuple[Points, ...]:
    """Closed outlines of a place, in metres of the section.

    Parameters
    ----------
    from_m, until_m : float, optional
        Water before and after the work, above the deepest floor [m]; only water rises between them.
    """
    if place == "water":
        return tuple(_risen(sheet.shape, from_m or 0.0, until_m or 0.0))
    return tuple(AREAS[place](sheet.shape, THICK_PX / sheet.px_per_m))


def _risen(shape: PoolShape, from_m: float, until_m: float) -> Iterator[Points]:
    """What the water fills between two levels: down to the floor, or to the water that stands already."""
    above, below = shape.water(until_m), shape.water(from_m)
    if not above or until_m <= from_m:
        return
    shores = (below[0], below[-1]) if below else ()
    bed = sorted((*above[1:-1], *shores), key=lambda point: point[0])
    yield (above[0], *((x, max(level, from_m)) for x, level in bed), above[-1])


def _marks(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    dig, ground = shape.dig(), shape.ground_level_m
    yield _box(dig[0][0], dig[-1][0], ground, ground + thick_m)


def _dig(shape: PoolShape, _: float) -> Iterator[Points]:
    yield shape.dig()


def _floor(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    under = shape.slab_m + shape.stone_m
    yield shape.band(top_m=-max(thick_m - under, 0.0), bottom_m=under, beyond_m=shape.wall_m)


def _walls(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    for foot, inner, side in _ends(shape):
        out = inner + side * max(shape.wall_m, thick_m)
        yield _box(inner, out, foot, shape.coping_level_m)


def _shell(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    yield from _floor(shape, thick_m)
    yield from _walls(shape, thick_m)


def _beside(shape: PoolShape, _: float) -> Iterator[Points]:
    for far in (False, True):
        yield shape.backfill(far=far)


def _deck(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    top = shape.coping_level_m
    for _foot, inner, side in _ends(shape):
        near = inner + side * shape.wall_m
        yield _box(near, near + side * shape.deck_width_m, top - thick_m, top)


def _edge(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    ground = shape.ground_level_m
    for _foot, inner, side in _ends(shape):
        out = inner + side * (shape.wall_m + shape.deck_width_m)
        yield _box(out, out - side * thick_m, ground, ground + FENCE_M)


def _face(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    yield shape.band(top_m=-thick_m, bottom_m=0.0, beyond_m=0.0)
    for foot, inner, side in _ends(shape):
        yield _box(inner, inner - side * thick_m, foot, shape.coping_level_m)


def _pad(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    """Pump and filter on their pad, at the far end of the ground."""
    out = shape.end_m + shape.wall_m + shape.deck_width_m
    ground = shape.ground_level_m
    yield _box(out - 1.6 * thick_m, out, ground, ground + 1.4 * thick_m)


def _surface(shape: PoolShape, thick_m: float) -> Iterator[Points]:
    level = shape.design_level_m
    yield _box(shape.start_m, shape.end_m, level - min(thick_m, min(depth for _, depth in shape.stations)), level)


def _ends(shape: PoolShape) -> Iterator[tuple[float, float, float]]:
    """Foot of each end wall, its inner face, and which way is out."""
    floor = shape.floor()
    yield floor[0][1], shape.start_m, -1.0
    yield floor[-1][1], shape.end_m, 1.0


def _box(left: float, right: float, low: float, high: float) -> Points:
    return ((left, low), (right, low), (right, high), (left, high))


AREAS: Mapping[Place, Callable[[PoolShape, float], Iterator[Points]]] = {
    "marks": _marks,
    "dig": _dig,
    "floor": _floor,
    "walls": _walls,
    "shell": _shell,
    "beside": _beside,
    "deck": _deck,
    "edge": _edge,
    "face": _face,
    "pad": _pad,
    "surface": _surface,
}
