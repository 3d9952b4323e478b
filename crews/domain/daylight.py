"""Daylight at a site: sunrise, sunset and civil twilight of one local date."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import lru_cache
from zoneinfo import ZoneInfo

from astral import Depression, Observer
from astral import sun as astral_sun

from crews.domain.travel import Place
from jobs.domain.errors import CannotDo

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Daylight:
    """Moments of light on one local date, aware UTC.

    ``dawn_at`` and ``dusk_at`` bound civil twilight (sun 6 degrees below the horizon); ``None`` where twilight
    lasts through the night (high latitudes in summer).
    """

    dawn_at: datetime | None
    sunrise_at: datetime
    sunset_at: datetime
    dusk_at: datetime | None


@lru_cache(maxsize=65536)
def daylight_on(place: Place, on: date, zone: str) -> Daylight:
    """Sunrise, sunset and civil twilight of a local date at sea level with a flat horizon.

    Parameters
    ----------
    place : Place
        Position [decimal degrees].
    on : date
        Local date.
    zone : str
        IANA time zone that the date is meant in.

    Returns
    -------
    Daylight
        Aware UTC moments, of an even horizon and usual refraction: within a minute of the published almanacs tested,
        and below 50 degrees within half a minute of when the solar position algorithm has the sun there, for twilight
        within 0.08 degrees of it. Real refraction moves a sunset by a minute or two, more over cold ground;
        hills, houses and trees are not known.

    Raises
    ------
    CannotDo
        The sun does not both rise and set on that date.
    """
    observer = Observer(latitude=place.latitude_deg, longitude=place.longitude_deg)
    tz = ZoneInfo(zone)
    try:
        sunrise_at = astral_sun.sunrise(observer, on, tzinfo=tz)
        sunset_at = astral_sun.sunset(observer, on, tzinfo=tz)
        # Far north in summer the evening's sunset comes after midnight, on the next date.
        if sunset_at < sunrise_at:
            sunset_at = astral_sun.sunset(observer, on + DAY, tzinfo=tz)
    except ValueError as error:
        raise CannotDo(
            "crews.no_sunrise",
            field="on",
            on=on,
            latitude_deg=place.latitude_deg,
            longitude_deg=place.longitude_deg,
        ) from error
    return Daylight(
        dawn_at=_dawn_before(sunrise_at, observer, on, tz),
        sunrise_at=sunrise_at.astimezone(UTC),
        sunset_at=sunset_at.astimezone(UTC),
        dusk_at=_dusk_after(sunset_at, observer, on, tz),
    )


# The library raises ValueError where the sun never gets as low as 6 degrees: twilight joins twilight.


def _dawn_before(sunrise_at: datetime, observer: Observer, on: date, tz: tzinfo) -> datetime | None:
    try:
        dawn_at = astral_sun.dawn(observer, on, depression=Depression.CIVIL, tzinfo=tz)
        if dawn_at > sunrise_at:
            dawn_at = astral_sun.dawn(observer, on - DAY, depression=Depression.CIVIL, tzinfo=tz)
    except ValueError:
        return None
    return dawn_at.astimezone(UTC)


def _dusk_after(sunset_at: datetime, observer: Observer, on: date, tz: tzinfo) -> datetime | None:
    try:
        dusk_at = astral_sun.dusk(observer, on, depression=Depression.CIVIL, tzinfo=tz)
        if dusk_at < sunset_at:
            dusk_at = astral_sun.dusk(observer, on + DAY, depression=Depression.CIVIL, tzinfo=tz)
    except ValueError:
        return None
    return dusk_at.astimezone(UTC)
