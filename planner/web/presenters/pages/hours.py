"""Hours of a site's forecast for the hourly drawing and its table."""

from datetime import UTC, date, datetime, time, timedelta

from crews.domain.daylight import Daylight, daylight_on
from crews.domain.travel import Place
from crews.domain.working_time import local_moment
from jobs.domain.errors import CannotDo
from jobs.domain.facts import SiteFacts
from planner.dayplans.facts import SkyHour
from planner.dayplans.presenters.hours import SkyRow, present_hour
from planner.web.presenters.pools.reader import Reader

HOUR = timedelta(hours=1)
SHOWN = ("air_temp_c", "rain_chance", "rain_mm", "wind_m_s", "gust_m_s", "thunder_chance", "sky_cover")


def hours_between(reader: Reader, site: SiteFacts, from_at: datetime, until_at: datetime) -> tuple[SkyHour, ...]:
    """Every clock hour that overlaps [from_at, until_at); hours the forecast does not reach are unknown."""
    sky = reader.world.skies.get(site.id)
    series = sky.series if sky is not None else None
    at = from_at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    found = []
    while at < until_at:
        values = {name: series.value(name, at) if series is not None else None for name in SHOWN}
        found.append(SkyHour(starts_at=at, night=_is_night(reader, site, at), **values))
        at += HOUR
    return tuple(found)


def hours_of_day(reader: Reader, site: SiteFacts, on: date) -> tuple[SkyHour, ...]:
    """The hours of a local date, midnight to midnight."""
    zone = reader.world.branch.zone
    return hours_between(
        reader, site, local_moment(zone, on, time()), local_moment(zone, on + timedelta(days=1), time())
    )


def hour_rows(reader: Reader, hours: tuple[SkyHour, ...]) -> tuple[SkyRow, ...]:
    """The same hours as rows of a table."""
    return tuple(present_hour(one, reader.zone, reader.gettext) for one in hours)


def _is_night(reader: Reader, site: SiteFacts, at: datetime) -> bool:
    light = _daylight(reader, site, reader.date_of(at))
    middle = at + HOUR / 2
    return light is not None and not light.sunrise_at <= middle < light.sunset_at


def _daylight(reader: Reader, site: SiteFacts, on: date) -> Daylight | None:
    """Sunrise and sunset; ``None`` where the sun does not both rise and set."""
    try:
        place = Place(latitude_deg=site.latitude, longitude_deg=site.longitude)
        return daylight_on(place, on, reader.world.branch.zone)
    except CannotDo as error:
        if error.code != "crews.no_sunrise":
            raise
        return None
