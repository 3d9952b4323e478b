"""What forecasts were worth over a branch: told chances beside what stations measured, and the maps made from them."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Protocol
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import Count, Q

from jobs.domain.errors import DryWindowError
from jobs.models import Branch, Site
from planner.forecast.around.observations import SETTLED_AFTER, measured_near
from planner.forecast.around.recorded import recorded_hours
from planner.forecast.chain import providers_of, recorded_sky_of
from planner.forecast.domain.halfday import HalfDays
from planner.forecast.domain.intervals import floor_hour
from planner.forecast.domain.outside.providers import NWS, Provider
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HourlySeries
from planner.forecast.domain.verification.calibration import BANDS, Band, CalibrationMap, band_of, fit
from planner.forecast.domain.verification.scores import Tally
from planner.forecast.domain.verification.windows import (
    LEAD_DAYS,
    MeasuredHalfDay,
    Verified,
    measured_half_days,
    run_for,
    verified,
)
from planner.forecast.models import Calibration, ForecastRun, RecordedSky, VerifiedWindow
from planner.forecast.selectors import find_grid_places
from planner.forecast.snapshots import series_of

# Reports come late; a half-day that nobody has measured within two weeks is given up.
LOOK_BACK = timedelta(days=14)
KEPT_FOR = timedelta(days=730)
# Packed series are read so many at a time.
RUNS_AT_ONCE = 200

Cell = tuple[str, str]


class Located(Protocol):
    """Anything with coordinates [degrees]: a site's facts, or its row."""

    @property
    def latitude(self) -> float: ...

    @property
    def longitude(self) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """How often each chance was told of a source's half-days a day of the lead ahead, and how often it came."""

    source: str
    lead_day: int
    tallies: tuple[Tally, ...]


def verify_branch(*, branch: Branch, sites: Sequence[Located], now: datetime) -> int:
    """Compare what was told of every half-day over with what came, keep it, and fit the branch's maps anew.

    Returns
    -------
    int
        How many windows are new. Asking again changes nothing.
    """
    recorded = recorded_sky_of(branch=branch)
    places = tuple(Place(latitude=site.latitude, longitude=site.longitude) for site in sites)
    cells = _cells(providers_of(branch=branch, recorded=recorded), places)
    half_days = HalfDays(ZoneInfo(branch.zone))
    from_at = now - LOOK_BACK
    observed = _observed(branch, recorded, places, from_at, now)
    measured = {
        place: [one for one in measured_half_days(series, half_days) if one.until_at + SETTLED_AFTER <= now]
        for place, series in observed.items()
    }
    new = _new_windows(cells, measured, from_at)
    with transaction.atomic():
        before = VerifiedWindow.objects.count()
        VerifiedWindow.objects.bulk_create(new, ignore_conflicts=True)
        added = VerifiedWindow.objects.count() - before
        _fit(branch, cells, now)
    return added


def verify_every_branch(*, now: datetime) -> int:
    """``verify_branch`` for every branch that has a site; how many windows are new.

    Raises
    ------
    DryWindowError
        The first failure, once every other branch is done.
    """
    added, failure = 0, None
    for branch in Branch.objects.filter(sites__isnull=False).distinct().order_by("pk"):
        try:
            added += verify_branch(branch=branch, sites=list(Site.objects.filter(branch=branch)), now=now)
        except DryWindowError as failed:
            failure = failure or failed
    if failure is not None:
        raise failure
    return added


def worth_over(*, branch: Branch, sites: Sequence[Located]) -> tuple[Worth, ...]:
    """What the chances told over a branch came to, by source and day of the lead, in a constant number of queries."""
    places = tuple(Place(latitude=site.latitude, longitude=site.longitude) for site in sites)
    return _worth(_cells(providers_of(branch=branch, recorded=recorded_sky_of(branch=branch)), places))


def calibrations_of(*, branch: Branch) -> dict[str, dict[Band, CalibrationMap]]:
    """The maps of a branch, by source and band of the lead; a source without enough windows has none."""
    found: dict[str, dict[Band, CalibrationMap]] = defaultdict(dict)
    for row in Calibration.objects.filter(branch=branch):
        points = tuple((float(told), float(seen)) for told, seen in row.points)
        for band in BANDS:
            if row.band == band:
                found[row.source][band] = CalibrationMap(points=points, windows=row.windows)
    return dict(found)


def prune(*, now: datetime) -> int:
    """Forget windows older than two years; how many went."""
    return VerifiedWindow.objects.filter(from_at__lt=now - KEPT_FOR).delete()[0]


def _cells(providers: Iterable[Provider], places: Sequence[Place]) -> dict[Cell, Place]:
    """The cells of each source with one of the places in it."""
    found: dict[Cell, Place] = {}
    known: dict[str, Mapping[Place, str]] = {}
    for provider in providers:
        if provider.cells not in known:
            rows = find_grid_places(source=provider.cells, places=places)
            known[provider.cells] = {place: row.grid_key for place, row in rows.items()}
        for place, grid_key in known[provider.cells].items():
            found.setdefault((provider.key, grid_key), place)
    return found


def _observed(
    branch: Branch, recorded: RecordedSky | None, places: Sequence[Place], from_at: datetime, now: datetime
) -> Mapping[Place, HourlySeries]:
    if recorded is None:
        return measured_near(source=NWS.key, places=places, from_at=from_at, now=now)
    truth = recorded_hours(recorded, branch.zone, from_at=floor_hour(from_at), until_at=floor_hour(now))
    return {} if truth is None else dict.fromkeys(places, truth)


def _new_windows(
    cells: Mapping[Cell, Place], measured: Mapping[Place, Sequence[MeasuredHalfDay]], from_at: datetime
) -> list[VerifiedWindow]:
    keys = {grid_key for _, grid_key in cells}
    known: dict[Cell, set[tuple[datetime, int]]] = defaultdict(set)
    for row in VerifiedWindow.objects.filter(grid_key__in=keys, from_at__gte=from_at):
        known[row.source, row.grid_key].add((row.from_at, row.lead_day))
    issued = _issues(cells, keys, from_at)
    wanted: dict[int, None] = {}
    for cell, place in cells.items():
        for one in measured.get(place, ()):
            for lead in LEAD_DAYS:
                issued_at = run_for(list(issued[cell]), one.from_at, lead)
                if issued_at is not None and (one.from_at, lead) not in known[cell]:
                    wanted[issued[cell][issued_at]] = None
    series = _series(list(wanted))
    found = []
    for cell, place in cells.items():
        runs = {at: series[pk] for at, pk in issued[cell].items() if pk in series}
        found += [
            _row(cell, told)
            for told in verified(measured.get(place, ()), runs)
            if (told.from_at, told.lead_day) not in known[cell]
        ]
    return found


def _issues(cells: Collection[Cell], keys: Collection[str], from_at: datetime) -> dict[Cell, dict[datetime, int]]:
    """The runs of each cell by issue time; of several of one time the newest."""
    found: dict[Cell, dict[datetime, int]] = defaultdict(dict)
    rows = ForecastRun.objects.filter(
        grid_key__in=keys, issued_at__gte=from_at - timedelta(days=max(LEAD_DAYS) + 1)
    ).order_by("fetched_at", "pk")
    for source, grid_key, issued_at, pk in rows.values_list("source", "grid_key", "issued_at", "pk"):
        if (source, grid_key) in cells:
            found[source, grid_key][issued_at] = pk
    return found


def _series(ids: Sequence[int]) -> dict[int, HourlySeries]:
    found = {}
    for at in range(0, len(ids), RUNS_AT_ONCE):
        for run in ForecastRun.objects.filter(pk__in=ids[at : at + RUNS_AT_ONCE]).defer("raw"):
            found[run.pk] = series_of(run)
    return found


def _row(cell: Cell, told: Verified) -> VerifiedWindow:
    source, grid_key = cell
    return VerifiedWindow(
        source=source,
        grid_key=grid_key,
        from_at=told.from_at,
        lead_day=told.lead_day,
        percent=told.percent,
        wet=told.wet,
        odd=told.from_at.date().toordinal() % 2 == 1,
    )


def _worth(cells: Collection[Cell]) -> tuple[Worth, ...]:
    found: dict[tuple[str, int], list[Tally]] = defaultdict(list)
    for row in _counted(cells, "source", "lead_day", "percent"):
        found[row["source"], row["lead_day"]].append(_tally(row))
    return tuple(Worth(source=source, lead_day=lead, tallies=tuple(told)) for (source, lead), told in found.items())


def _counted(cells: Collection[Cell], *by: str) -> Iterable[dict[str, Any]]:
    """Windows told and windows that came, of these cells, grouped."""
    rows = VerifiedWindow.objects.filter(
        grid_key__in={key for _, key in cells}, source__in={source for source, _ in cells}
    )
    return rows.values(*by).annotate(windows=Count("pk"), came=Count("pk", filter=Q(wet=True))).order_by(*by)


def _tally(row: Mapping[str, Any]) -> Tally:
    return Tally(percent=row["percent"], windows=row["windows"], wet=row["came"])


def _fit(branch: Branch, cells: Collection[Cell], now: datetime) -> None:
    """A row for each source and band whose map betters its chances; what no longer does goes."""
    told: dict[tuple[str, Band, bool], list[Tally]] = defaultdict(list)
    for row in _counted(cells, "source", "lead_day", "odd", "percent"):
        told[row["source"], band_of(row["lead_day"]), row["odd"]].append(_tally(row))
    kept = []
    for source, band in sorted({(source, band) for source, band, _ in told}):
        made = fit(told[source, band, True], told[source, band, False])
        if made is None:
            continue
        stored, _ = Calibration.objects.update_or_create(
            branch=branch,
            source=source,
            band=band,
            defaults={"windows": made.windows, "points": [list(point) for point in made.points], "fitted_at": now},
        )
        kept.append(stored.pk)
    Calibration.objects.filter(branch=branch).exclude(pk__in=kept).delete()
