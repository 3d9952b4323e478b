"""The sky over a branch: pulling for its sites, and what is known at a moment."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction

from jobs.domain.errors import CannotDo, DryWindowError
from jobs.domain.facts import SiteFacts
from jobs.models import Branch
from planner.forecast.around.alerts import PlaceAlerts, alerts_at, pull_alerts
from planner.forecast.around.observations import measured_near, pull_observations
from planner.forecast.around.recorded import recorded_hours
from planner.forecast.chain import nws_of, providers_of, recorded_sky_of, sources_of
from planner.forecast.domain.climate import Climate, ObservedHour
from planner.forecast.domain.freshness import Freshness, freshness_of
from planner.forecast.domain.halfday import HalfDays
from planner.forecast.domain.outside.providers import NWS
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.domain.site_sky import SiteSky
from planner.forecast.domain.station import climate_from_hours
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.domain.verification.calibration import calibrated
from planner.forecast.models import ClimateRecord, ForecastRun
from planner.forecast.pulling import pull_chain
from planner.forecast.selectors import find_latest_runs
from planner.forecast.snapshots import series_of
from planner.forecast.verification import calibrations_of

# Rain of the last days decides how wet the ground still is.
LOOK_BACK = timedelta(days=5)
NO_ALERTS = PlaceAlerts(alerts=(), checked_at=None)
# Usable runs count by the order of their sources, the others by age first.
_RANKS = {Freshness.FRESH: 0, Freshness.AGEING: 0, Freshness.STALE: 1, Freshness.DOWN: 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulled:
    """What one pull brought: runs, how many of them new, and the sites no source answered for.

    ``notes`` tells of sources that failed where another stood in.
    """

    runs: tuple[ForecastRun, ...]
    fresh: int
    failures: tuple[str, ...]
    notes: tuple[str, ...] = ()


def pull_for_branch(*, branch: Branch, sites: Sequence[SiteFacts], now: datetime) -> Pulled:
    """Pull once for each map cell under the sites, from the first source that answers for it.

    Raises
    ------
    CannotDo
        Where no source has a forecast for any site, or nobody is named to the live services.
    """
    pull = pull_chain(sources=sources_of(branch=branch), places=[_place(site) for site in sites], now=now)
    runs = {run.pk: run for run in pull.runs.values()}
    failures, notes = [], []
    for site in sites:
        place = _place(site)
        if place in pull.failed:
            failures.append(f"{site.name}: {pull.failed[place]}")
        else:
            notes += [f"{site.name}: {note}" for note in pull.notes.get(place, ())]
    return Pulled(
        runs=tuple(runs.values()), fresh=len(pull.new & runs.keys()), failures=tuple(failures), notes=tuple(notes)
    )


def skies_over(*, branch: Branch, sites: Sequence[SiteFacts], as_of: datetime) -> dict[int, SiteSky]:
    """What was known of the sky over each site at a moment, by site id.

    Of the newest runs of each source, the first usable one in the branch's order counts, alone; if none is usable,
    the least old. Sources are never mixed. Chances of rain are as they come true over the branch, once enough of the
    source's windows are verified.
    """
    recorded = recorded_sky_of(branch=branch)
    providers = providers_of(branch=branch, recorded=recorded)
    places = tuple(_place(site) for site in sites)
    runs = {provider: find_latest_runs(source=provider.key, places=places, as_of=as_of) for provider in providers}
    if recorded is not None:
        truth = recorded_hours(recorded, branch.zone, from_at=as_of - LOOK_BACK, until_at=as_of)
        observed = {} if truth is None else dict.fromkeys(places, truth)
    else:
        observed = measured_near(source=NWS.key, places=places, from_at=as_of - LOOK_BACK, now=as_of)
    warned = alerts_at(base_url=settings.PLANNER_NWS_URL, places=places, now=as_of) if NWS in providers else {}
    corrections, half_days = calibrations_of(branch=branch), HalfDays(ZoneInfo(branch.zone))
    unpacked: dict[int, HourlySeries] = {}
    found = {}
    for site in sites:
        place = _place(site)
        candidates = [
            (_age_of(run, as_of), at, run)
            for at, provider in enumerate(providers)
            if (run := runs[provider].get(place)) is not None
        ]
        told = warned.get(place, NO_ALERTS)
        if not candidates:
            found[site.id] = SiteSky(
                series=None,
                freshness=Freshness.DOWN,
                observed=observed.get(place),
                alerts=told.alerts,
                alerts_at=told.checked_at,
            )
            continue
        freshness, at, run = min(candidates, key=lambda entry: (_RANKS[entry[0]], entry[1]))
        maps = corrections.get(run.source, {})
        if run.pk not in unpacked:
            unpacked[run.pk] = calibrated(series_of(run), maps, half_days)
        found[site.id] = SiteSky(
            series=unpacked[run.pk],
            freshness=freshness,
            observed=observed.get(place),
            run=run.pk,
            stands_in=at > 0,
            corrected_by=sum(one.windows for one in maps.values()),
            alerts=told.alerts,
            alerts_at=told.checked_at,
        )
    return found


def pull_surroundings(*, branch: Branch, sites: Sequence[SiteFacts], now: datetime) -> tuple[str, ...]:
    """Ask for warnings at each site and for what stations near it measured, where a service of the branch tells.

    Returns
    -------
    tuple of str
        What failed, by site; what was kept before stays.

    Raises
    ------
    CannotDo
        ``forecast.no_contact``.
    """
    source = nws_of(branch=branch)
    if source is None:
        return ()
    failures = []
    for site in sites:
        place = _place(site)
        try:
            pull_alerts(source=source, place=place, now=now)
            pull_observations(source=source, place=place, now=now)
        except DryWindowError as failure:
            failures.append(f"{site.name}: {failure}")
    return tuple(failures)


def _place(site: SiteFacts) -> Place:
    return Place(latitude=site.latitude, longitude=site.longitude)


def _age_of(run: ForecastRun, as_of: datetime) -> Freshness:
    return freshness_of(
        issued_at=run.issued_at, checked_at=run.checked_at, horizon_end_at=run.horizon_end_at, now=as_of
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
