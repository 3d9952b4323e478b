"""Which branches must be judged: a new forecast or warning, another plan, or their time has come."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal

from django.db.models import Max, Q

from jobs.models import Branch, Site
from planner.forecast.domain.outside.providers import NWS, PROVIDERS, order_for
from planner.forecast.models import ForecastRun, GridPlace, OfficialAlert
from planner.forecast.selectors import degrees
from planner.plans.models import Plan
from planner.watch.models import BranchWatch, Warned

Cell = tuple[str, str]


def list_due(now: datetime) -> list[int]:
    """Ids of the branches to judge now, in as many queries however many there are.

    A branch with a plan in force is due where it was never judged, its next rung, deadline or look has come, its plan
    or inputs are others, a run of one of its cells is newer than those it read, or a public warning came since.
    """
    branches = {
        row.pk: row
        for row in Branch.objects.filter(plans__state=Plan.State.IN_FORCE).only(
            "pk", "country", "plan_number", "input_revision"
        )
    }
    watches = {row.branch_id: row for row in BranchWatch.objects.filter(branch__in=branches)}
    due = {pk for pk, branch in branches.items() if _time_has_come(branch, watches.get(pk), now)}
    others = {pk: watches[pk] for pk in branches.keys() - due}
    if others:
        due |= _with_new_runs(others)
        newest = OfficialAlert.objects.aggregate(at=Max("first_seen_at"))["at"]
        for pk, row in others.items():
            judged_at = row.judged_at
            served = NWS in order_for(branches[pk].country, open_meteo=False)
            if served and newest is not None and judged_at is not None and newest > judged_at:
                due.add(pk)
    return sorted(due)


def list_unread_branches(now: datetime) -> list[int]:
    """Ids of the branches with warnings nobody has read by their deadline: ``escalate`` is for them."""
    rows = Warned.objects.filter(answer_by__lte=now, noted_at__isnull=True, escalated_at__isnull=True)
    return sorted(set(rows.values_list("branch_id", flat=True)))


def _time_has_come(branch: Branch, row: BranchWatch | None, now: datetime) -> bool:
    if row is None or row.judged_at is None or row.next_at is None or row.next_at <= now:
        return True
    return (row.plan_number, row.input_revision) != (branch.plan_number, branch.input_revision)


def _with_new_runs(watches: Mapping[int, BranchWatch]) -> set[int]:
    judged = [row.judged_at for row in watches.values() if row.judged_at is not None]
    runs = ForecastRun.objects.filter(
        Q(pk__gt=min(row.newest_run for row in watches.values())) | Q(fetched_at__gt=min(judged))
    ).values_list("source", "grid_key", "pk", "fetched_at")
    new: dict[Cell, list[tuple[int, datetime]]] = defaultdict(list)
    for source, grid_key, pk, fetched_at in runs:
        new[PROVIDERS[source].cells, grid_key].append((pk, fetched_at))
    if not new:
        return set()
    found = set()
    for pk, cells in _cells_of(watches).items():
        row = watches[pk]
        for cell in cells & new.keys():
            if any(run > row.newest_run or (row.judged_at and at > row.judged_at) for run, at in new[cell]):
                found.add(pk)
    return found


def _cells_of(watches: Mapping[int, BranchWatch]) -> dict[int, set[Cell]]:
    places: dict[tuple[Decimal, Decimal], set[Cell]] = defaultdict(set)
    for row in GridPlace.objects.only("source", "latitude", "longitude", "grid_key"):
        places[row.latitude, row.longitude].add((row.source, row.grid_key))
    found: dict[int, set[Cell]] = defaultdict(set)
    for branch_id, latitude, longitude in Site.objects.filter(branch__in=watches).values_list(
        "branch_id", "latitude", "longitude"
    ):
        found[branch_id] |= places.get((degrees(latitude), degrees(longitude)), set())
    return found
