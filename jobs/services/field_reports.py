"""What the site says, from the office or the phone, through one door."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from jobs.domain.errors import CannotDo
from jobs.models import Branch, FieldReport, Hold, Task
from jobs.services.branches import bump_inputs

# What a reading is called in ``values``, and the range in which it can be true [SI].
READINGS: Mapping[str, tuple[str, float, float]] = {
    FieldReport.Kind.LEVEL: ("level_m", 0.0, 6.0),
    FieldReport.Kind.TEMPERATURE: ("concrete_c", -20.0, 90.0),
    FieldReport.Kind.STRENGTH: ("strength_mpa", 0.0, 120.0),
    FieldReport.Kind.SALT: ("salt_ppm", 0.0, 50_000.0),
    FieldReport.Kind.REFILLED: ("level_m", 0.0, 6.0),
}
GATES = ("dig_look", "barrier", "bonding", "backfill_release", "licence")
LONGEST_NOTE = 300


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
        local = happened_at.astimezone(ZoneInfo(branch.zone))
        raise CannotDo(
            "report.in_future", field="happened_at", happened_at=f"{local:%H:%M} on {local.day} {local:%B %Y}"
        )
    if task is not None and task.branch_id != branch.pk:
        raise CannotDo("report.other_branch", field="task")
    with transaction.atomic():
        # Reports of a branch come in one after another: of two with one id the second sees the first.
        Branch.objects.select_for_update().get(pk=branch.pk)
        known = FieldReport.objects.filter(sent_id=sent_id).first()
        if known is not None:
            if known.branch_id != branch.pk:
                raise CannotDo("report.sent_id_taken", field="sent_id")
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
        case _ if kind in READINGS:
            _refuse_no_task(task)
            _refuse_bad_reading(kind, values)
        case FieldReport.Kind.GATE:
            _refuse_no_task(task)
            _refuse_unknown_gate(values)
        case FieldReport.Kind.NOTE:
            _refuse_empty_note(values)
        case _ if kind not in FieldReport.Kind.values:
            raise CannotDo("report.unknown_kind", field="kind", kind=kind)


def _needed(task: Task | None) -> Task:
    if task is None:
        raise CannotDo("report.no_task", field="task")
    return task


def _refuse_no_task(task: Task | None) -> None:
    _needed(task)


def _refuse_bad_reading(kind: str, values: Mapping[str, Any]) -> None:
    """A reading is kept as it was said; what it opens is judged where it is read."""
    name, low, high = READINGS[kind]
    value = values.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise CannotDo("report.bad_reading", field=name, value=value, name=name, low=low, high=high)


def _refuse_unknown_gate(values: Mapping[str, Any]) -> None:
    if values.get("gate") not in GATES:
        raise CannotDo("report.unknown_gate", field="gate", gate=values.get("gate"))
    if "set_aside" in values and not str(values["set_aside"]).strip():
        raise CannotDo("report.no_reason", field="set_aside")


def _refuse_empty_note(values: Mapping[str, Any]) -> None:
    note = str(values.get("note", "")).strip()
    if not note or len(note) > LONGEST_NOTE:
        raise CannotDo("report.bad_note", field="note", longest=LONGEST_NOTE)


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
