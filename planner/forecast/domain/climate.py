"""What the weather usually does, by month and hour: it stands in where no forecast reaches.

Quantiles are kept, not means: a limit is priced from the chance that it is broken.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Literal, cast

from jobs.domain.errors import CannotDo

MEASURABLE_MM = 0.254
# A dry month of a short record is no proof that it never rains.
LEAST_WET_CHANCE = 0.005
PROBABILITIES = (0.0, 0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 1.0)

_LEVELS = ("air_temp_c", "wind_m_s", "gust_m_s")
_EXTREMES = ("air_low_c", "air_high_c", "wind_high_m_s", "gust_high_m_s")

Quantiles = tuple[float, ...]
Level = Literal["air_temp_c", "wind_m_s", "gust_m_s"]
Side = Literal["below", "above"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservedHour:
    """One hour of one station, beginning at ``start_at``; ``None`` is unknown."""

    start_at: datetime
    air_temp_c: float | None
    dew_point_c: float | None
    wind_m_s: float | None
    gust_m_s: float | None
    rain_mm: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HourClimate:
    """One local hour of one month: quantiles at ``PROBABILITIES``."""

    air_mean_c: float
    dew_point_mean_c: float
    air_temp_c: Quantiles
    wind_m_s: Quantiles
    gust_m_s: Quantiles


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfDayClimate:
    """One half-day of one month.

    Attributes
    ----------
    wet_chance : chance of 0.254 mm or more in the half-day, drawn half-way to the year's rate.
    wet_mean_mm : mean amount of the half-days that reach it, drawn half-way to the year's.
    air_low_c, air_high_c, wind_high_m_s, gust_high_m_s : quantiles of the half-day's extremes.
    known : half-days of the record behind the month's own rate.
    """

    wet_chance: float
    wet_mean_mm: float
    air_low_c: Quantiles
    air_high_c: Quantiles
    wind_high_m_s: Quantiles
    gust_high_m_s: Quantiles
    known: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """A station's usual weather: ``half_days[month - 1][half]`` and ``hours[month - 1][hour]``, local time.

    ``rejected`` counts values outside any physical range, taken as unknown.
    """

    zone: str
    half_days: tuple[tuple[HalfDayClimate, HalfDayClimate], ...]
    hours: tuple[tuple[HourClimate, ...], ...]
    rejected: int = 0

    def __post_init__(self) -> None:
        if [len(month) for month in self.half_days] != [2] * 12 or [len(month) for month in self.hours] != [24] * 12:
            raise ValueError("a climate needs 12 months of 2 half-days and 24 hours")
        spreads = [getattr(one, name) for month in self.half_days for one in month for name in _EXTREMES]
        spreads += [getattr(one, name) for month in self.hours for one in month for name in _LEVELS]
        if {len(spread) for spread in spreads} != {len(PROBABILITIES)}:
            raise ValueError(f"a climate's spreads need {len(PROBABILITIES)} quantiles each")

    def half_day(self, month: int, half: int) -> HalfDayClimate:
        """The half-day (0 day, 1 night) of a month 1..12."""
        return self.half_days[month - 1][half]

    def hour(self, month: int, hour: int) -> HourClimate:
        """The local hour 0..23 of a month 1..12."""
        return self.hours[month - 1][hour]

    def hour_chance(self, level: Level, side: Side, limit: float, *, month: int, hour: int) -> float:
        """Chance [0..1] that a level lies beyond a limit in one hour of the month."""
        values: Quantiles = getattr(self.hour(month, hour), level)
        return share_beyond(values, side, limit)

    def half_day_chance(self, level: Level, side: Side, limit: float, *, month: int, half: int) -> float:
        """Chance [0..1] that a level lies beyond a limit at least once in the half-day."""
        block = self.half_day(month, half)
        extremes = {
            ("air_temp_c", "below"): block.air_low_c,
            ("air_temp_c", "above"): block.air_high_c,
            ("wind_m_s", "above"): block.wind_high_m_s,
            ("gust_m_s", "above"): block.gust_high_m_s,
        }
        return share_beyond(extremes[level, side], side, limit)

    def window_chance(
        self, level: Level, side: Side, limit: float, *, month: int, half: int, hours: Sequence[int]
    ) -> float:
        """Chance [0..1] that a level lies beyond a limit at least once in some local hours of one half-day.

        Hours of a half-day hang together, so their chances are not multiplied: the answer runs from the worst
        single hour (one hour asked) to the half-day's own extreme (all of it asked), by the asked hours' share
        in the chances of the other hours. Common practice, no source; checked against a year's record in the
        tests.

        Returns
        -------
        float
            0 where no hour is asked.
        """
        if not hours:
            return 0.0
        by_hour = {hour: self.hour_chance(level, side, limit, month=month, hour=hour) for hour in hours_of_half(half)}
        asked = [by_hour[hour] for hour in set(hours) & by_hour.keys()]
        single = max(asked, default=0.0)
        whole = max(single, self.half_day_chance(level, side, limit, month=month, half=half))
        others = sum(by_hour.values()) - max(by_hour.values())
        share = min(1.0, (sum(asked) - single) / others) if others > 0 else len(asked) / len(by_hour)
        return single + (whole - single) * share

    def to_json(self) -> dict[str, Any]:
        """Plain data that ``from_json`` reads back to an equal value."""
        return asdict(self)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Climate":
        """Read what ``to_json`` wrote.

        Raises
        ------
        CannotDo
            ``climate.unreadable`` if the data has another shape.
        """
        try:
            halves = tuple(tuple(HalfDayClimate(**_tupled(half)) for half in month) for month in data["half_days"])
            hours = tuple(tuple(HourClimate(**_tupled(hour)) for hour in month) for month in data["hours"])
            return cls(
                zone=str(data["zone"]),
                half_days=cast("tuple[tuple[HalfDayClimate, HalfDayClimate], ...]", halves),
                hours=hours,
                rejected=int(data["rejected"]),
            )
        except (KeyError, TypeError, ValueError) as wrong:
            raise CannotDo("climate.unreadable", field="climate", reason=str(wrong)) from wrong


def hours_of_half(half: int) -> tuple[int, ...]:
    """Local hours of the day (0) or the night (1)."""
    return tuple(range(6, 18)) if half == 0 else (*range(18, 24), *range(6))


def share_beyond(values: Quantiles, side: Side, limit: float) -> float:
    """Share [0..1] of a distribution strictly below or above a limit.

    Parameters
    ----------
    values : ascending quantiles at ``PROBABILITIES``; in between they are joined by straight lines.
    side : ``below`` or ``above``.
    limit : in the unit of the values.

    >>> share_beyond(tuple(100 * p for p in PROBABILITIES), "above", 90.0)
    0.1
    """
    at = bisect_left(values, limit) if side == "below" else bisect_right(values, limit)
    if at == 0:
        under = 0.0
    elif at == len(values):
        under = 1.0
    else:
        low, high = values[at - 1], values[at]
        under = PROBABILITIES[at - 1] + (PROBABILITIES[at] - PROBABILITIES[at - 1]) * (limit - low) / (high - low)
    return under if side == "below" else round(1.0 - under, 12)


def _tupled(fields: Mapping[str, Any]) -> dict[str, Any]:
    return {name: tuple(value) if isinstance(value, list | tuple) else value for name, value in fields.items()}
