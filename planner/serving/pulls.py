"""One turn of a map cell: pull it, note how it went, and hand a new run on to every branch with sites in it."""

import logging
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import QuerySet

from jobs.domain.errors import DryWindowError
from planner.forecast.cells import (
    WorkCell,
    cells_at_work,
    pull_cell_measured,
    pull_cell_warnings,
    pull_work_cell,
)
from planner.plans.models import Assignment, Plan
from planner.serving.models import Turn
from planner.serving.turns import end_badly, end_well, make_due

log = logging.getLogger(__name__)
GRID_EVERY = timedelta(minutes=60)
GRID_BEFORE_WORK_EVERY = timedelta(minutes=30)
BEFORE_WORK = timedelta(hours=48)
WARNINGS_EVERY = timedelta(minutes=30)
WARNINGS_AT_WORK_EVERY = timedelta(minutes=5)
MEASURED_EVERY = timedelta(minutes=60)


def pull_turn(*, turn_id: int, now: datetime, running: datetime) -> frozenset[int]:
    """Pull what a turn asks for.

    Parameters
    ----------
    turn_id : int
        The turn; one that is gone by now asks for nothing.
    now : datetime
        The present of plans and weather.
    running : datetime
        The real present.

    Returns
    -------
    frozenset of int
        Branches that a new forecast or a new warning was handed on to.
    """
    turn = Turn.objects.filter(pk=turn_id).first()
    cell = None if turn is None else cells_at_work().get(turn.key)
    if turn is None or cell is None:
        return frozenset()
    if turn.kind == Turn.Kind.FORECAST:
        return _forecast(turn, cell, now, running)
    try:
        if turn.kind == Turn.Kind.WARNINGS:
            new = pull_cell_warnings(cell=cell, now=now)
            with transaction.atomic():
                end_well(turn=turn, now=running, after=warnings_every(cell, now))
                return _handed_on(cell, running) if new else frozenset()
        pull_cell_measured(cell=cell, now=now)
        end_well(turn=turn, now=running, after=MEASURED_EVERY)
    except DryWindowError as failure:
        log.warning("%s: %s", turn, failure)
        end_badly(turn=turn, now=running, problem=str(failure), longest=WARNINGS_EVERY)
    return frozenset()


def _forecast(turn: Turn, cell: WorkCell, now: datetime, running: datetime) -> frozenset[int]:
    pulled = pull_work_cell(cell=cell, now=now)
    runs = ",".join(str(run) for run in pulled.runs) or turn.handed_on
    problem = "\n".join((*pulled.failed, *pulled.notes))
    every = grid_every(cell, now)
    with transaction.atomic():
        if pulled.usable:
            after = every if pulled.expires_at is None else max(every, min(pulled.expires_at - now, 2 * every))
            end_well(turn=turn, now=running, after=after, handed_on=runs, problem=problem)
        else:
            log.warning("%s: %s", turn, problem)
            end_badly(turn=turn, now=running, problem=problem, longest=every, handed_on=runs)
        # Together with the end of the turn: a run that was stored before a crash is handed on by the next pull.
        return _handed_on(cell, running) if runs != turn.handed_on else frozenset()


def _handed_on(cell: WorkCell, running: datetime) -> frozenset[int]:
    make_due(kind=Turn.Kind.READING, keys=[str(branch) for branch in sorted(cell.branches)], at=running)
    return frozenset(cell.branches)


def grid_every(cell: WorkCell, now: datetime) -> timedelta:
    """How often a cell's forecast is pulled: more often before work that weather can ruin."""
    soon = _planned(cell, now, now + BEFORE_WORK).exclude(task__exposure="none").exists()
    return GRID_BEFORE_WORK_EVERY if soon else GRID_EVERY


def warnings_every(cell: WorkCell, now: datetime) -> timedelta:
    """How often warnings are asked for: more often where people work today."""
    local = now.astimezone(ZoneInfo(cell.branch.zone))
    day = local.replace(hour=0, minute=0, second=0, microsecond=0)
    today = _planned(cell, day, day + timedelta(days=1)).exists()
    return WARNINGS_AT_WORK_EVERY if today else WARNINGS_EVERY


def _planned(cell: WorkCell, from_at: datetime, until_at: datetime) -> QuerySet[Assignment]:
    return Assignment.objects.filter(
        plan__state=Plan.State.IN_FORCE,
        task__site__in=cell.sites,
        task__finished_at__isnull=True,
        start_at__lt=until_at,
        end_at__gt=from_at,
    )
