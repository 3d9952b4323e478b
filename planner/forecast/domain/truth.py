"""Weather as it was: hourly records of one station, gaps kept."""

from dataclasses import dataclass, fields
from datetime import datetime, timedelta

from planner.forecast.domain.intervals import ceil_hour, floor_hour
from planner.forecast.domain.series import HOUR, Values

RECORDED = ("air_temp_c", "dew_point_c", "wind_m_s", "gust_m_s", "rain_mm")
MEASURABLE_MM = 0.254


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueWeather:
    """Observed hours; entry ``i`` covers [start_at + i h, start_at + (i+1) h), ``None`` is unknown.

    ``zone`` is the IANA zone of the station. ``refused`` counts recorded values no instrument can have seen,
    which were made unknown.
    """

    start_at: datetime
    zone: str
    air_temp_c: Values
    dew_point_c: Values
    wind_m_s: Values
    gust_m_s: Values
    rain_mm: Values
    refused: int = 0

    def __post_init__(self) -> None:
        if self.start_at.tzinfo is None or floor_hour(self.start_at) != self.start_at:
            raise ValueError("start_at must be an aware full hour")
        lengths = {len(getattr(self, name)) for name in RECORDED}
        if len(lengths) != 1:
            raise ValueError(f"variables differ in length: {sorted(lengths)}")

    @property
    def hours(self) -> int:
        return len(self.air_temp_c)

    @property
    def end_at(self) -> datetime:
        return self.start_at + self.hours * HOUR

    def moved(self, shift: timedelta) -> "TrueWeather":
        """The same weather at other dates; whole weeks keep weekdays."""
        return self._with(start_at=self.start_at + shift)

    def between(self, from_at: datetime, until_at: datetime) -> "TrueWeather":
        """Every recorded hour that overlaps [from_at, until_at); fewer where the record is shorter."""
        first = max(int((floor_hour(from_at) - self.start_at) // HOUR), 0)
        last = max(int((ceil_hour(until_at) - self.start_at) // HOUR), first)
        cut: dict[str, object] = {name: getattr(self, name)[first:last] for name in RECORDED}
        return self._with(start_at=self.start_at + first * HOUR, **cut)

    def _with(self, **changes: object) -> "TrueWeather":
        values = {field.name: getattr(self, field.name) for field in fields(self)} | changes
        return TrueWeather(**values)
