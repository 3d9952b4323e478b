"""One hourly series, whatever the service: half-open UTC hours, SI units, unknown is not zero."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

HOUR = timedelta(hours=1)

VARIABLES = (
    "air_temp_c",
    "dew_point_c",
    "wind_m_s",
    "gust_m_s",
    "rain_chance",
    "rain_mm",
    "thunder_chance",
    "sky_cover",
)

Values = tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HourlySeries:
    """Hourly values from ``start_at`` on; entry ``i`` covers [start_at + i h, start_at + (i+1) h).

    ``None`` is unknown. ``rain_chance`` [0..1] has window semantics: its highest value inside a half-day is
    the chance of 0.254 mm or more in that half-day. ``rain_mm`` is the amount inside the hour. ``sky_cover``
    and ``thunder_chance`` are shares [0..1].
    """

    source: str
    issued_at: datetime
    start_at: datetime
    air_temp_c: Values
    dew_point_c: Values
    wind_m_s: Values
    gust_m_s: Values
    rain_chance: Values
    rain_mm: Values
    thunder_chance: Values
    sky_cover: Values

    def __post_init__(self) -> None:
        if self.start_at.tzinfo is None or self.start_at.astimezone(UTC).minute or self.start_at.second:
            raise ValueError("start_at must be an aware full hour")
        lengths = {len(getattr(self, name)) for name in VARIABLES}
        if len(lengths) != 1:
            raise ValueError(f"variables differ in length: {sorted(lengths)}")

    @property
    def hours(self) -> int:
        return len(self.air_temp_c)

    @property
    def end_at(self) -> datetime:
        return self.start_at + self.hours * HOUR

    def index_of(self, moment: datetime) -> int:
        """Index of the hour that holds ``moment``; may lie outside ``0..hours-1``."""
        return int((moment - self.start_at) // HOUR)

    def value(self, variable: str, moment: datetime) -> float | None:
        """Value of the hour that holds ``moment``; unknown outside the series."""
        at = self.index_of(moment)
        values: Values = getattr(self, variable)
        return values[at] if 0 <= at < len(values) else None

    def between(self, variable: str, from_at: datetime, until_at: datetime) -> Values:
        """Values of every hour that overlaps [from_at, until_at); unknown where the series has none."""
        first = self.index_of(from_at)
        last = self.index_of(until_at - timedelta(microseconds=1))
        values: Values = getattr(self, variable)
        return tuple(values[i] if 0 <= i < len(values) else None for i in range(first, last + 1))
