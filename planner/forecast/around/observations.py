"""What stations near sites measured: asked for day by day, kept, and read as the hours before now."""

from collections.abc import Collection, Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta

from django.db import transaction

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.intervals import ceil_hour, floor_hour
from planner.forecast.domain.outside.observed import filled, hours_of, joined
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.models import GridPlace, StationDay
from planner.forecast.selectors import find_grid_places
from planner.forecast.services import LOOK_UP_AGAIN_AFTER, cell_of
from planner.forecast.snapshots import observed_of, pack
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.nws_observations import NwsObservations

STATIONS_TRIED = 3
# Reports come late and are corrected; a day is asked for again until it has been over for this long.
SETTLED_AFTER = timedelta(hours=3)
ASK_AGAIN_AFTER = timedelta(minutes=20)
# Below this share of hours with known rain the next station is asked too.
ENOUGH_KNOWN = 0.5


def pull_observations(*, source: NwsSource, place: Place, now: datetime, days: int = 5) -> str:
    """Fetch what the nearest station that reports rain measured in the last days, and keep it.

    Returns
    -------
    str
        Code of the station; empty if none within reach reports rain.

    Raises
    ------
    CannotDo, OutsideFailure
        As the source says; what was kept stays.
    """
    observations = NwsObservations(source.client)
    failure: OutsideFailure | None = None
    for station in _stations(source, observations, place, now):
        try:
            for day_on in _days_back(now, days):
                _pull_day(observations, station, day_on, now)
        except OutsideFailure as failed:
            failure = failed
            continue
        kept = _hours({station}, now - timedelta(days=days), now).get(station)
        if kept is not None and _share_with_rain(kept) >= ENOUGH_KNOWN:
            return station
    if failure is not None:
        raise failure
    return ""


def measured_near(
    *, source: str, places: Sequence[Place], from_at: datetime, now: datetime
) -> dict[Place, HourlySeries]:
    """The measured hours before now near places: of the first station that knows enough rain, else of the best one."""
    stations = {place: cell.stations for place, cell in find_grid_places(source=source, places=places).items()}
    codes = {code for near in stations.values() for code in near}
    series = _hours(codes, from_at, now)
    found = {}
    for place, near in stations.items():
        known = [series[code] for code in near if code in series]
        if known:
            enough = (entry for entry in known if _share_with_rain(entry) >= ENOUGH_KNOWN)
            found[place] = next(enough, max(known, key=_share_with_rain))
    return found


def _stations(source: NwsSource, observations: NwsObservations, place: Place, now: datetime) -> list[str]:
    cell = cell_of(source=source, place=place, now=now)
    known: list[str] = list(cell.stations)
    if known and cell.stations_at is not None and now - cell.stations_at < LOOK_UP_AGAIN_AFTER:
        return known
    try:
        found = observations.stations(cell.grid_key, place, now)[:STATIONS_TRIED]
    except OutsideFailure:
        if not known:
            raise
        return known
    codes = [station.code for station in found]
    GridPlace.objects.filter(pk=cell.pk).update(stations=codes, stations_at=now)
    return codes


def _days_back(now: datetime, days: int) -> Iterable[date]:
    today = now.astimezone(UTC).date()
    return (today - timedelta(days=back) for back in range(days, -1, -1))


def _pull_day(observations: NwsObservations, station: str, day_on: date, now: datetime) -> None:
    """Fetch one UTC day of a station, unless it is settled or was asked for just now."""
    start_at = datetime.combine(day_on, time(), tzinfo=UTC)
    kept = StationDay.objects.filter(station=station, day_on=day_on).first()
    if kept is not None:
        settled = kept.fetched_at >= start_at + timedelta(days=1) + SETTLED_AFTER
        if settled or now - kept.fetched_at < ASK_AGAIN_AFTER:
            return
    reports = observations.reports(station, start_at, start_at + timedelta(days=1), now)
    keep_day(hours_of(reports, source=station, start_at=start_at, hours=24, fetched_at=now), station=station)


def keep_day(series: HourlySeries, *, station: str) -> StationDay:
    """Keep a station's UTC day; an hour that is unknown now and was known before keeps its value."""
    day_on = series.start_at.astimezone(UTC).date()
    with transaction.atomic():
        kept = StationDay.objects.select_for_update().filter(station=station, day_on=day_on).first()
        whole = series if kept is None else filled(series, observed_of(kept))
        row, _ = StationDay.objects.update_or_create(
            station=station, day_on=day_on, defaults={"fetched_at": series.issued_at, "packed": pack(whole)}
        )
    return row


def _hours(stations: Collection[str], from_at: datetime, now: datetime) -> dict[str, HourlySeries]:
    """The kept hours of stations from a moment to now; a station without any is left out."""
    from_at, until_at = floor_hour(from_at), ceil_hour(now)
    rows = StationDay.objects.filter(
        station__in=stations, day_on__gte=from_at.date(), day_on__lte=until_at.date()
    ).order_by("day_on")
    days: dict[str, list[HourlySeries]] = {}
    for row in rows:
        days.setdefault(row.station, []).append(observed_of(row))
    return {
        station: joined(kept, from_at=from_at, until_at=until_at, source=f"station {station}")
        for station, kept in days.items()
    }


def _share_with_rain(series: HourlySeries) -> float:
    # The hour under way has no full report yet.
    closed = series.rain_mm[:-1]
    return sum(value is not None for value in closed) / len(closed) if closed else 0.0


def rain_between(series: HourlySeries, from_at: datetime, until_at: datetime) -> tuple[float, float]:
    """Rain of [from_at, until_at) [mm] over its known hours, and the share of hours known [0..1]."""
    values = series.between("rain_mm", from_at, until_at)
    known = [value for value in values if value is not None]
    hours = (until_at - from_at) / HOUR
    return sum(known), min(1.0, len(known) / hours) if hours > 0 else 1.0
