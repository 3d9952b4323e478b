"""A point on the map, as weather services are asked for it."""

from dataclasses import dataclass, field

from jobs.domain.errors import CannotDo


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A point on the map [degrees, WGS 84], held to 4 decimals (about 11 m), as the services ask.

    The altitude [m] is what is known of it; two places differ only by their coordinates.
    """

    latitude: float
    longitude: float
    altitude_m: float | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if not -90.0 <= self.latitude <= 90.0:
            raise CannotDo("forecast.bad_place", field="latitude", value=self.latitude, limit=90)
        if not -180.0 <= self.longitude <= 180.0:
            raise CannotDo("forecast.bad_place", field="longitude", value=self.longitude, limit=180)
        object.__setattr__(self, "latitude", round(self.latitude, 4))
        object.__setattr__(self, "longitude", round(self.longitude, 4))

    @property
    def text(self) -> str:
        """``lat,lon`` without trailing zeros."""
        return f"{_plain(self.latitude)},{_plain(self.longitude)}"


def _plain(degrees: float) -> str:
    text = f"{degrees:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
