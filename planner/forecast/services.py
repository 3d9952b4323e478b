"""Stores forecast runs: each once, none changed, and an older one never takes the place of a newer."""

from datetime import datetime

from django.db import transaction

from jobs.domain.errors import DryWindowError
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.models import ForecastRun, GridPlace
from planner.forecast.selectors import degrees, find_grid_place
from planner.forecast.snapshots import content_hash, pack
from planner.forecast.sources.source import Fetched, ForecastSource

RAW_BYTES_KEPT = 65_536
# Services shift their grids without notice: a known cell may be gone, or lie in the sea.
_CELL_MOVED = frozenset({"forecast.grid_moved", "forecast.marine"})


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
        The row, and whether it is new. A run already stored only has its ``checked_at`` moved forward.
    """
    with transaction.atomic():
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
        if not created:
            # Conditional, so that two workers cannot move it backwards.
            ForecastRun.objects.filter(pk=run.pk, checked_at__lt=fetched.fetched_at).update(
                checked_at=fetched.fetched_at
            )
            run.refresh_from_db(fields=["checked_at"])
    return run, created


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
    grid_key = source.resolve(place)
    row, _ = GridPlace.objects.update_or_create(
        source=source.name,
        latitude=degrees(place.latitude),
        longitude=degrees(place.longitude),
        defaults={"grid_key": grid_key, "resolved_at": now},
    )
    return row


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
    cell = find_grid_place(source=source.name, place=place)
    if cell is None:
        return store_run(source.fetch_grid(resolve_grid(source=source, place=place, now=now).grid_key, now))
    try:
        fetched = source.fetch_grid(cell.grid_key, now)
    except DryWindowError as failure:
        if failure.code not in _CELL_MOVED:
            raise
        moved = resolve_grid(source=source, place=place, now=now)
        if moved.grid_key == cell.grid_key:
            raise
        fetched = source.fetch_grid(moved.grid_key, now)
    return store_run(fetched)
