"""How fast fresh concrete would dry, hour by hour, over placing and finishing."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from jobs.domain.exposure import Exposure
from jobs.science.evaporation import (
    WIND_MAX_M_S,
    evaporation_bounds_kg_m2_h,
    evaporation_kg_m2_h,
    surface_wind_m_s,
)
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.watch.domain.report import DryingHour

# The formula's own range; forecast hours outside it stay unknown instead of being stretched.
CONCRETE_MIN_C, CONCRETE_MAX_C = 0.0, 50.0
DEW_POINT_MIN_C, DEW_POINT_MAX_C = -40.0, 50.0
WIND_10M_MAX_M_S = WIND_MAX_M_S / surface_wind_m_s(1.0)


def drying_of(
    exposure: Exposure, series: HourlySeries | None, start_at: datetime, end_at: datetime
) -> tuple[DryingHour, ...]:
    """``drying_hours`` of work that sets, where there is a forecast; else nothing."""
    return drying_hours(series, start_at, end_at) if exposure.sets and series is not None else ()


def drying_hours(series: HourlySeries, start_at: datetime, end_at: datetime) -> tuple[DryingHour, ...]:
    """Evaporation in every clock hour that overlaps [start_at, end_at).

    Parameters
    ----------
    series : forecast with air, dew point and mean wind at 10 m.
    start_at, end_at : placing and finishing, aware.

    Returns
    -------
    tuple of DryingHour
        Menzel's rate [kg/m2/h] for concrete as warm as the air, from the dew point and the wind brought down from
        10 m to 0.5 m. An hour with a value missing or outside the formula's range has no rate.

    Source: menzel_1954, wmo_8; uncertainty of 40 % either way: hover_2020.
    """
    return tuple(_hour(series, at) for at in _hours(start_at, end_at))


def worst_of(hours: Sequence[DryingHour]) -> DryingHour | None:
    """The hour of the highest known rate, the earliest of equals."""
    known = [hour for hour in hours if hour.rate_kg_m2_h is not None]
    return max(known, key=lambda hour: hour.rate_kg_m2_h or 0.0, default=None)


def _hours(start_at: datetime, end_at: datetime) -> list[datetime]:
    at = start_at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    found = []
    while at < end_at:
        found.append(at)
        at += timedelta(hours=1)
    return found


def _hour(series: HourlySeries, at: datetime) -> DryingHour:
    middle = at + HOUR / 2
    air_c, dew_c = series.value("air_temp_c", middle), series.value("dew_point_c", middle)
    wind_10m = series.value("wind_m_s", middle)
    if air_c is None or dew_c is None or wind_10m is None:
        return DryingHour(at=at, rate_kg_m2_h=None)
    if not (CONCRETE_MIN_C <= air_c <= CONCRETE_MAX_C and DEW_POINT_MIN_C <= dew_c <= DEW_POINT_MAX_C):
        return DryingHour(at=at, rate_kg_m2_h=None)
    if not 0 <= wind_10m <= WIND_10M_MAX_M_S:
        return DryingHour(at=at, rate_kg_m2_h=None)
    wind_m_s = min(WIND_MAX_M_S, surface_wind_m_s(wind_10m))
    rate = evaporation_kg_m2_h(air_c, dew_c, wind_m_s)
    low, high = evaporation_bounds_kg_m2_h(rate)
    return DryingHour(
        at=at,
        rate_kg_m2_h=rate,
        low_kg_m2_h=low,
        high_kg_m2_h=high,
        concrete_temp_c=air_c,
        dew_point_c=dew_c,
        wind_m_s=wind_m_s,
    )
