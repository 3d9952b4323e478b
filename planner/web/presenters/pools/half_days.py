"""The sky over a site cut into half-days for a drawing: the forecast where it reaches, past years behind it."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from jobs.domain.facts import SiteFacts
from planner.forecast.domain.chance import widen
from planner.forecast.domain.climate import PROBABILITIES, Climate, HalfDayClimate, Quantiles
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.site_sky import SiteSky
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.skies.half_sky import DAY_FROM, NIGHT_FROM, HalfDay

MIDDLE = PROBABILITIES.index(0.5)
DAY = timedelta(days=1)

Values = Sequence[float | None]


def half_days(
    sky: SiteSky | None, climate: Climate, *, zone: ZoneInfo, from_on: date, days: int
) -> tuple[HalfDay, ...]:
    """Every half-day from the early morning of ``from_on`` on.

    A half-day the forecast covers in part is no less wet than past years say, and an old forecast is drawn up to
    them: what is not known never reads as dry.
    """
    return tuple(_halves(sky, climate, zone, from_on, days))


def skies_by_day(reader: Reader, site: SiteFacts | None, from_on: date, days: int) -> Mapping[date, HalfDay]:
    """The daylight half of every day over a site; nothing known where no site is meant."""
    if site is None:
        return {}
    sky = reader.world.skies.get(site.id)
    halves = half_days(sky, reader.world.climate, zone=reader.zone, from_on=from_on, days=days)
    return {half.from_at.date(): half for half in halves if not half.night}


def _halves(sky: SiteSky | None, climate: Climate, zone: ZoneInfo, from_on: date, days: int) -> Iterator[HalfDay]:
    before = from_on - DAY
    yield _half(sky, climate, _at(before, NIGHT_FROM, zone), _at(from_on, DAY_FROM, zone), night=True)
    for at in range(days):
        on = from_on + at * DAY
        yield _half(sky, climate, _at(on, DAY_FROM, zone), _at(on, NIGHT_FROM, zone), night=False)
        yield _half(sky, climate, _at(on, NIGHT_FROM, zone), _at(on + DAY, DAY_FROM, zone), night=True)


def _at(on: date, hour: time, zone: ZoneInfo) -> datetime:
    return datetime.combine(on, hour, tzinfo=zone)


def _half(sky: SiteSky | None, climate: Climate, from_at: datetime, until_at: datetime, *, night: bool) -> HalfDay:
    usual = climate.half_day(from_at.month, int(night))
    chances = _hours(sky, "rain_chance", from_at, until_at)
    known = [value for value in chances if value is not None]
    if sky is None or not known:
        return _usual(usual, from_at, until_at, night)
    freshness = sky.freshness if sky.series is not None else Freshness.DOWN
    chance = widen(max(known), freshness, usual.wet_chance)
    if len(known) < len(chances):
        chance = max(chance, usual.wet_chance)
    temps = [value for value in _hours(sky, "air_temp_c", from_at, until_at) if value is not None]
    winds = [value for value in _hours(sky, "wind_m_s", from_at, until_at) if value is not None]
    return HalfDay(
        from_at=from_at,
        until_at=until_at,
        rain_chance=chance,
        low_c=min(temps, default=None),
        high_c=max(temps, default=None),
        wind_m_s=max(winds, default=None),
        night=night,
    )


def _hours(sky: SiteSky | None, variable: str, from_at: datetime, until_at: datetime) -> Values:
    if sky is None or sky.series is None:
        return ()
    return sky.series.between(variable, from_at, until_at)


def _usual(usual: HalfDayClimate, from_at: datetime, until_at: datetime, night: bool) -> HalfDay:
    return HalfDay(
        from_at=from_at,
        until_at=until_at,
        rain_chance=usual.wet_chance,
        low_c=_median(usual.air_low_c),
        high_c=_median(usual.air_high_c),
        wind_m_s=_median(usual.wind_high_m_s),
        climate=True,
        night=night,
    )


def _median(values: Quantiles) -> float:
    return values[MIDDLE]
