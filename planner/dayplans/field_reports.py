"""What the site or the office says, carried out in jobs and in crews as one change."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from crews.domain.working_time import local_moment
from crews.models import Crew
from crews.services import bookings
from crews.services.head_counts import set_head_count
from crews.snapshots import crews_of
from jobs.domain.errors import CannotDo
from jobs.models import Branch, FieldReport, Task
from jobs.services import field_reports
from planner.dayplans.private_links import today_of
from planner.plans.replanning.facts import ask_after_report

Kind = FieldReport.Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One report as it was entered. ``sent_id`` is made with the form, so that sending twice changes nothing."""

    kind: str
    sent_id: UUID
    said_by: str
    happened_at: datetime
    task: Task | None = None
    values: Mapping[str, Any]


def keep(*, branch: Branch, said: Said, now: datetime) -> tuple[FieldReport, bool]:
    """Keep a report and carry out all it says, or nothing.

    Beside what ``jobs.services.field_reports`` does: a delivery moves its booking; a short crew gets its head count;
    a failed inspection uses up its slot, and the next visit waits for the authority's notice. What the plan in force
    did not count on asks for another one.

    Raises
    ------
    CannotDo
        For a report that contradicts what is known, or lacks a value it needs.
    """
    with transaction.atomic():
        row, new = field_reports.report(
            branch=branch,
            kind=said.kind,
            sent_id=said.sent_id,
            said_by=said.said_by,
            happened_at=said.happened_at,
            received_at=now,
            task=said.task,
            values=said.values,
        )
        if new:
            _carry_on(branch, said, now)
            ask_after_report(branch=branch, report=row, now=now)
    return row, new


def _carry_on(branch: Branch, said: Said, now: datetime) -> None:
    match said.kind:
        case Kind.DELIVERED | Kind.DELIVERY_WRONG:
            if said.task is None:
                raise CannotDo("report.no_task", field="task")
            kind = str(said.values.get("booking", ""))
            wrong = said.kind == Kind.DELIVERY_WRONG
            bookings.arrived(branch=branch, task=said.task, kind=kind, wrong=wrong, now=now)
        case Kind.CREW_SHORT:
            _short(branch, said)
        case Kind.HOLD_PASSED:
            _came(branch, said, now)
        case Kind.HOLD_FAILED:
            _visit_again(branch, said, now)


def _short(branch: Branch, said: Said) -> None:
    crew = Crew.objects.filter(branch=branch, active=True, key=str(said.values.get("crew", ""))).first()
    if crew is None:
        raise CannotDo("report.no_crew", field="crew")
    people = said.values.get("people")
    if not isinstance(people, int):
        raise CannotDo("crews.head_count_range", field="people", crew=crew.name, value=people, size=crew.size)
    try:
        on = date.fromisoformat(str(said.values.get("on", "")))
    except ValueError as error:
        raise CannotDo("report.no_day", field="on") from error
    set_head_count(branch=branch, crew=crew, on=on, people=people, reason=str(said.values.get("note", "")))


def _came(branch: Branch, said: Said, now: datetime) -> None:
    """The inspector came: the slot of the visit is used."""
    assert said.task is not None
    for kind in said.task.details.get("bookings", ()):
        if bookings.live_booking(task=said.task, kind=kind) is not None:
            bookings.arrived(branch=branch, task=said.task, kind=kind, wrong=False, now=now)


def _visit_again(branch: Branch, said: Said, now: datetime) -> None:
    """The slot is used up; the authority wants its notice again, counted from the day of the failure."""
    assert said.task is not None
    bookings.use_up(branch=branch, task=said.task)
    task = Task.objects.get(pk=said.task.pk)
    known = crews_of(branch, today_of(branch, now))
    authority = next((one for one in known.suppliers if one.kind == task.details.get("authority")), None)
    if authority is None:
        return
    failed_on = authority.calendar.date_of(said.happened_at)
    notice = authority.notice_working_days
    ready_on = authority.calendar.add_working_days(failed_on, notice) if notice else failed_on
    earliest = local_moment(branch.zone, ready_on, datetime.min.time())
    if task.earliest_at is None or earliest > task.earliest_at:
        task.earliest_at = earliest
        days = "1 working day" if notice == 1 else f"{notice} working days"
        task.earliest_why = f"{task.earliest_why}; {authority.name} wants {days} of notice"[:200]
        task.save(update_fields=["earliest_at", "earliest_why"])
