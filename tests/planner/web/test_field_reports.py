"""What a report carries out beyond the task: slots, head counts, the next visit; and what is refused."""

from datetime import date, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest

from crews.models import Booking, CrewDay
from crews.services import bookings
from jobs.domain.errors import CannotDo
from jobs.models import Branch, FieldReport, Hold, Task
from planner.dayplans.field_reports import Said, keep
from tests.planner.web.company import NOW

HOUR = timedelta(hours=1)


def say(branch: Branch, kind: str, task: Task | None = None, sent_id: UUID | None = None, **values: Any) -> bool:
    said = Said(
        kind=kind, sent_id=sent_id or uuid4(), said_by="Odalys", happened_at=NOW - HOUR, task=task, values=values
    )
    return keep(branch=branch, said=said, now=NOW)[1]


def visit_of(branch: Branch) -> Task:
    found = Task.objects.filter(branch=branch, kind="visit", finished_at=None, details__authority="building_authority")
    return found.order_by("pk")[0]


def test_a_failed_inspection_opens_the_visit_again_after_the_notice_of_the_authority(branch: Branch) -> None:
    visit = visit_of(branch)
    bookings.confirm(branch=branch, task=visit, kind="inspection", on=date(2026, 6, 8), now=NOW - 24 * HOUR)
    assert say(branch, "hold_failed", visit, inspector="A. Inspector", note="two bars short")
    visit.refresh_from_db()
    hold = Hold.objects.get(visit=visit)
    assert (hold.result, hold.decided_by) == ("failed", "A. Inspector")
    assert visit.finished_at is None
    # One working day of notice after Monday 8 June: not before the start of Tuesday 9 June, in New Jersey's zone.
    assert visit.earliest_at is not None
    assert visit.earliest_at.isoformat() == "2026-06-09T04:00:00+00:00"
    assert "1 working day of notice" in visit.earliest_why
    assert bookings.live_booking(task=visit, kind="inspection") is None


def test_a_passed_inspection_uses_its_slot(branch: Branch) -> None:
    visit = visit_of(branch)
    bookings.confirm(branch=branch, task=visit, kind="inspection", on=date(2026, 6, 8), now=NOW - 24 * HOUR)
    say(branch, "hold_passed", visit, inspector="A. Inspector")
    visit.refresh_from_db()
    assert visit.finished_at == NOW - HOUR
    assert Booking.objects.get(task=visit).state == Booking.State.ARRIVED


def test_the_same_report_twice_changes_nothing(branch: Branch) -> None:
    task = Task.objects.get(branch=branch, key="stack_forms", job__name=booked_job(branch))
    sent_id = uuid4()
    assert say(branch, "delivery_wrong", task, sent_id, booking="form_delivery") is True
    branch.refresh_from_db()
    before = branch.input_revision
    assert say(branch, "delivery_wrong", task, sent_id, booking="form_delivery") is False
    branch.refresh_from_db()
    assert branch.input_revision == before
    assert FieldReport.objects.filter(sent_id=sent_id).count() == 1


def booked_job(branch: Branch) -> str:
    return Booking.objects.filter(kind="form_delivery", task__branch=branch).order_by("pk")[0].task.job.name  # type: ignore[union-attr]


def test_a_delivery_moves_its_booking_and_bumps_the_inputs(branch: Branch) -> None:
    booking = Booking.objects.filter(kind="form_delivery").order_by("pk")[0]
    before = branch.input_revision
    say(branch, "delivered", booking.task, booking="form_delivery")
    booking.refresh_from_db()
    branch.refresh_from_db()
    assert booking.state == Booking.State.ARRIVED
    assert branch.input_revision > before


def test_a_delivery_nobody_booked_is_refused_and_leaves_nothing(branch: Branch) -> None:
    task = Task.objects.filter(key="backfill", finished_at=None, bookings=None).order_by("pk")[0]
    with pytest.raises(CannotDo, match="Nothing of the kind stone is booked"):
        say(branch, "delivered", task, booking="stone")
    assert not FieldReport.objects.exists()


def test_a_short_crew_gets_its_head_count_and_nobody_is_a_day_off(branch: Branch) -> None:
    say(branch, "crew_short", crew="forms-east", on="2026-06-09", people=3, note="two at the dentist")
    day = CrewDay.objects.get(crew__key="forms-east", on=date(2026, 6, 9))
    assert (day.head_count, day.off, day.reason) == (3, False, "two at the dentist")
    say(branch, "crew_short", crew="forms-east", on="2026-06-09", people=0)
    day.refresh_from_db()
    assert day.off


@pytest.mark.parametrize(
    ("kind", "values", "code"),
    [
        ("crew_short", {"crew": "forms-east", "on": "2026-06-09", "people": 6}, "crews.head_count_range"),
        ("crew_short", {"crew": "far-crew", "on": "2026-06-09", "people": 1}, "report.no_crew"),
        ("crew_short", {"crew": "forms-east", "on": "someday", "people": 1}, "report.no_day"),
        ("level", {"level_m": 9.0}, "report.bad_reading"),
        ("level", {"level_m": True}, "report.bad_reading"),
        ("temperature", {}, "report.bad_reading"),
        ("salt", {"salt_ppm": 60_000}, "report.bad_reading"),
        ("refilled", {"level_m": -0.1}, "report.bad_reading"),
        ("strength", {"strength_mpa": -1.0}, "report.bad_reading"),
        ("gate", {"gate": "locked"}, "report.unknown_gate"),
        ("gate", {"gate": "dig_look", "set_aside": " "}, "report.no_reason"),
        ("note", {"note": ""}, "report.bad_note"),
        ("hold_failed", {"inspector": " "}, "report.no_inspector"),
    ],
)
def test_what_makes_no_sense_is_refused_and_changes_nothing(
    branch: Branch, other_branch: Branch, kind: str, values: dict[str, Any], code: str
) -> None:
    before = branch.input_revision
    with pytest.raises(CannotDo) as refused:
        say(branch, kind, visit_of(branch), **values)
    assert refused.value.code == code
    assert refused.value.remedy
    branch.refresh_from_db()
    assert branch.input_revision == before
    assert not FieldReport.objects.exists()
    assert not CrewDay.objects.filter(on=date(2026, 6, 9), head_count__isnull=False).exists()


def test_an_id_in_use_elsewhere_shows_nothing_of_elsewhere(branch: Branch, other_branch: Branch) -> None:
    sent_id = uuid4()
    far = Task.objects.get(branch=other_branch)
    say(other_branch, "note", far, sent_id, note="theirs")
    with pytest.raises(CannotDo) as refused:
        say(branch, "note", visit_of(branch), sent_id, note="ours")
    assert refused.value.code == "report.sent_id_taken"
