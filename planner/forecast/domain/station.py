"""From a station's hourly records to its climate."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np

from jobs.domain.errors import CannotDo
from planner.forecast.domain.climate import (
    LEAST_WET_CHANCE,
    MEASURABLE_MM,
    PROBABILITIES,
    Climate,
    HalfDayClimate,
    HourClimate,
    ObservedHour,
    Quantiles,
)
from planner.forecast.domain.halfday import HalfDay, HalfDays, seconds_of

# A half-day with fewer known hours says nothing reliable about its total or its extremes.
KNOWN_HOURS = 10
# A month with fewer full days borrows from the whole record.
NEEDED_DAYS = 10
# Sums of converted inches fall short of 0.254 by rounding.
ROUNDING_MM = 1e-6
# Mean of wet half-days where a record has none: 4 to 5 mm in the records looked at; common practice, no source.
USUAL_WET_MM = 4.5

# Outside these no thermometer, gauge or wind meter on the ground has been right; such values are unknown.
PHYSICAL = {
    "air_temp_c": (-60.0, 60.0),
    "dew_point_c": (-70.0, 40.0),
    "wind_m_s": (0.0, 75.0),
    "gust_m_s": (0.0, 115.0),
    "rain_mm": (0.0, 310.0),
}


@dataclass(slots=True)
class _Pool:
    """Values of one month (or the whole record), by hour and by half."""

    hourly: dict[tuple[str, int], list[float]] = field(default_factory=lambda: defaultdict(list))
    extremes: dict[tuple[str, int], list[float]] = field(default_factory=lambda: defaultdict(list))
    rain_mm: dict[int, list[float]] = field(default_factory=lambda: defaultdict(list))

    @property
    def full_days(self) -> int:
        counts = [len(self.rain_mm[half]) for half in (0, 1)]
        counts += [len(self.extremes[name, half]) for name in _EXTREMES for half in (0, 1)]
        counts += [len(self.hourly[name, hour]) for name in _LEVELS for hour in range(24)]
        return min(counts)


_EXTREMES = ("air_low_c", "air_high_c", "wind_high_m_s", "gust_high_m_s")
_LEVELS = ("air_temp_c", "wind_m_s", "gust_m_s")


def climate_from_hours(hours: Iterable[ObservedHour], *, zone: ZoneInfo, gust_only_when_gusty: bool = True) -> Climate:
    """The climate of one station's hourly records.

    Parameters
    ----------
    hours : hourly records in any order, aware, each hour once; a year or more is wanted.
    zone : local zone of the months, hours and half-days.
    gust_only_when_gusty : the station leaves the gust out when there is none (airport reports do), so that a
        missing gust beside a known wind is the wind; false where a missing gust is unknown.

    Returns
    -------
    Climate
        A month with fewer than 10 full days takes the distributions of the whole record.

    Raises
    ------
    CannotDo
        ``climate.too_little`` if no month has 10 full days; ``climate.hour_twice`` if an hour comes twice.
    """
    record, rejected = _checked(hours, gust_only_when_gusty=gust_only_when_gusty)
    blocks: dict[HalfDay, list[dict[str, float]]] = defaultdict(list)
    days = HalfDays(zone)
    whole = _Pool()
    months = {month: _Pool() for month in range(1, 13)}
    for at_s, values in record.items():
        block = days.holding(at_s)
        blocks[block].append(values)
        month = datetime.fromtimestamp(at_s, zone).month
        for name, value in values.items():
            for pool in (whole, months[month]):
                pool.hourly[name, days.hour(at_s)].append(value)
    for block, inside in blocks.items():
        for pool in (whole, months[block.month]):
            _add_half_day(pool, block.half, inside)
    best = max(pool.full_days for pool in months.values())
    if best < NEEDED_DAYS:
        raise CannotDo("climate.too_little", field="weather records", days=best, needed=NEEDED_DAYS)
    return Climate(
        zone=zone.key,
        half_days=tuple(
            (_half_day(months[month], whole, 0), _half_day(months[month], whole, 1)) for month in range(1, 13)
        ),
        hours=tuple(tuple(_hour(months[month], whole, hour) for hour in range(24)) for month in range(1, 13)),
        rejected=rejected,
    )


def _checked(hours: Iterable[ObservedHour], *, gust_only_when_gusty: bool) -> tuple[dict[int, dict[str, float]], int]:
    record: dict[int, dict[str, float]] = {}
    rejected = 0
    for hour in hours:
        at_s = seconds_of(hour.start_at)
        if at_s in record:
            raise CannotDo("climate.hour_twice", field="weather records", hour=hour.start_at.isoformat())
        values: dict[str, float] = {}
        for name, (low, high) in PHYSICAL.items():
            value: float | None = getattr(hour, name)
            if value is not None and low <= value <= high:
                values[name] = value
            elif value is not None:
                rejected += 1
        if gust_only_when_gusty and hour.gust_m_s is None and "wind_m_s" in values:
            values["gust_m_s"] = values["wind_m_s"]
        record[at_s] = values
    return record, rejected


def _add_half_day(pool: _Pool, half: int, hours: Sequence[dict[str, float]]) -> None:
    known = {name: [values[name] for values in hours if name in values] for name in PHYSICAL}
    if len(known["rain_mm"]) >= KNOWN_HOURS:
        pool.rain_mm[half].append(sum(known["rain_mm"]))
    if len(known["air_temp_c"]) >= KNOWN_HOURS:
        pool.extremes["air_low_c", half].append(min(known["air_temp_c"]))
        pool.extremes["air_high_c", half].append(max(known["air_temp_c"]))
    if len(known["wind_m_s"]) >= KNOWN_HOURS:
        pool.extremes["wind_high_m_s", half].append(max(known["wind_m_s"]))
    if len(known["gust_m_s"]) >= KNOWN_HOURS:
        pool.extremes["gust_high_m_s", half].append(max(known["gust_m_s"]))


def _half_day(month: _Pool, whole: _Pool, half: int) -> HalfDayClimate:
    def extreme(name: str) -> Quantiles:
        return _quantiles(_own_or(month.extremes[name, half], whole.extremes[name, half]))

    wet_chance, wet_mean_mm = _rain(_own_or(month.rain_mm[half], whole.rain_mm[half]), whole.rain_mm[half])
    return HalfDayClimate(
        wet_chance=wet_chance,
        wet_mean_mm=wet_mean_mm,
        air_low_c=extreme("air_low_c"),
        air_high_c=extreme("air_high_c"),
        wind_high_m_s=extreme("wind_high_m_s"),
        gust_high_m_s=extreme("gust_high_m_s"),
        known=len(month.rain_mm[half]),
    )


def _rain(month_mm: Sequence[float], year_mm: Sequence[float]) -> tuple[float, float]:
    wet_month = [mm for mm in month_mm if mm >= MEASURABLE_MM - ROUNDING_MM]
    wet_year = [mm for mm in year_mm if mm >= MEASURABLE_MM - ROUNDING_MM]
    chance = 0.5 * len(wet_month) / len(month_mm) + 0.5 * len(wet_year) / len(year_mm)
    year_mean = sum(wet_year) / len(wet_year) if wet_year else USUAL_WET_MM
    month_mean = sum(wet_month) / len(wet_month) if wet_month else year_mean
    return max(LEAST_WET_CHANCE, round(chance, 4)), round(0.5 * month_mean + 0.5 * year_mean, 2)


def _hour(month: _Pool, whole: _Pool, hour: int) -> HourClimate:
    def own(name: str) -> Sequence[float]:
        return _own_or(month.hourly[name, hour], whole.hourly[name, hour])

    return HourClimate(
        air_mean_c=round(float(np.mean(own("air_temp_c"))), 2),
        dew_point_mean_c=round(float(np.mean(own("dew_point_c") or own("air_temp_c"))), 2),
        air_temp_c=_quantiles(own("air_temp_c")),
        wind_m_s=_quantiles(own("wind_m_s")),
        gust_m_s=_quantiles(own("gust_m_s")),
    )


def _own_or(own: Sequence[float], all_of_it: Sequence[float]) -> Sequence[float]:
    return own if len(own) >= NEEDED_DAYS else all_of_it


def _quantiles(values: Sequence[float]) -> Quantiles:
    return tuple(round(float(value), 2) for value in np.quantile(values, PROBABILITIES))
