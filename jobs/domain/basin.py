"""The shape of a pool: outline, depth profile, and every level, volume and area that follows from it.

Levels are metres above the deepest point of the finished floor.
"""

from dataclasses import dataclass
from typing import Protocol

from jobs.domain.errors import CannotDo
from jobs.domain.shapes.entered import check_at_most, check_not_negative, check_positive, spoken
from jobs.domain.shapes.hopper import LEVEL_TOLERANCE_M, Hopper

FITTING_KINDS = ("main_drain", "stair", "light", "return", "skimmer", "vacuum", "other")

# No pool of this trade is longer or deeper; common practice, no source. Feet entered as metres are caught here.
LONGEST_M = 100.0
DEEPEST_M = 8.0

# A tape is read to a millimetre; lengths entered from feet may miss their sum by less.
LENGTHS_TOLERANCE_M = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """A fitting of the shell and the height of its lower flange above the deepest floor [m]."""

    kind: str
    flange_m: float

    def __post_init__(self) -> None:
        if self.kind not in FITTING_KINDS:
            raise CannotDo("basin.unknown_fitting", field="fittings", kind=self.kind, kinds=", ".join(FITTING_KINDS))
        check_not_negative("flange_m", self.flange_m)


class Basin(Protocol):
    """What the take-off, the fill and the drawings ask of any shape of pool.

    ``wall_foot_level_m`` is the level where the wall of constant height stands on the shallow floor; below it
    lie the hopper and ``deep_wall_m2`` of upright faces with ``deep_corner_m`` of upright corner edges.
    """

    @property
    def fittings(self) -> tuple[Fitting, ...]: ...
    @property
    def freeboard_m(self) -> float: ...
    @property
    def design_level_m(self) -> float: ...
    @property
    def max_level_m(self) -> float: ...
    @property
    def wall_foot_level_m(self) -> float: ...
    @property
    def perimeter_m(self) -> float: ...
    @property
    def water_surface_m2(self) -> float: ...
    @property
    def water_volume_m3(self) -> float: ...
    @property
    def floor_area_m2(self) -> float: ...
    @property
    def deep_wall_m2(self) -> float: ...
    @property
    def deep_corner_m(self) -> float: ...
    def volume_at_m3(self, level_m: float) -> float: ...
    def surface_at_m2(self, level_m: float) -> float: ...
    def level_for_volume_m(self, volume_m3: float) -> float: ...
    def wetted_wall_m2(self, level_m: float) -> float: ...
    def offset_length_m(self, offset_m: float) -> float: ...
    def offset_area_m2(self, offset_m: float) -> float: ...
    def stations(self) -> tuple[tuple[float, float], ...]: ...
    def outline(self) -> tuple[tuple[float, float], ...]: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class RectangularBasin:
    """A rectangle with shallow floor, main slope, deep floor and, for a hopper, back and side slopes.

    Without back and side slopes it is the full-width wedge, whose deep walls stand upright to the deep floor.

    Attributes
    ----------
    length_m, width_m : water line, inside [m].
    shallow_depth_m, deep_depth_m : water at design level over shallow and deep floor [m].
    shallow_length_m, slope_length_m, deep_length_m, back_slope_length_m : parts of the length, in plan [m].
    side_slope_width_m : plan width of each side slope at the deep floor [m].
    freeboard_m : coping above design water [m].
    """

    length_m: float
    width_m: float
    shallow_depth_m: float
    deep_depth_m: float
    shallow_length_m: float
    slope_length_m: float
    deep_length_m: float
    back_slope_length_m: float = 0.0
    side_slope_width_m: float = 0.0
    freeboard_m: float = 0.15
    fittings: tuple[Fitting, ...] = ()

    def __post_init__(self) -> None:
        self._check_numbers()
        self._check_shape()
        for fitting in self.fittings:
            if fitting.flange_m > self.max_level_m:
                raise CannotDo(
                    "basin.fitting_above_coping",
                    field="fittings",
                    kind=fitting.kind.replace("_", " "),
                    flange=fitting.flange_m,
                    coping=round(self.max_level_m, 3),
                )

    def _check_numbers(self) -> None:
        for field in ("length_m", "width_m", "shallow_depth_m", "deep_depth_m"):
            check_positive(field, getattr(self, field))
        for field in (
            "shallow_length_m",
            "slope_length_m",
            "deep_length_m",
            "back_slope_length_m",
            "side_slope_width_m",
            "freeboard_m",
        ):
            check_not_negative(field, getattr(self, field))
        for field in ("length_m", "width_m"):
            check_at_most(field, getattr(self, field), LONGEST_M)
        for field in ("shallow_depth_m", "deep_depth_m", "freeboard_m"):
            check_at_most(field, getattr(self, field), DEEPEST_M)

    def _check_shape(self) -> None:
        if self.deep_depth_m < self.shallow_depth_m:
            raise CannotDo(
                "basin.deep_above_shallow",
                field="deep_depth_m",
                deep=self.deep_depth_m,
                shallow=self.shallow_depth_m,
            )
        total = self.shallow_length_m + self._hopper_length_m
        if abs(total - self.length_m) > LENGTHS_TOLERANCE_M:
            raise CannotDo(
                "basin.lengths_do_not_add_up",
                field="length_m",
                total=round(total, 3),
                length=self.length_m,
                difference=round(abs(total - self.length_m), 3),
            )
        if self._pad_width_m <= 0:
            raise CannotDo(
                "basin.side_slopes_too_wide",
                field="side_slope_width_m",
                side=self.side_slope_width_m,
                width=self.width_m,
            )
        if self._drop_m > 0 and self.slope_length_m == 0:
            raise CannotDo(
                "basin.no_slope", field="slope_length_m", shallow=self.shallow_depth_m, deep=self.deep_depth_m
            )
        if self._drop_m == 0:
            for field in ("slope_length_m", "back_slope_length_m", "side_slope_width_m"):
                if getattr(self, field) > 0:
                    raise CannotDo(
                        "basin.slopes_without_drop",
                        field=field,
                        what=spoken(field),
                        value=getattr(self, field),
                        depth=self.deep_depth_m,
                    )

    @property
    def _drop_m(self) -> float:
        return self.deep_depth_m - self.shallow_depth_m

    @property
    def _hopper_length_m(self) -> float:
        return self.slope_length_m + self.deep_length_m + self.back_slope_length_m

    @property
    def _hopper(self) -> Hopper:
        return Hopper(
            height_m=self._drop_m,
            bottom_length_m=self.deep_length_m,
            bottom_width_m=self._pad_width_m,
            top_length_m=self._hopper_length_m,
            top_width_m=self.width_m,
        )

    @property
    def _pad_width_m(self) -> float:
        return self.width_m - 2 * self.side_slope_width_m

    @property
    def design_level_m(self) -> float:
        """Level of the water as designed [m]."""
        return self.deep_depth_m

    @property
    def max_level_m(self) -> float:
        """Level of the coping [m]: no water stands higher."""
        return self.deep_depth_m + self.freeboard_m

    @property
    def wall_foot_level_m(self) -> float:
        """Level of the shallow floor [m]."""
        return self._drop_m

    @property
    def perimeter_m(self) -> float:
        """Length of the water line [m]."""
        return 2 * (self.length_m + self.width_m)

    @property
    def water_surface_m2(self) -> float:
        """Surface at design level [m2]."""
        return self.length_m * self.width_m

    @property
    def water_volume_m3(self) -> float:
        """Water at design level [m3]."""
        return self.volume_at_m3(self.design_level_m)

    def volume_at_m3(self, level_m: float) -> float:
        """Water standing at a level.

        Below the shallow floor the exact volume of the hopper, above it a prism on the whole outline.

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

        Examples
        --------
        >>> box = RectangularBasin(length_m=10.0, width_m=5.0, shallow_depth_m=1.5, deep_depth_m=1.5,
        ...     shallow_length_m=0.0, slope_length_m=0.0, deep_length_m=10.0)
        >>> box.volume_at_m3(1.0)
        50.0
        """
        self._check_level(level_m)
        prism = self.water_surface_m2 * max(0.0, level_m - self._drop_m)
        return self._hopper.volume_at_m3(min(level_m, self._drop_m)) + prism

    def surface_at_m2(self, level_m: float) -> float:
        """Water surface at a level; from the shallow floor up it is the whole outline.

        Parameters
        ----------
        level_m : float
            Level above the deepest floor [m], 0 to ``max_level_m``.

        Returns
        -------
        float
            Surface [m2], the derivative of the volume by the level.

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        self._check_level(level_m)
        if level_m >= self._drop_m:
            return self.water_surface_m2
        return self._hopper.surface_at_m2(level_m)

    def level_for_volume_m(self, volume_m3: float) -> float:
        """Level at which a volume of water stands: the inverse of ``volume_at_m3``.

        Parameters
        ----------
        volume_m3 : float
            Water [m3], 0 to what the basin holds up to the coping.

        Returns
        -------
        float
            Level above the deepest floor [m], to 1e-9 m.

        Raises
        ------
        CannotDo
            ``basin.volume_outside``.
        """
        most = self.volume_at_m3(self.max_level_m)
        if not 0 <= volume_m3 <= most * (1 + 1e-12):
            raise CannotDo("basin.volume_outside", field="volume_m3", volume=volume_m3, most=round(most, 3))
        hopper_m3 = self._hopper.volume_at_m3(self._drop_m)
        if volume_m3 < hopper_m3:
            return self._hopper.level_for_volume_m(volume_m3)
        return min(self._drop_m + (volume_m3 - hopper_m3) / self.water_surface_m2, self.max_level_m)

    @property
    def floor_area_m2(self) -> float:
        """Shallow floor, deep floor and the true areas of all slopes [m2]; upright faces count as wall."""
        shallow = self.shallow_length_m * self.width_m
        pad = self.deep_length_m * self._pad_width_m
        ends_width = (self.width_m + self._pad_width_m) / 2
        sides_length = (self._hopper_length_m + self.deep_length_m) / 2
        return (
            shallow
            + pad
            + ends_width * self._true_length_m(self.slope_length_m)
            + ends_width * self._true_length_m(self.back_slope_length_m)
            + 2 * sides_length * self._true_length_m(self.side_slope_width_m)
        )

    def _true_length_m(self, run_m: float) -> float:
        return float((run_m**2 + self._drop_m**2) ** 0.5) if run_m else 0.0

    @property
    def deep_wall_m2(self) -> float:
        """Upright faces below the shallow floor [m2]: the deep walls of a wedge; none in a full hopper."""
        return self._deep_wall_at_m2(self._drop_m)

    def _deep_wall_at_m2(self, height_m: float) -> float:
        sides = 0.0 if self.side_slope_width_m else 2 * self._hopper.side_m2(height_m)
        back = 0.0 if self.back_slope_length_m else self._hopper.end_m2(height_m)
        return sides + back

    @property
    def deep_corner_m(self) -> float:
        """Upright corner edges below the shallow floor [m]: two where back and sides are upright."""
        upright = not self.side_slope_width_m and not self.back_slope_length_m
        return 2 * self._drop_m if upright else 0.0

    def wetted_wall_m2(self, level_m: float) -> float:
        """Upright faces under water at a level.

        Parameters
        ----------
        level_m : float
            Level above the deepest floor [m], 0 to ``max_level_m``.

        Returns
        -------
        float
            Area [m2].

        Raises
        ------
        CannotDo
            ``basin.level_outside``.
        """
        self._check_level(level_m)
        upper = self.perimeter_m * max(0.0, level_m - self._drop_m)
        return self._deep_wall_at_m2(min(level_m, self._drop_m)) + upper

    def offset_length_m(self, offset_m: float) -> float:
        """Length of the outline moved outwards with square corners [m]."""
        return self.perimeter_m + 8 * offset_m

    def offset_area_m2(self, offset_m: float) -> float:
        """Area inside the outline moved outwards with square corners [m2]."""
        return (self.length_m + 2 * offset_m) * (self.width_m + 2 * offset_m)

    def stations(self) -> tuple[tuple[float, float], ...]:
        """The long section on the centre line: (distance from the shallow end, floor below design water) [m]."""
        deep_from = self.shallow_length_m + self.slope_length_m
        # Lengths may miss their sum by a hair; the section still ends where the pool does.
        deep_until = min(deep_from + self.deep_length_m, self.length_m)
        depths = (
            (0.0, self.shallow_depth_m),
            (self.shallow_length_m, self.shallow_depth_m),
            (deep_from, self.deep_depth_m),
            (deep_until, self.deep_depth_m),
            (self.length_m, self.shallow_depth_m if self.back_slope_length_m else self.deep_depth_m),
        )
        return tuple(point for index, point in enumerate(depths) if index == 0 or point != depths[index - 1])

    def outline(self) -> tuple[tuple[float, float], ...]:
        """Corners of the water line [m], from the shallow end, in turn."""
        return ((0.0, 0.0), (self.length_m, 0.0), (self.length_m, self.width_m), (0.0, self.width_m))

    def _check_level(self, level_m: float) -> None:
        if not -LEVEL_TOLERANCE_M <= level_m <= self.max_level_m + LEVEL_TOLERANCE_M:
            raise CannotDo("basin.level_outside", field="level_m", level=level_m, coping=round(self.max_level_m, 3))
