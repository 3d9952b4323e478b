"""The sky over a branch: which source serves it, pulling for its sites, and what is known at a moment."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from pathlib import Path
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction

from jobs.domain.errors import CannotDo, OutsideFailure
from jobs.domain.facts import SiteFacts
from jobs.models import Branch
from planner.forecast.domain.climate import Climate, ObservedHour
from planner.forecast.domain.freshness import Freshness, freshness_of
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.domain.site_sky import SiteSky
from planner.forecast.domain.station import climate_from_hours
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.models import ClimateRecord, ForecastRun, RecordedSky
from planner.forecast.selectors import find_latest_runs
from planner.forecast.services import pull_forecast
from planner.forecast.snapshots import series_of
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.replay import ReplaySource
from planner.forecast.sources.source import ForecastSource
from planner.forecast.sources.station_csv import read_station_csv

# Rain of the last days decides how wet the ground still is.
LOOK_BACK = timedelta(days=5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulled:
    """What one pull brought: runs, how many of them new, and the sites the source failed for."""

    runs: tuple[ForecastRun, ...]
    fresh: int
    failures: tuple[str, ...]


def source_of(*, branch: Branch) -> ForecastSource:
    """The source that serves a branch: its recorded sky if it has one, else the US weather service.

    Raises
    ------
    CannotDo
        ``forecast.no_contact`` where the live service would be asked without a contact address.
    """
    recorded = RecordedSky.objects.filter(branch=branch).first()
    if recorded is not None:
        return _replay(recorded.record, branch.zone, recorded.shift_days, recorded.seed)
    if "@" not in settings.PLANNER_USER_AGENT:
        raise CannotDo("forecast.no_contact", field="PLANNER_USER_AGENT", value=settings.PLANNER_USER_AGENT)
    return NwsSource(base_url=settings.PLANNER_NWS_URL, user_agent=settings.PLANNER_USER_AGENT)


@lru_cache(maxsize=8)
def _record(name: str, zone: str) -> TrueWeather:
    """A recorded season; the files ship with the product and do not change while it runs."""
    return read_station_csv(Path(settings.WEATHER_RECORDS) / name, zone=zone)


@lru_cache(maxsize=8)
def _replay(name: str, zone: str, shift_days: int, seed: int) -> ReplaySource:
    return ReplaySource(_record(name, zone), shift=timedelta(days=shift_days), seed=seed)


def pull_for_branch(*, branch: Branch, sites: Sequence[SiteFacts], now: datetime) -> Pulled:
    """Pull once for each map cell under the sites; a site that fails leaves the others alone.

    Raises
    ------
    CannotDo
        Where a site lies outside the source's coverage.
    """
    source = source_of(branch=branch)
    runs: dict[int, ForecastRun] = {}
    fresh = 0
    failures = []
    for site in sites:
        place = Place(latitude=site.latitude, longitude=site.longitude)
        try:
            run, created = pull_forecast(source=source, place=place, now=now)
        except OutsideFailure as failure:
            failures.append(f"{site.name}: {failure}")
            continue
        fresh += created and run.pk not in runs
        runs[run.pk] = run
    return Pulled(runs=tuple(runs.values()), fresh=fresh, failures=tuple(failures))


def skies_over(*, branch: Branch, sites: Sequence[SiteFacts], as_of: datetime) -> dict[int, SiteSky]:
    """What was known of the sky over each site at a moment, by site id."""
    recorded = RecordedSky.objects.filter(branch=branch).first()
    source = "replay" if recorded is not None else "nws"
    observed = _observed(recorded, branch.zone, as_of) if recorded is not None else None
    runs = find_latest_runs(
        source=source,
        places=tuple(Place(latitude=site.latitude, longitude=site.longitude) for site in sites),
        as_of=as_of,
    )
    unpacked: dict[int, HourlySeries] = {}
    found = {}
    for site in sites:
        run = runs.get(Place(latitude=site.latitude, longitude=site.longitude))
        if run is None:
            found[site.id] = SiteSky(series=None, freshness=Freshness.DOWN, observed=observed)
            continue
        if run.pk not in unpacked:
            unpacked[run.pk] = series_of(run)
        found[site.id] = SiteSky(
            series=unpacked[run.pk],
            freshness=freshness_of(
                issued_at=run.issued_at, checked_at=run.checked_at, horizon_end_at=run.horizon_end_at, now=as_of
            ),
            observed=observed,
            run=run.pk,
        )
    return found


def _observed(recorded: RecordedSky, zone: str, as_of: datetime) -> HourlySeries | None:
    record = _record(recorded.record, zone).moved(timedelta(days=recorded.shift_days))
    truth = record.between(as_of - LOOK_BACK, as_of)
    if not truth.hours:
        return None
    unknown = (None,) * truth.hours
    return HourlySeries(
        source="observed",
        issued_at=as_of,
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


def load_climate(*, branch: Branch, weather: TrueWeather, made_from: str, now: datetime) -> ClimateRecord:
    """Make and keep the climate of a branch from hourly observations, in place of what it had."""
    hours = (
        ObservedHour(
            start_at=weather.start_at + at * HOUR,
            air_temp_c=weather.air_temp_c[at],
            dew_point_c=weather.dew_point_c[at],
            wind_m_s=weather.wind_m_s[at],
            gust_m_s=weather.gust_m_s[at],
            rain_mm=weather.rain_mm[at],
        )
        for at in range(weather.hours)
    )
    climate = climate_from_hours(hours, zone=ZoneInfo(weather.zone))
    with transaction.atomic():
        row, _ = ClimateRecord.objects.update_or_create(
            branch=branch,
            defaults={"made_from": made_from, "loaded_at": now, "table": climate.to_json()},
        )
    return row


def climate_of(*, branch: Branch) -> Climate:
    """The climate of a branch.

    Raises
    ------
    CannotDo
        ``forecast.no_climate`` where none was loaded.
    """
    row = ClimateRecord.objects.filter(branch=branch).first()
    if row is None:
        raise CannotDo("forecast.no_climate", field="branch", branch=branch.name)
    return Climate.from_json(row.table)
