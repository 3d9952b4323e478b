"""What the site says, from the office or the phone, through one door."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from jobs.domain.errors import CannotDo
from jobs.models import Branch, FieldReport, Hold, Task
from jobs.services.branches import bump_inputs


def report(
    *,
    branch: Branch,
    kind: str,
    sent_id: UUID,
    said_by: str,
    happened_at: datetime,
    received_at: datetime,
    task: Task | None = None,
    values: Mapping[str, Any] | None = None,
) -> tuple[FieldReport, bool]:
    """Keep a field report and carry out what it says; a repeat with the same ``sent_id`` changes nothing.

    Returns
    -------
    (FieldReport, bool)
        The report, and whether it is new.

    Raises
    ------
    CannotDo
        For a report that contradicts what is known, or lacks a value it needs.
    """
    given = dict(values or {})
    if not said_by.strip():
        raise CannotDo("report.nobody", field="said_by")
    if happened_at > received_at:
        raise CannotDo("report.in_future", field="happened_at", happened_at=happened_at)
    if task is not None and task.branch_id != branch.pk:
        raise CannotDo("report.other_branch", field="task")
    with transaction.atomic():
        known = FieldReport.objects.filter(sent_id=sent_id).first()
        if known is not None:
            return known, False
        if task is not None:
            task = Task.objects.select_for_update().get(pk=task.pk)
        _carry_out(kind, task, given, said_by, happened_at)
        row = FieldReport.objects.create(
            branch=branch,
            site_id=task.site_id if task is not None else None,
            task=task,
            kind=kind,
            happened_at=happened_at,
            received_at=received_at,
            said_by=said_by,
            values=given,
            sent_id=sent_id,
        )
        bump_inputs(branch_id=branch.pk)
    return row, True


def _carry_out(kind: str, task: Task | None, values: dict[str, Any], said_by: str, happened_at: datetime) -> None:
    match kind:
        case FieldReport.Kind.STARTED:
            _started(_needed(task), happened_at)
        case FieldReport.Kind.FINISHED:
            _finished(_needed(task), happened_at)
        case FieldReport.Kind.REMAINING:
            _remaining(_needed(task), values)
        case FieldReport.Kind.HOLD_PASSED | FieldReport.Kind.HOLD_FAILED:
            _decided(_needed(task), kind == FieldReport.Kind.HOLD_PASSED, values, said_by, happened_at)
        case _ if kind not in FieldReport.Kind.values:
            raise CannotDo("report.unknown_kind", field="kind", kind=kind)


def _needed(task: Task | None) -> Task:
    if task is None:
        raise CannotDo("report.no_task", field="task")
    return task


def _started(task: Task, happened_at: datetime) -> None:
    if task.finished_at is not None:
        raise CannotDo("report.already_finished", field="task", title=task.title)
    shut = task.holds.exclude(result=Hold.Result.PASSED).first()
    if shut is not None:
        raise CannotDo("report.hold_shut", field="task", title=task.title, hold=shut.title)
    if task.started_at is None:
        task.started_at = happened_at
        task.save(update_fields=["started_at"])


def _finished(task: Task, happened_at: datetime) -> None:
    if task.finished_at is not None:
        raise CannotDo("report.already_finished", field="task", title=task.title)
    if task.started_at is not None and happened_at < task.started_at:
        raise CannotDo("report.before_start", field="happened_at", title=task.title)
    if task.started_at is None:
        _started(task, happened_at)
    task.finished_at = happened_at
    task.remaining_minutes = 0
    task.save(update_fields=["finished_at", "remaining_minutes"])


def _remaining(task: Task, values: dict[str, Any]) -> None:
    minutes = values.get("minutes")
    if not isinstance(minutes, int) or minutes < 0:
        raise CannotDo("report.bad_minutes", field="minutes", value=minutes)
    if task.finished_at is not None:
        raise CannotDo("report.already_finished", field="task", title=task.title)
    task.remaining_minutes = minutes
    task.save(update_fields=["remaining_minutes"])


def _decided(task: Task, passed: bool, values: dict[str, Any], said_by: str, happened_at: datetime) -> None:
    """The result of an inspection, entered by a person. A failed one is planned again, with its notice."""
    hold = task.releases.first()
    if hold is None:
        raise CannotDo("report.no_hold", field="task", title=task.title)
    inspector = str(values.get("inspector", "")).strip()
    if not inspector:
        raise CannotDo("report.no_inspector", field="inspector", title=hold.title)
    hold.result = Hold.Result.PASSED if passed else Hold.Result.FAILED
    hold.decided_by = inspector
    hold.decided_at = happened_at
    hold.note = str(values.get("note", ""))[:300]
    hold.save()
    if passed:
        task.finished_at = happened_at
        task.started_at = task.started_at or happened_at
    else:
        task.finished_at = None
        task.started_at = None
        task.earliest_at = happened_at
        task.earliest_why = f"{hold.title} failed: mend, then ask for another visit"
    task.save(update_fields=["finished_at", "started_at", "earliest_at", "earliest_why"])
