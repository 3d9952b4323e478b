"""Lets go of forecasts, measurements and warnings once nobody can ask about them any more."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Exists, OuterRef, Q, QuerySet

from planner.forecast.models import ForecastRun, HostPause, OfficialAlert, StationDay, UnreadReply, UrlState

KEPT_FOR = timedelta(days=90)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pruned:
    """How many rows went."""

    runs: int
    alerts: int
    station_days: int
    addresses: int


def prune(*, now: datetime, kept_for: timedelta = KEPT_FOR) -> Pruned:
    """Delete what is older than 90 days, but no run that a plan or any other row of another area used, and not the
    newest run of a cell.

    Parameters
    ----------
    now : datetime
        The present moment.
    kept_for : timedelta
        Time everything is kept.

    Returns
    -------
    Pruned
        Rows deleted, by kind.
    """
    before = now - kept_for
    with transaction.atomic():
        runs = _count(_unused_runs(before))
        UnreadReply.objects.filter(seen_at__lt=before).delete()
        return Pruned(
            runs=runs,
            alerts=_count(OfficialAlert.objects.filter(until_at__lt=before, seen_at__lt=before)),
            station_days=_count(StationDay.objects.filter(day_on__lt=before.date())),
            addresses=_count(UrlState.objects.filter(checked_at__lt=before, run__isnull=True))
            + _count(HostPause.objects.filter(until__lt=before)),
        )


def _unused_runs(before: datetime) -> QuerySet[ForecastRun]:
    newer = ForecastRun.objects.filter(source=OuterRef("source"), grid_key=OuterRef("grid_key")).filter(
        Q(issued_at__gt=OuterRef("issued_at")) | Q(issued_at=OuterRef("issued_at"), pk__gt=OuterRef("pk"))
    )
    unused = ForecastRun.objects.filter(Exists(newer), checked_at__lt=before)
    for relation in ForecastRun._meta.related_objects:
        # Whoever points at a run from another area keeps it.
        if relation.related_model is not UrlState:
            unused = unused.filter(**{f"{relation.name}__isnull": True})
    return unused


def _count(
    rows: QuerySet[ForecastRun]
    | QuerySet[OfficialAlert]
    | QuerySet[StationDay]
    | QuerySet[UrlState]
    | QuerySet[HostPause],
) -> int:
    model = rows.model
    _, by_model = rows.delete()
    return by_model.get(model._meta.label, 0)
