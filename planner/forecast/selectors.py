"""What is stored of forecasts."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from django.db.models import OuterRef, Subquery

from planner.forecast.domain.outside.providers import PROVIDERS
from planner.forecast.domain.place import Place
from planner.forecast.models import ForecastRun, GridPlace


def degrees(value: float) -> Decimal:
    """A coordinate as it is stored: 4 decimals."""
    return Decimal(f"{value:.4f}")


def find_grid_place(*, source: str, place: Place) -> GridPlace | None:
    """The map cell a place was last found in; none before the first look-up."""
    return GridPlace.objects.filter(
        source=source, latitude=degrees(place.latitude), longitude=degrees(place.longitude)
    ).first()


def find_grid_places(*, source: str, places: Sequence[Place]) -> dict[Place, GridPlace]:
    """The map cells places were last found in; a place never looked up is left out."""
    rows = {
        (row.latitude, row.longitude): row
        for row in GridPlace.objects.filter(
            source=source,
            latitude__in={degrees(place.latitude) for place in places},
            longitude__in={degrees(place.longitude) for place in places},
        )
    }
    found = {place: rows.get((degrees(place.latitude), degrees(place.longitude))) for place in places}
    return {place: row for place, row in found.items() if row is not None}


def find_altitude(*, place: Place) -> float | None:
    """Altitude of a place [m], where a service stated that of its cell."""
    return (
        GridPlace.objects.filter(
            latitude=degrees(place.latitude), longitude=degrees(place.longitude), altitude_m__isnull=False
        )
        .order_by("-resolved_at")
        .values_list("altitude_m", flat=True)
        .first()
    )


def find_latest_run(*, source: str, grid_key: str, as_of: datetime | None = None) -> ForecastRun | None:
    """The newest issued run of a cell, whenever it was fetched; with ``as_of``, of those fetched by then."""
    runs = ForecastRun.objects.filter(source=source, grid_key=grid_key)
    if as_of is not None:
        runs = runs.filter(fetched_at__lte=as_of)
    return runs.order_by("-issued_at", "-fetched_at", "-pk").first()


def find_latest_run_at(*, source: str, place: Place, as_of: datetime | None = None) -> ForecastRun | None:
    """The newest issued run of the cell a place lies in; none if the place was never looked up."""
    cell = find_grid_place(source=PROVIDERS[source].cells, place=place)
    return None if cell is None else find_latest_run(source=source, grid_key=cell.grid_key, as_of=as_of)


def find_latest_runs(*, source: str, places: Sequence[Place], as_of: datetime) -> dict[Place, ForecastRun]:
    """The newest issued run of each place by what was fetched at ``as_of``, in two queries however many places."""
    keys = {
        place: row.grid_key for place, row in find_grid_places(source=PROVIDERS[source].cells, places=places).items()
    }
    newest = (
        ForecastRun.objects.filter(source=source, grid_key=OuterRef("grid_key"), fetched_at__lte=as_of)
        .order_by("-issued_at", "-fetched_at", "-pk")
        .values("pk")[:1]
    )
    runs = {
        run.grid_key: run
        for run in ForecastRun.objects.filter(source=source, grid_key__in=set(keys.values()), pk=Subquery(newest))
    }
    return {place: runs[key] for place, key in keys.items() if key in runs}


def list_runs(*, source: str, grid_key: str, from_at: datetime, until_at: datetime) -> list[ForecastRun]:
    """Runs of a cell issued in [from_at, until_at), oldest first."""
    return list(
        ForecastRun.objects.filter(
            source=source, grid_key=grid_key, issued_at__gte=from_at, issued_at__lt=until_at
        ).order_by("issued_at", "fetched_at", "pk")
    )
