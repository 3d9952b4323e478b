"""The deep part of a pool below its shallow floor, as a prismatoid with plane sides."""

from dataclasses import dataclass

LEVEL_TOLERANCE_M = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Hopper:
    """A rectangle at the deep floor that widens evenly to a rectangle at the shallow floor.

    At height z its section is (l + a z)(w + b z), with l, w the deep floor and a, b the metres gained in length
    and width for each metre of height. Heights are clamped to 0 .. ``height_m`` by the caller.
    """

    height_m: float
    bottom_length_m: float
    bottom_width_m: float
    top_length_m: float
    top_width_m: float

    @property
    def _longer(self) -> float:
        return (self.top_length_m - self.bottom_length_m) / self.height_m if self.height_m else 0.0

    @property
    def _wider(self) -> float:
        return (self.top_width_m - self.bottom_width_m) / self.height_m if self.height_m else 0.0

    def volume_at_m3(self, height_m: float) -> float:
        """Volume below a height [m3]: l w z + (l b + w a) z^2 / 2 + a b z^3 / 3, exact.

        Examples
        --------
        >>> wedge = Hopper(height_m=2.0, bottom_length_m=0.0, bottom_width_m=3.0, top_length_m=4.0, top_width_m=3.0)
        >>> wedge.volume_at_m3(2.0)
        12.0
        """
        length, width = self.bottom_length_m, self.bottom_width_m
        return (
            length * width * height_m
            + (length * self._wider + width * self._longer) * height_m**2 / 2
            + self._longer * self._wider * height_m**3 / 3
        )

    def surface_at_m2(self, height_m: float) -> float:
        """Section at a height [m2], the derivative of the volume."""
        return (self.bottom_length_m + self._longer * height_m) * (self.bottom_width_m + self._wider * height_m)

    def level_for_volume_m(self, volume_m3: float) -> float:
        """Height below which a volume lies [m], by bisection to 1e-9 m."""
        low, high = 0.0, self.height_m
        while high - low > LEVEL_TOLERANCE_M:
            middle = (low + high) / 2
            if self.volume_at_m3(middle) < volume_m3:
                low = middle
            else:
                high = middle
        return (low + high) / 2

    def side_m2(self, height_m: float) -> float:
        """One long side below a height, seen straight on [m2]: its true area where it stands upright."""
        return self.bottom_length_m * height_m + self._longer * height_m**2 / 2

    def end_m2(self, height_m: float) -> float:
        """The back end below a height, seen straight on [m2]: its true area where it stands upright."""
        return self.bottom_width_m * height_m + self._wider * height_m**2 / 2
