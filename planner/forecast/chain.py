"""Which services a branch asks, in order, each standing in for those before it."""

from datetime import timedelta
from functools import lru_cache, partial
from pathlib import Path

from django.conf import settings
from django.utils.module_loading import import_string

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.forecast.domain.outside.providers import MET, NWS, NWS_HOURLY, OPEN_METEO, REPLAY, Provider, order_for
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.models import RecordedSky
from planner.forecast.sources.client import Pace
from planner.forecast.sources.met import MetSource
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.nws_hourly import NwsHourlySource
from planner.forecast.sources.open_meteo import PAID_URL, OpenMeteoSource
from planner.forecast.sources.replay import ReplaySource
from planner.forecast.sources.source import ForecastSource
from planner.forecast.sources.station_csv import read_station_csv
from planner.forecast.url_memory import DatabaseMemory


def providers_of(*, branch: Branch, recorded: RecordedSky | None) -> tuple[Provider, ...]:
    """The services that serve a branch, in order; a recorded sky has nothing to stand in for it."""
    if recorded is not None:
        return (REPLAY,)
    return order_for(
        branch.country, open_meteo=bool(settings.PLANNER_OPEN_METEO_KEY or settings.PLANNER_OPEN_METEO_URL)
    )


def recorded_sky_of(*, branch: Branch) -> RecordedSky | None:
    return RecordedSky.objects.filter(branch=branch).first()


def sources_of(*, branch: Branch) -> tuple[ForecastSource, ...]:
    """The sources that serve a branch, the one asked first in front.

    Raises
    ------
    CannotDo
        ``forecast.no_contact`` where a live service would be asked without a contact address.
    """
    recorded = recorded_sky_of(branch=branch)
    if recorded is not None:
        return (replay(recorded.record, branch.zone, recorded.shift_days, recorded.seed),)
    _require_contact()
    return tuple(_live(provider) for provider in providers_of(branch=branch, recorded=None))


def nws_of(*, branch: Branch) -> NwsSource | None:
    """The US service, which also gives warnings and measurements, where it serves a branch.

    Raises
    ------
    CannotDo
        ``forecast.no_contact``.
    """
    recorded = recorded_sky_of(branch=branch)
    if NWS not in providers_of(branch=branch, recorded=recorded):
        return None
    _require_contact()
    return _nws()


def _require_contact() -> None:
    if "@" not in settings.PLANNER_USER_AGENT:
        raise CannotDo("forecast.no_contact", field="PLANNER_USER_AGENT", value=settings.PLANNER_USER_AGENT)


def pace_of(provider: Provider) -> Pace | None:
    """What waits for a request's turn at a service; ``None`` where nothing does."""
    if not settings.FORECAST_PACE or not (provider.a_second or provider.one_at_once):
        return None
    return partial(import_string(settings.FORECAST_PACE), a_second=provider.a_second, one_at_once=provider.one_at_once)


def _nws() -> NwsSource:
    return NwsSource(
        base_url=settings.PLANNER_NWS_URL,
        user_agent=settings.PLANNER_USER_AGENT,
        memory=DatabaseMemory(),
        pace=pace_of(NWS),
    )


def _live(provider: Provider) -> ForecastSource:
    agent, memory, pace = settings.PLANNER_USER_AGENT, DatabaseMemory(), pace_of(provider)
    if provider == NWS:
        return _nws()
    if provider == NWS_HOURLY:
        return NwsHourlySource(base_url=settings.PLANNER_NWS_URL, user_agent=agent, memory=memory, pace=pace)
    if provider == MET:
        return MetSource(base_url=settings.PLANNER_MET_URL, user_agent=agent, memory=memory, pace=pace)
    if provider == OPEN_METEO:
        return OpenMeteoSource(
            base_url=settings.PLANNER_OPEN_METEO_URL or PAID_URL,
            api_key=settings.PLANNER_OPEN_METEO_KEY,
            user_agent=agent,
            memory=memory,
            pace=pace,
        )
    raise ValueError(f"{provider.key} is no live service")


@lru_cache(maxsize=8)
def recorded_weather(name: str, zone: str) -> TrueWeather:
    """A recorded season; the files ship with the product and do not change while it runs."""
    return read_station_csv(Path(settings.WEATHER_RECORDS) / name, zone=zone)


@lru_cache(maxsize=8)
def replay(name: str, zone: str, shift_days: int, seed: int) -> ReplaySource:
    return ReplaySource(recorded_weather(name, zone), shift=timedelta(days=shift_days), seed=seed)
