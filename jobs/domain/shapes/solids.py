"""Benches, sun ledges and stairs: solid layers in a pool that take the place of water."""

from dataclasses import dataclass

from jobs.domain.basin import Basin, Fitting
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.entered import check_not_negative, check_number, check_positive
from jobs.domain.shapes.hopper import LEVEL_TOLERANCE_M
from jobs.domain.shapes.shaped import check_level, check_volume


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """A layer of the same plan from its foot to its top, standing on a level floor or on another layer.

    Attributes
    ----------
    kind : what it is, in words.
    foot_m, top_m : levels above the deepest floor of the pool [m].
    plan_m2 : area in plan [m2].
    riser_m : length of its upright faces towards the water [m].
    wall_m : length of wall it hides [m].
    """

    kind: str
    foot_m: float
    top_m: float
    plan_m2: float
    riser_m: float = 0.0
    wall_m: float = 0.0

    def __post_init__(self) -> None:
        check_not_negative("foot_m", self.foot_m)
        check_number("top_m", self.top_m)
        check_positive("plan_m2", self.plan_m2)
        check_not_negative("riser_m", self.riser_m)
        check_not_negative("wall_m", self.wall_m)
        if self.top_m <= self.foot_m:
            raise CannotDo("shapes.solid_flat", field="top_m", kind=self.kind, foot=self.foot_m, top=self.top_m)

    def height_under_m(self, level_m: float) -> float:
        """How much of its height stands under water at a level [m]."""
        return min(max(level_m - self.foot_m, 0.0), self.top_m - self.foot_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class WithSolids:
    """A pool with solids in it; answers the protocol ``Basin``.

    The floor keeps its area, for each level top is as large as the floor it hides; walls gain the risers and lose
    what is hidden. Dig, slab and walls are those of the pool without them: see ``bare``.
    """

    basin: Basin
    solids: tuple[Solid, ...]

    def __post_init__(self) -> None:
        for solid in self.solids:
            if solid.top_m > self.basin.max_level_m:
                raise CannotDo(
                    "shapes.solid_above_coping",
                    field="solids",
                    kind=solid.kind,
                    top=solid.top_m,
                    coping=round(self.basin.max_level_m, 3),
                )
            taken = self._taken_m2(solid.foot_m)
            room = self.basin.surface_at_m2(solid.foot_m)
            if taken > room:
                raise CannotDo(
                    "shapes.solids_too_large",
                    field="solids",
                    level=round(solid.foot_m, 3),
                    taken=round(taken, 2),
                    room=round(room, 2),
                )

    @property
    def solid_m3(self) -> float:
        """What all solids hold, up to their tops [m3]."""
        return sum(solid.plan_m2 * (solid.top_m - solid.foot_m) for solid in self.solids)

    @property
    def fittings(self) -> tuple[Fitting, ...]:
        """Fittings of the pool."""
        return self.basin.fittings

    @property
    def freeboard_m(self) -> float:
        """Coping above design water [m]."""
        return self.basin.freeboard_m

    @property
    def design_level_m(self) -> float:
        """Level of the water as designed [m]."""
        return self.basin.design_level_m

    @property
    def max_level_m(self) -> float:
        """Level of the coping [m]."""
        return self.basin.max_level_m

    @property
    def wall_foot_level_m(self) -> float:
        """Level of the shallowest floor of the shell [m]."""
        return self.basin.wall_foot_level_m

    @property
    def perimeter_m(self) -> float:
        """Length of the water line of the shell [m]."""
        return self.basin.perimeter_m

    @property
    def water_surface_m2(self) -> float:
        """Surface at design level [m2]."""
        return self.surface_at_m2(self.design_level_m)

    @property
    def water_volume_m3(self) -> float:
        """Water at design level [m3]."""
        return self.volume_at_m3(self.design_level_m)

    @property
    def floor_area_m2(self) -> float:
        """Floors, slopes and the tops of solids [m2]."""
        return self.basin.floor_area_m2

    @property
    def deep_wall_m2(self) -> float:
        """Upright faces of the shell below its shallowest floor [m2]."""
        return self.basin.deep_wall_m2

    @property
    def deep_corner_m(self) -> float:
        """Upright corner edges of the shell below its shallowest floor [m]."""
        return self.basin.deep_corner_m

    def volume_at_m3(self, level_m: float) -> float:
        """Water at a level [m3]: the pool's less what the solids take.

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        displaced = sum(solid.plan_m2 * solid.height_under_m(level_m) for solid in self.solids)
        return self.basin.volume_at_m3(level_m) - displaced

    def surface_at_m2(self, level_m: float) -> float:
        """Water surface at a level [m2]; a top counts as water once it is reached.

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        return self.basin.surface_at_m2(level_m) - self._taken_m2(level_m)

    def _taken_m2(self, level_m: float) -> float:
        return sum(solid.plan_m2 for solid in self.solids if solid.foot_m <= level_m < solid.top_m)

    def level_for_volume_m(self, volume_m3: float) -> float:
        """Level at which a volume of water stands [m], to 1e-9 m.

        Raises
        ------
        CannotDo
            ``basin.volume_outside``.
        """
        check_volume(volume_m3, self.volume_at_m3(self.max_level_m))
        low, high = 0.0, self.max_level_m
        while high - low > LEVEL_TOLERANCE_M:
            middle = (low + high) / 2
            if self.volume_at_m3(middle) < volume_m3:
                low = middle
            else:
                high = middle
        return (low + high) / 2

    def wetted_wall_m2(self, level_m: float) -> float:
        """Upright faces under water at a level, risers among them [m2].

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        check_level(level_m, self.max_level_m)
        gained = sum((solid.riser_m - solid.wall_m) * solid.height_under_m(level_m) for solid in self.solids)
        return self.basin.wetted_wall_m2(level_m) + gained

    def offset_length_m(self, offset_m: float) -> float:
        """Length of the water line moved outwards [m]."""
        return self.basin.offset_length_m(offset_m)

    def offset_area_m2(self, offset_m: float) -> float:
        """Area inside the water line moved outwards [m2]."""
        return self.basin.offset_area_m2(offset_m)

    def stations(self) -> tuple[tuple[float, float], ...]:
        """The long section of the shell [m]."""
        return self.basin.stations()

    def outline(self) -> tuple[tuple[float, float], ...]:
        """Points of the water line of the shell [m]."""
        return self.basin.outline()


def bare(basin: Basin) -> Basin:
    """The pool without solids: what is dug and poured before they are built."""
    return bare(basin.basin) if isinstance(basin, WithSolids) else basin


def solid_m3(basin: Basin) -> float:
    """What all solids of a pool hold [m3]; none in a bare one."""
    return basin.solid_m3 + solid_m3(basin.basin) if isinstance(basin, WithSolids) else 0.0


def straight_stair(
    *, foot_m: float, top_m: float, treads: int, tread_m: float, width_m: float, sides_on_wall: int = 0
) -> tuple[Solid, ...]:
    """A straight stair against a wall, as layers: each tread stands on all the layers below it.

    Parameters
    ----------
    foot_m, top_m : float
        Levels of the floor it stands on and of its highest tread [m].
    treads : int
        Number of treads, 1 or more; rises are equal.
    tread_m, width_m : float
        Depth of a tread and width of the stair [m].
    sides_on_wall : int
        How many of its two sides stand against a wall.

    Returns
    -------
    tuple of Solid
        Lowest first.

    Examples
    --------
    >>> [round(layer.plan_m2, 2) for layer in straight_stair(foot_m=0, top_m=0.9, treads=3, tread_m=0.3, width_m=2)]
    [1.8, 1.2, 0.6]
    """
    if treads < 1 or sides_on_wall not in (0, 1, 2):
        raise CannotDo("shapes.stair_counts", field="treads", treads=treads, sides=sides_on_wall)
    check_positive("tread_m", tread_m)
    check_positive("width_m", width_m)
    rise = (top_m - foot_m) / treads
    layers = []
    for number in range(treads):
        run = tread_m * (treads - number)
        layers.append(
            Solid(
                kind="stair",
                foot_m=foot_m + number * rise,
                top_m=top_m if number == treads - 1 else foot_m + (number + 1) * rise,
                plan_m2=run * width_m,
                riser_m=width_m + (2 - sides_on_wall) * run,
                wall_m=width_m + sides_on_wall * run,
            )
        )
    return tuple(layers)


def bench(*, foot_m: float, top_m: float, length_m: float, width_m: float, ends_on_wall: int = 0) -> Solid:
    """A bench along a wall, from the floor up.

    Parameters
    ----------
    foot_m, top_m : float
        Levels of the floor it stands on and of its seat [m].
    length_m, width_m : float
        Along the wall and away from it [m].
    ends_on_wall : int
        How many of its ends stand against a wall, 0 to 2; a sun ledge across the pool has 2.
    """
    return _along_wall("bench", foot_m, top_m, length_m, width_m, ends_on_wall)


def sun_ledge(*, foot_m: float, top_m: float, length_m: float, width_m: float, ends_on_wall: int = 2) -> Solid:
    """A shallow ledge along a wall, most often across the shallow end from wall to wall; sizes as ``bench``."""
    return _along_wall("sun ledge", foot_m, top_m, length_m, width_m, ends_on_wall)


def _along_wall(kind: str, foot_m: float, top_m: float, length_m: float, width_m: float, ends_on_wall: int) -> Solid:
    check_positive("length_m", length_m)
    check_positive("width_m", width_m)
    if ends_on_wall not in (0, 1, 2):
        raise CannotDo("shapes.ends_on_wall", field="ends_on_wall", ends=ends_on_wall)
    return Solid(
        kind=kind,
        foot_m=foot_m,
        top_m=top_m,
        plan_m2=length_m * width_m,
        riser_m=length_m + (2 - ends_on_wall) * width_m,
        wall_m=length_m + ends_on_wall * width_m,
    )
