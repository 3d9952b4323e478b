"""What every shape that is not a plain rectangle answers, from its floor pieces and its water line."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from jobs.domain.basin import DEEPEST_M, LONGEST_M, Fitting
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.entered import check_at_most, check_not_negative
from jobs.domain.shapes.hopper import LEVEL_TOLERANCE_M
from jobs.domain.shapes.relief import Relief
from jobs.domain.shapes.ring import Corner, deep_corner_m, turned


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapedBasin:
    """A pool of any shape; answers the protocol ``Basin``.

    A shape derives from this and calls ``_settle`` when it has checked its own fields.
    """

    fittings: tuple[Fitting, ...] = ()
    freeboard_m: float = 0.15
    _relief: Relief = field(init=False, repr=False, compare=False)
    _ring: tuple[Corner, ...] = field(init=False, repr=False, compare=False)

    def _settle(self, relief: Relief, ring: tuple[Corner, ...]) -> None:
        object.__setattr__(self, "_relief", relief)
        object.__setattr__(self, "_ring", ring)
        check_not_negative("freeboard_m", self.freeboard_m)
        check_at_most("freeboard_m", self.freeboard_m, DEEPEST_M)
        check_at_most("depth_m", relief.depth_m, DEEPEST_M)
        for values in zip(*((corner.x_m, corner.y_m) for corner in ring), strict=True):
            check_at_most("length_m", max(values) - min(values), LONGEST_M)
        check_fittings(self.fittings, self.max_level_m)

    @property
    def design_level_m(self) -> float:
        """Level of the water as designed [m]."""
        return self._relief.depth_m

    @property
    def max_level_m(self) -> float:
        """Level of the coping [m]: no water stands higher."""
        return self._relief.depth_m + self.freeboard_m

    @property
    def wall_foot_level_m(self) -> float:
        """Level of the shallowest floor [m]; from there up the walls stand upright all round."""
        return self._relief.foot_m

    @property
    def perimeter_m(self) -> float:
        """Length of the water line [m]."""
        return self._relief.wall_length_m

    @property
    def water_surface_m2(self) -> float:
        """Surface at design level [m2]."""
        return self._relief.surface_at_m2(self.design_level_m)

    @property
    def water_volume_m3(self) -> float:
        """Water at design level [m3]."""
        return self._relief.volume_at_m3(self.design_level_m)

    @property
    def floor_area_m2(self) -> float:
        """True areas of all floors and slopes [m2]; upright faces count as wall."""
        return self._relief.floor_m2

    @property
    def deep_wall_m2(self) -> float:
        """Upright faces below the shallowest floor [m2], steps in the floor among them."""
        return self._relief.faces_at_m2(self.wall_foot_level_m)

    @property
    def deep_corner_m(self) -> float:
        """Upright corner edges below the shallowest floor, in square corners [m]; a round wall counts by its turn."""
        return deep_corner_m(self._ring, self.wall_foot_level_m)

    def volume_at_m3(self, level_m: float) -> float:
        """Water standing at a level, exact for the plane pieces of the floor.

        Parameters
        ----------
        level_m : float
            Level above the deepest floor [m], 0 to ``max_level_m``.

        Returns
        -------
        float
            Volume [m3].

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        check_level(level_m, self.max_level_m)
        return self._relief.volume_at_m3(level_m)

    def surface_at_m2(self, level_m: float) -> float:
        """Water surface at a level [m2], 0 to ``max_level_m``; the derivative of the volume by the level.

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        check_level(level_m, self.max_level_m)
        return self._relief.surface_at_m2(level_m)

    def level_for_volume_m(self, volume_m3: float) -> float:
        """Level at which a volume of water stands [m], to 1e-9 m: the inverse of ``volume_at_m3``.

        Raises
        ------
        CannotDo
            ``basin.volume_outside``.
        """
        check_volume(volume_m3, self._relief.volume_at_m3(self.max_level_m))
        low, high = 0.0, self.max_level_m
        while high - low > LEVEL_TOLERANCE_M:
            middle = (low + high) / 2
            if self._relief.volume_at_m3(middle) < volume_m3:
                low = middle
            else:
                high = middle
        return (low + high) / 2

    def wetted_wall_m2(self, level_m: float) -> float:
        """Upright faces under water at a level [m2], 0 to ``max_level_m``.

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        check_level(level_m, self.max_level_m)
        return self._relief.faces_at_m2(level_m)

    def offset_length_m(self, offset_m: float) -> float:
        """Length of the water line moved outwards, corners square, curves round [m]."""
        return self.perimeter_m + 2 * offset_m * turned(self._ring)

    def offset_area_m2(self, offset_m: float) -> float:
        """Area inside the water line moved outwards, corners square, curves round [m2]."""
        return self.water_surface_m2 + offset_m * self.perimeter_m + offset_m**2 * turned(self._ring)

    def outline(self) -> tuple[tuple[float, float], ...]:
        """Points of the water line [m], in turn, counter-clockwise."""
        return tuple((corner.x_m, corner.y_m) for corner in self._ring)


def check_level(level_m: float, most_m: float) -> None:
    """Refuse a level below the deepest floor or above the coping."""
    if not -LEVEL_TOLERANCE_M <= level_m <= most_m + LEVEL_TOLERANCE_M:
        raise CannotDo("basin.level_outside", field="level_m", level=level_m, coping=round(most_m, 3))


def check_volume(volume_m3: float, most_m3: float) -> None:
    """Refuse a volume the basin does not hold."""
    if not 0 <= volume_m3 <= most_m3 * (1 + 1e-12):
        raise CannotDo("basin.volume_outside", field="volume_m3", volume=volume_m3, most=round(most_m3, 3))


def check_fittings(fittings: Sequence[Fitting], coping_m: float) -> None:
    """Refuse a fitting above the coping."""
    for fitting in fittings:
        if fitting.flange_m > coping_m:
            raise CannotDo(
                "basin.fitting_above_coping",
                field="fittings",
                kind=fitting.kind.replace("_", " "),
                flange=fitting.flange_m,
                coping=round(coping_m, 3),
            )
