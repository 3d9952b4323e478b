"""Measured hours of a branch that plans against recorded weather."""

from datetime import datetime, timedelta

from planner.forecast.chain import recorded_weather
from planner.forecast.domain.series import HourlySeries
from planner.forecast.models import RecordedSky


def recorded_hours(recorded: RecordedSky, zone: str, *, from_at: datetime, until_at: datetime) -> HourlySeries | None:
    """The record's weather at its moved dates in [from_at, until_at); ``None`` where it holds none of it."""
    record = recorded_weather(recorded.record, zone).moved(timedelta(days=recorded.shift_days))
    truth = record.between(from_at, until_at)
    if not truth.hours:
        return None
    unknown = (None,) * truth.hours
    return HourlySeries(
        source="observed",
        issued_at=until_at,
        start_at=truth.start_at,
        air_temp_c=truth.air_temp_c,
        dew_point_c=truth.dew_point_c,
        wind_m_s=truth.wind_m_s,
        gust_m_s=truth.gust_m_s,
        rain_chance=unknown,
        rain_mm=truth.rain_mm,
        thunder_chance=unknown,
        sky_cover=unknown,
    )
