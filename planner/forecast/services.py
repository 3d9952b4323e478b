"""Stores forecast runs: each once, none changed, and an older one never takes the place of a newer."""

from dataclasses import replace
from datetime import datetime, timedelta

from django.db import transaction

from jobs.domain.errors import DryWindowError, OutsideFailure
from planner.forecast.domain.outside.providers import PROVIDERS
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, VARIABLES, HourlySeries
from planner.forecast.models import ForecastRun, GridPlace, UnreadReply
from planner.forecast.selectors import degrees, find_altitude, find_grid_place, find_latest_run
from planner.forecast.snapshots import content_hash, pack, series_of
from planner.forecast.sources.client import Unchanged
from planner.forecast.sources.source import Fetched, ForecastSource
from planner.forecast.url_memory import run_behind

RAW_BYTES_KEPT = 65_536
# Services shift their grids without notice: a known cell may be gone, or lie in the sea.
CELL_MOVED = frozenset({"forecast.grid_moved", "forecast.marine"})
LOOK_UP_AGAIN_AFTER = timedelta(days=7)
# Thousandths, as packed: below this two values are the same.
_SAME = 0.0011


def store_run(fetched: Fetched, *, keep_raw: bool = False) -> tuple[ForecastRun, bool]:
    """Store a fetched run once.

    Parameters
    ----------
    fetched : Fetched
        The answer of a source.
    keep_raw : bool
        Keep the first 64 KiB of the reply beside the series.

    Returns
    -------
    (ForecastRun, bool)
        The row, and whether it is new. A run already stored only has its ``checked_at`` moved forward; so has the
        newest run of a service that states no issue time, if the reply says nothing else for the same hours.
    """
    with transaction.atomic():
        same = None if fetched.issue_stated else _run_that_says_the_same(fetched)
        if same is not None:
            return touch_run(same, fetched.fetched_at), False
        run, created = ForecastRun.objects.get_or_create(
            source=fetched.source,
            grid_key=fetched.grid_key,
            issued_at=fetched.issued_at,
            content_hash=content_hash(fetched.series),
            defaults={
                "fetched_at": fetched.fetched_at,
                "checked_at": fetched.fetched_at,
                "horizon_end_at": _horizon_end(fetched.series),
                "packed": pack(fetched.series),
                "raw": fetched.body[:RAW_BYTES_KEPT] if keep_raw else None,
            },
        )
        return (run, True) if created else (touch_run(run, fetched.fetched_at), False)


def touch_run(run: ForecastRun, checked_at: datetime) -> ForecastRun:
    """Note that the source still answered with a run."""
    # Conditional, so that two workers cannot move it backwards.
    ForecastRun.objects.filter(pk=run.pk, checked_at__lt=checked_at).update(checked_at=checked_at)
    run.refresh_from_db(fields=["checked_at"])
    return run


def _run_that_says_the_same(fetched: Fetched) -> ForecastRun | None:
    """The newest run, if it gives the same values for every future hour both know; a day in common at least."""
    run = find_latest_run(source=fetched.source, grid_key=fetched.grid_key)
    if run is None:
        return None
    before, after = series_of(run), fetched.series
    from_at = max(before.start_at, after.start_at, fetched.fetched_at)
    until_at = min(before.end_at, after.end_at)
    if until_at - from_at < 24 * HOUR:
        return None
    for name in VARIABLES:
        pairs = zip(before.between(name, from_at, until_at), after.between(name, from_at, until_at), strict=True)
        # Beyond its last hour the earlier reply could not know what this one does.
        if any(a is not None and (b is None or abs(a - b) > _SAME) for a, b in pairs):
            return None
    return run


def _horizon_end(series: HourlySeries) -> datetime:
    known = [at for at, value in enumerate(series.air_temp_c) if value is not None]
    return series.start_at + ((known[-1] + 1) * HOUR if known else 0 * HOUR)


def resolve_grid(*, source: ForecastSource, place: Place, now: datetime) -> GridPlace:
    """Ask a source which cell a place lies in, and remember the answer.

    Raises
    ------
    CannotDo, OutsideFailure
        As the source says; what was remembered stays.
    """
    cell = source.locate(replace(place, altitude_m=find_altitude(place=place)), now)
    row, _ = GridPlace.objects.update_or_create(
        source=PROVIDERS[source.name].cells,
        latitude=degrees(place.latitude),
        longitude=degrees(place.longitude),
        defaults={"grid_key": cell.grid_key, "zones": list(cell.zones), "resolved_at": now},
    )
    return row


def cell_of(*, source: ForecastSource, place: Place, now: datetime) -> GridPlace:
    """The cell of a place: as remembered for a week, then looked up again; the old answer serves if that fails.

    Raises
    ------
    CannotDo, OutsideFailure
        If the place was never looked up and cannot be.
    """
    cell = find_grid_place(source=PROVIDERS[source.name].cells, place=place)
    if cell is not None and now - cell.resolved_at < LOOK_UP_AGAIN_AFTER:
        return cell
    try:
        return resolve_grid(source=source, place=place, now=now)
    except OutsideFailure:
        if cell is None:
            raise
        return cell


def pull_cell(*, source: ForecastSource, grid_key: str, now: datetime) -> tuple[ForecastRun, bool]:
    """Fetch and store the forecast of a map cell, where there is a new one.

    Returns
    -------
    (ForecastRun, bool)
        The row, and whether the run is new.

    Raises
    ------
    CannotDo, OutsideFailure
        As the source says; stored runs stay as they are. A reply that cannot be read is kept beside them.
    """
    try:
        answer = source.fetch_grid(grid_key, now)
    except OutsideFailure as failure:
        if failure.unread:
            _keep_unread(source, grid_key, failure, now)
        raise
    if isinstance(answer, Unchanged):
        run = run_behind(answer.url)
        if run is None:
            raise OutsideFailure("forecast.nothing_behind", url=answer.url)
        return (touch_run(run, answer.checked_at) if answer.asked else run), False
    with transaction.atomic():
        run, created = store_run(answer)
        if answer.known is not None:
            # With the run or not at all: else the next "nothing new" would point at nothing.
            source.memory.keep(answer.known, run.pk)
        if answer.altitude_m is not None:
            GridPlace.objects.filter(source=PROVIDERS[source.name].cells, grid_key=grid_key).exclude(
                altitude_m=answer.altitude_m
            ).update(altitude_m=answer.altitude_m)
    return run, created


def _keep_unread(source: ForecastSource, grid_key: str, failure: OutsideFailure, now: datetime) -> None:
    kept = {"seen_at": now, "says": str(failure), "raw": failure.unread[:RAW_BYTES_KEPT]}
    UnreadReply.objects.update_or_create(source=source.name, grid_key=grid_key, defaults=kept)


def pull_forecast(*, source: ForecastSource, place: Place, now: datetime) -> tuple[ForecastRun, bool]:
    """Fetch and store the forecast of a place, looking its cell up if it never was or has moved.

    Returns
    -------
    (ForecastRun, bool)
        The row, and whether the run is new.

    Raises
    ------
    CannotDo, OutsideFailure
        As the source says; stored runs stay as they are.
    """
    cell = cell_of(source=source, place=place, now=now)
    try:
        return pull_cell(source=source, grid_key=cell.grid_key, now=now)
    except DryWindowError as failure:
        if failure.code not in CELL_MOVED:
            raise
        moved = resolve_grid(source=source, place=place, now=now)
        if moved.grid_key == cell.grid_key:
            raise
        return pull_cell(source=source, grid_key=moved.grid_key, now=now)
