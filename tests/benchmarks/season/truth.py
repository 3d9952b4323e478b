"""What the weather that came did to work, by the hours of the record alone: no chance, no forecast, no planner's judge.

The same limits as the planner's, read anew: sums of measured rain, the lowest and highest hour of temperature and wind.
Thunder is not in the record. An hour the record lacks hurts nobody.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from jobs.domain.exposure import SOIL_WAIT_FACTOR, Exposure, Limit, Soil
from jobs.science.setting import HIGHEST_C, LOWEST_C, rain_safe_hours
from planner.forecast.domain.truth import MEASURABLE_MM, TrueWeather

HOUR = timedelta(hours=1)
# Concrete sets by the air of its first hours.
SETS_OVER = 12 * HOUR
# Longer work goes home for the night.
LONGEST_SHIFT = 14 * HOUR
DAY_HOURS = range(6, 18)
WET_GROUND_LOOKS_BACK = 7 * 24 * HOUR


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """By which limits of its exposure a start was hit, and the loss of that [dollars]."""

    by: tuple[str, ...] = ()
    dollars: int = 0


class Truth:
    """The weather of a record at the season's dates."""

    def __init__(self, weather: TrueWeather) -> None:
        self.weather = weather
        self._zone = ZoneInfo(weather.zone)

    def happened(self, exposure: Exposure, soil: Soil, start_at: datetime, end_at: datetime) -> Happened:
        """What came of work from ``start_at`` to ``end_at``."""
        if not exposure.exposed:
            return Happened()
        rain, air = self.weather.rain_mm, self.weather.air_temp_c
        whole = list(self._hours(start_at, end_at))
        shifts = [at for at in whole if end_at - start_at <= LONGEST_SHIFT or self._by_day(at)]
        after = self._hours(end_at, end_at + self._unsafe_h(exposure, start_at) * HOUR)
        before = self._hours(start_at - exposure.rain_before_hours * HOUR, start_at)
        broken = {
            "a downpour": _wet(exposure.rain_stop_mm_h, max(self._known(rain, shifts), default=0.0)),
            "rain before it": _wet(exposure.rain_before_mm, sum(self._known(rain, before))),
            "rain on it": _wet(exposure.rain_during_mm, sum(self._known(rain, whole))),
            "rain before it was safe": _wet(exposure.rain_after_mm, sum(self._known(rain, after))),
            "wet ground": self._is_wet(exposure, soil, start_at),
            "cold": any(_is_under(exposure.air_min_c, value) for value in self._known(air, shifts)),
            "heat": any(_is_over(exposure.air_max_c, value) for value in self._known(air, shifts)),
            "wind": any(
                _is_over(limit, value * _at_height(exposure.wind_height_m))
                for limit, row in (
                    (exposure.wind_max_m_s, self.weather.wind_m_s),
                    (exposure.gust_max_m_s, self.weather.gust_m_s),
                )
                for value in self._known(row, shifts)
            ),
        }
        by = tuple(name for name, is_broken in broken.items() if is_broken)
        return Happened(by=by, dollars=exposure.loss_dollars if by else 0)

    def _unsafe_h(self, exposure: Exposure, start_at: datetime) -> float:
        if not exposure.sets:
            return exposure.rain_after_hours
        air = self._known(self.weather.air_temp_c, self._hours(start_at, start_at + SETS_OVER))
        mean_c = sum(air) / len(air) if air else 20.0
        return rain_safe_hours(min(HIGHEST_C, max(LOWEST_C, mean_c)), exposure.rain_after_hours, "none")

    def _is_wet(self, exposure: Exposure, soil: Soil, start_at: datetime) -> bool:
        """Whether the rain before has not been waited out: each hour's rain adds its wait, each hour dries one."""
        each_h = exposure.clay_wait_h_per_25mm * SOIL_WAIT_FACTOR[soil] / 25.0
        left_h = 0.0
        for at in self._hours(start_at - WET_GROUND_LOOKS_BACK, start_at):
            left_h = max(0.0, left_h - 1.0) + (self.weather.rain_mm[at] or 0.0) * each_h
        return left_h > 0

    def _hours(self, from_at: datetime, until_at: datetime) -> Iterator[int]:
        """Indices of the hours that a span touches."""
        first = max(0, (from_at - self.weather.start_at) // HOUR)
        last = min(self.weather.hours, -((self.weather.start_at - until_at) // HOUR))
        return iter(range(first, last))

    def _by_day(self, at: int) -> bool:
        return (self.weather.start_at + at * HOUR).astimezone(self._zone).hour in DAY_HOURS

    @staticmethod
    def _known(row: tuple[float | None, ...], hours: Iterable[int]) -> list[float]:
        return [value for at in hours if (value := row[at]) is not None]


def _at_height(height_m: float) -> float:
    """Wind at a height over that at 10 m: FAO Irrigation and Drainage Paper 56, equation 47, for 10 m over grass."""
    return 1.0 if height_m >= 10.0 else math.log(67.8 * height_m - 5.42) / math.log(67.8 * 10.0 - 5.42)


def _wet(limit: Limit | None, mm: float) -> bool:
    """At the limit or past it; a gauge shows nothing below its smallest step."""
    return limit is not None and mm >= max(limit.value, MEASURABLE_MM) - 1e-6


def _is_over(limit: Limit | None, value: float) -> bool:
    return limit is not None and value > limit.value


def _is_under(limit: Limit | None, value: float) -> bool:
    return limit is not None and value < limit.value
