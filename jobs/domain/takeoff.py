"""How much of everything one pool takes: dig, concrete, areas, runs, water by fill segment."""

import itertools
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.exposure import Soil
from jobs.domain.fillstops import fill_stops
from jobs.domain.order.buying import USUAL_BUYING, Buying
from jobs.domain.order.concrete import concrete_order_m3
from jobs.domain.shapes.entered import check_not_negative, check_positive
from jobs.domain.shapes.solids import bare, solid_m3

# Volume of loose soil for one of soil in the ground; handbook range, source key soil_swell.
SWELL: Mapping[Soil, float] = {"sand": 1.12, "loam": 1.25, "clay": 1.30}

# Trimmed off and rebounding where concrete is sprayed; handbook range 10 to 15 %, estimate.
SPRAY_LOSS = 1.12

# A light cage; 5 to 7 kg for each m2 of inner face light, 10 to 14 heavy: estimate. The engineer's drawing governs.
LIGHT_CAGE_KG_M2 = 6.0

# A method with fixed fill rows asks for this many; segments a pool does not need hold no water.
FILL_ROWS = 5

# Floating point leaves a hair over a full step; a millionth of a step is no concrete.
STEP_SLACK = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Quantities(Mapping[str, float]):
    """The take-off, read like a mapping from quantity key to amount in the unit at the end of the key."""

    pairs: tuple[tuple[str, float], ...]

    def __getitem__(self, key: str) -> float:
        for name, amount in self.pairs:
            if name == key:
                return amount
        raise KeyError(key)

    def __iter__(self) -> Iterator[str]:
        return (name for name, _ in self.pairs)

    def __len__(self) -> int:
        return len(self.pairs)


def quantities(design: PoolDesign, *, cut_on_the_way: bool = True, buying: Buying = USUAL_BUYING) -> Quantities:
    """Take off a design.

    Concrete is what is ordered, over-order and rounding included; everything else is exact. The dig is the outline
    moved out to the dig face over the upper depth, the hopper, the trim of one slab thickness over the whole floor,
    and the room behind upright deep walls. Backfill is the upper dig less the body of the shell. Benches, ledges and
    stairs stand in the dug pool; they are poured or sprayed with a shell, and are no part of a liner pool's pours.

    Parameters
    ----------
    design : PoolDesign
        A checked design.
    cut_on_the_way : bool
        Whether fittings are cut in while the water rises, as under a liner; else the fill has no stops.
    buying : Buying
        Sizes and prices of the office, for the concrete it orders.

    Returns
    -------
    Quantities
        Amounts by key; the unit ends the key. ``fill_<n>_m3`` are the waters between two stops, and left out without
        stops.

    Raises
    ------
    CannotDo
        ``design.reuse_too_large``; ``takeoff.stop_too_low`` with stops.
    """
    amounts = {"each": 1.0, **_areas(design), **_dig(design), **_concrete(design, buying), **_counted(design)}
    amounts |= _finish(design)
    waters = _fill_segments(design) if cut_on_the_way else ()
    amounts |= {f"fill_{number}_m3": water for number, water in enumerate(waters, start=1)}
    return Quantities(pairs=tuple((key, float(amount)) for key, amount in amounts.items()))


def _areas(design: PoolDesign) -> dict[str, float]:
    basin = design.basin
    inner = basin.floor_area_m2 + basin.wetted_wall_m2(basin.max_level_m)
    return {
        "perimeter_m": basin.perimeter_m,
        "coping_m": basin.offset_length_m(design.coping_width_m / 2),
        "water_m2": basin.water_surface_m2,
        "water_m3": basin.water_volume_m3,
        "floor_m2": basin.floor_area_m2,
        "base_m3": basin.floor_area_m2 * design.stone_m,
        "wall_m2": basin.perimeter_m * design.wall_height_m + basin.deep_wall_m2,
        "inner_m2": inner,
        "liner_m2": inner,
        "deck_m2": _deck_m2(design),
    }


def _deck_m2(design: PoolDesign) -> float:
    basin, coping = design.basin, design.coping_width_m
    return basin.offset_area_m2(coping + design.deck_width_m) - basin.offset_area_m2(coping)


def _dig(design: PoolDesign) -> dict[str, float]:
    basin, offset = bare(design.basin), design.dig_offset_m
    upper = _upper_dig_m3(design)
    hopper = basin.volume_at_m3(basin.wall_foot_level_m)
    trim = basin.floor_area_m2 * design.slab_m
    behind_deep_walls = basin.deep_wall_m2 * offset + basin.deep_corner_m * offset**2
    excavation = upper + hopper + trim + behind_deep_walls
    if design.reused_m3 > excavation:
        raise CannotDo(
            "design.reuse_too_large",
            field="reused_m3",
            reused=design.reused_m3,
            excavation=round(excavation, 1),
        )
    form = design.form_thickness_m
    shell = basin.offset_area_m2(form) * design.upper_dig_m
    deep_shell = basin.deep_wall_m2 * form + basin.deep_corner_m * form**2
    return {
        "excavation_m3": excavation,
        "spoil_m3": (excavation - design.reused_m3) * SWELL[design.soil],
        "backfill_m3": upper - shell + behind_deep_walls - deep_shell,
    }


def _upper_dig_m3(design: PoolDesign) -> float:
    """Exact for upright and for sloped faces: the area is quadratic in depth, so Simpson's rule is no estimate."""
    depth = design.upper_dig_m
    foot, middle, top = (
        design.basin.offset_area_m2(design.dig_offset_m + design.dig_slope * depth * share) for share in (0.0, 0.5, 1.0)
    )
    return depth / 6 * (foot + 4 * middle + top)


@dataclass(frozen=True, slots=True, kw_only=True)
class PourNets:
    """Bodies of concrete as drawn [m3], before waste: floor with its edge, wall core, coping, sprayed shell, deck."""

    slab_m3: float
    core_m3: float
    coping_m3: float
    solids_m3: float
    sprayed_m3: float
    deck_m3: float


def pour_nets(design: PoolDesign) -> PourNets:
    """Concrete of a design by body, as drawn.

    Parameters
    ----------
    design : PoolDesign
        A checked design.

    Returns
    -------
    PourNets
        [m3]; ``solids_m3`` are benches, ledges and stairs, counted in the sprayed shell as well.
    """
    basin = design.basin
    core_length = basin.offset_length_m(design.form_thickness_m / 2)
    # Where two upright deep walls meet, the core turns the corner: outside square less inside square.
    deep_corner = basin.deep_corner_m * design.core_m * design.form_thickness_m
    return PourNets(
        slab_m3=basin.floor_area_m2 * design.slab_m + design.edge_width_m * design.edge_depth_m * core_length,
        core_m3=(core_length * design.wall_height_m + basin.deep_wall_m2) * design.core_m + deep_corner,
        coping_m3=design.coping_width_m * design.coping_depth_m * basin.offset_length_m(design.coping_width_m / 2),
        solids_m3=solid_m3(basin),
        sprayed_m3=_sprayed_m3(design),
        deck_m3=_deck_m2(design) * design.deck_m,
    )


def _concrete(design: PoolDesign, buying: Buying) -> dict[str, float]:
    nets = pour_nets(design)
    return {
        "slab_pour_m3": concrete_order_m3(nets.slab_m3, buying=buying),
        "wall_pour_m3": concrete_order_m3(nets.core_m3 + nets.coping_m3, buying=buying),
        "shell_pour_m3": concrete_order_m3(nets.slab_m3 + nets.core_m3 + nets.solids_m3, buying=buying),
        "spray_m3": nets.sprayed_m3 * SPRAY_LOSS,
        "deck_pour_m3": concrete_order_m3(nets.deck_m3, buying=buying),
    }


def _sprayed_m3(design: PoolDesign) -> float:
    """Net body of a sprayed shell: floor, walls, what the rim beam adds to the wall, benches and stairs [m3]."""
    basin, thick = design.basin, design.spray_wall_m
    length = basin.offset_length_m(thick / 2)
    walls = (length * design.wall_height_m + basin.deep_wall_m2) * thick + basin.deep_corner_m * thick**2
    rim = max(0.0, design.rim_width_m - thick) * design.rim_depth_m
    rim_length = basin.offset_length_m((thick + design.rim_width_m) / 2)
    return basin.floor_area_m2 * design.spray_floor_m + walls + rim * rim_length + solid_m3(basin)


def _finish(design: PoolDesign) -> dict[str, float]:
    basin = design.basin
    inner = basin.floor_area_m2 + basin.wetted_wall_m2(basin.max_level_m)
    return {
        "tile_m": basin.perimeter_m + design.tile_extra_m,
        "plaster_m2": max(0.0, inner - basin.perimeter_m * design.tile_band_m),
        "steel_kg": inner * LIGHT_CAGE_KG_M2 if design.steel_kg is None else design.steel_kg,
        "care_visits_each": design.care_visits_each,
    }


def _counted(design: PoolDesign) -> dict[str, float]:
    return {
        "floor_pipe_m": design.floor_pipe_m,
        "pipe_m": design.pipe_m,
        "floor_steel_kg": design.floor_steel_kg,
        "bond_points_each": design.bond_points_each,
        "fittings_each": float(len(design.basin.fittings)),
        "deck_joint_m": design.deck_joint_m,
        "fence_m": design.fence_m,
        "equipment_each": design.equipment_each,
    }


def _fill_segments(design: PoolDesign) -> tuple[float, ...]:
    basin = design.basin
    levels = (0.0, *(stop.level_m for stop in fill_stops(design)))
    volumes = [basin.volume_at_m3(level) for level in levels]
    segments = tuple(above - below for below, above in itertools.pairwise(volumes))
    return segments + (0.0,) * (FILL_ROWS - len(segments))


def trucks(volume_m3: float, load_m3: float) -> int:
    """Ready-mix trucks for a pour.

    Parameters
    ----------
    volume_m3 : float
        Concrete [m3], 0 or more.
    load_m3 : float
        What one truck may carry [m3], above 0.

    Returns
    -------
    int
        Whole trucks.

    Raises
    ------
    CannotDo
        For a negative volume or a load that is not above 0.

    Examples
    --------
    >>> trucks(11.5, 7.6)
    2
    """
    check_not_negative("volume_m3", volume_m3)
    check_positive("load_m3", load_m3)
    return math.ceil(volume_m3 / load_m3 - STEP_SLACK)


def truck_interval_minutes(load_m3: float, rate_m3_h: float) -> float:
    """Minutes between trucks so that the pour neither waits nor queues: 60 load / rate.

    Parameters
    ----------
    load_m3 : float
        Load of a truck [m3], above 0.
    rate_m3_h : float
        Placing rate [m3/h], above 0.

    Returns
    -------
    float
        Interval [min].

    Raises
    ------
    CannotDo
        For a load or a rate that is not above 0.

    Examples
    --------
    >>> truck_interval_minutes(7.5, 15.0)
    30.0
    """
    check_positive("load_m3", load_m3)
    check_positive("rate_m3_h", rate_m3_h)
    return 60 * load_m3 / rate_m3_h


def slab_coverage_m2(volume_m3: float, thickness_m: float) -> float:
    """Area a volume of concrete covers at a thickness.

    Parameters
    ----------
    volume_m3 : float
        Concrete in place [m3], 0 or more.
    thickness_m : float
        Slab thickness [m], above 0.

    Returns
    -------
    float
        Area [m2].

    Raises
    ------
    CannotDo
        For a negative volume or a thickness that is not above 0.

    Examples
    --------
    >>> slab_coverage_m2(1.0, 0.1)
    10.0
    """
    check_not_negative("volume_m3", volume_m3)
    check_positive("thickness_m", thickness_m)
    return volume_m3 / thickness_m
