"""The day's sky over a site by the hour, where it comes from and how old it is."""

from datetime import datetime, time, timedelta

from crews.domain.working_time import local_moment
from jobs.domain.facts import SiteFacts
from planner.dayplans.domain.day import Day
from planner.dayplans.facts import Forecast, SkyHour
from planner.forecast.domain.chance import WIDENING
from planner.forecast.domain.series import HourlySeries

FROM_HOUR, UNTIL_HOUR = 5, 21
HALF_HOUR = timedelta(minutes=30)
SHOWN = ("air_temp_c", "rain_chance", "rain_mm", "wind_m_s", "gust_m_s", "thunder_chance", "sky_cover")
SOURCES = {
    "nws": "the US National Weather Service",
    "nws_hourly": "the US National Weather Service, hourly text",
    "met": "MET Norway (CC BY 4.0), made hourly by us",
    "open_meteo": "Open-Meteo.com (CC BY 4.0), made hourly by us",
    "replay": "recorded weather, played back as a forecast",
}


def sky_hours(day: Day, site: SiteFacts | None) -> tuple[SkyHour, ...]:
    """The forecast from 5:00 to 21:00 local time; empty where nothing of it is known."""
    series = series_over(day, site)
    if series is None or site is None:
        return ()
    light = day.daylight(site)
    hours = []
    for starts_at in moments_of(day):
        values = {name: series.value(name, starts_at) for name in SHOWN}
        middle = starts_at + HALF_HOUR
        night = light is not None and not light.sunrise_at <= middle < light.sunset_at
        hours.append(SkyHour(starts_at=starts_at, night=night, **values))
    known = any(getattr(one, name) is not None for one in hours for name in SHOWN)
    return tuple(hours) if known else ()


def forecast_of(day: Day, site: SiteFacts | None) -> Forecast:
    """Source, issue time and age of the forecast of a site; where there is none, that is said."""
    series = series_over(day, site)
    if series is None or site is None:
        return Forecast(source="no forecast", issued_at=None, age="age not known", stale=True)
    return Forecast(
        source=f"{SOURCES.get(series.source, series.source)}, for {site.name}",
        issued_at=series.issued_at,
        age=age_words(series.issued_at, day.world.as_of),
        stale=WIDENING[day.world.skies[site.id].freshness] >= 1.0,
    )


def age_words(issued_at: datetime, now: datetime) -> str:
    """The age of a forecast.

    >>> from datetime import UTC
    >>> issued_at = datetime(2026, 6, 8, 4, tzinfo=UTC)
    >>> age_words(issued_at, issued_at + timedelta(minutes=95)), age_words(issued_at, issued_at)
    ('1 hour old', 'just issued')
    """
    minutes = (now - issued_at) // timedelta(minutes=1)
    if minutes < 0:
        return "issued after this plan was read"
    for length, name in ((2880, "day"), (60, "hour"), (1, "minute")):
        if minutes >= length:
            count = minutes // (1440 if name == "day" else length)
            return f"{count} {name}{'' if count == 1 else 's'} old"
    return "just issued"


def series_over(day: Day, site: SiteFacts | None) -> HourlySeries | None:
    """The forecast of a site, if there is one."""
    sky = day.world.skies.get(site.id) if site is not None else None
    return sky.series if sky is not None else None


def moments_of(day: Day) -> list[datetime]:
    """The hours of the day people may work in."""
    return [local_moment(day.world.branch.zone, day.on, time(hour)) for hour in range(FROM_HOUR, UNTIL_HOUR)]
