"""Reports, bookings and new pools ask for another plan in their own transaction."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from crews.models import Booking, Supplier
from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.dayplans.field_reports import Said, keep
from planner.plans.models import ReplanRequest
from planner.plans.replanning.facts import ask_after_booking
from tests.planner.plans.replanning.yard import HOUR, NOW, build_yard, in_force, task

pytestmark = pytest.mark.django_db


@pytest.fixture
def branch() -> Branch:
    return build_yard()


def planned(branch: Branch, key: str = "strip") -> tuple[datetime, datetime]:
    row = in_force(branch).assignments.get(task__key=key)
    return row.start_at, row.end_at


def say(branch: Branch, kind: str, at: datetime, *, key: str = "strip", **values: Any) -> ReplanRequest | None:
    said = Said(
        kind=kind,
        sent_id=uuid4(),
        said_by="foreman",
        happened_at=at,
        task=task(branch, key) if key else None,
        values=values,
    )
    for _ in range(2):
        keep(branch=branch, said=said, now=at + 5 * HOUR)
    return ReplanRequest.objects.filter(branch=branch).order_by("-pk").first()


@pytest.mark.parametrize(
    ("kind", "off", "reason", "words"),
    [
        ("started", timedelta(minutes=61), "report_late", "began 1 h 1 min later than planned"),
        ("started", timedelta(minutes=60), None, ""),
        ("started", timedelta(minutes=-90), "report_early", "began 1 h 30 min sooner than planned"),
        ("finished", timedelta(hours=3), "report_late", "ended 3 h later than planned"),
        ("finished", timedelta(hours=-2), "report_early", "ended 2 h sooner than planned"),
        ("finished", timedelta(minutes=30), None, ""),
    ],
)
def test_a_start_or_an_end_asks_where_it_is_off_by_more_than_an_hour(
    branch: Branch, kind: str, off: timedelta, reason: str | None, words: str
) -> None:
    row = say(branch, kind, planned(branch)[kind == "finished"] + off)
    assert (row.reason if row is not None else None) == reason
    if row is not None:
        assert row.subject == f"task:{task(branch, 'strip').pk}"
        assert words in row.says
    assert ReplanRequest.objects.count() == (reason is not None), "sent twice, asked once"


def test_what_is_left_asks_where_it_takes_longer_than_the_plan_has(branch: Branch) -> None:
    start_at, _ = planned(branch)
    assert say(branch, "remaining", start_at + HOUR, minutes=6 * 60 - 30) is None
    row = say(branch, "remaining", start_at + HOUR, minutes=8 * 60)
    assert row is not None
    assert (row.reason, "will take 3 h longer" in row.says) == ("report_late", True)


def test_a_short_crew_asks_and_names_it(branch: Branch) -> None:
    row = say(branch, "crew_short", NOW, key="", crew="forms", people=2, on="2026-06-08")
    assert row is not None
    assert (row.reason, row.subject) == ("crew_absent", "crew:forms")
    assert row.says == "Forms crew: 2 of 4 come on Mon 8 Jun."


def test_a_report_that_is_refused_asks_for_nothing(branch: Branch) -> None:
    with pytest.raises(CannotDo):
        say(branch, "crew_short", NOW, key="", crew="nobody", people=2, on="2026-06-08")
    assert not ReplanRequest.objects.exists()


def test_a_note_asks_for_nothing(branch: Branch) -> None:
    assert say(branch, "note", NOW, note="The gate sticks.") is None


def test_a_slot_on_another_day_than_the_plans_asks(branch: Branch) -> None:
    supplier = Supplier.objects.create(branch=branch, role="supplier", kind="pump", name="Pump hire")
    on = planned(branch, "pour")[0].date()

    def booked(day: date) -> ReplanRequest | None:
        row = Booking(supplier=supplier, task=task(branch), kind="pump", on=day, asked_at=NOW)
        row.save()
        found = ask_after_booking(branch=branch, booking=row, now=NOW)
        row.delete()
        return found

    assert booked(on) is None
    row = booked(on + timedelta(days=1))
    assert row is not None
    assert row.reason == "booking_changed"
    assert "Pump hire for Pour at North: booked for Wed 10 Jun" in row.says
