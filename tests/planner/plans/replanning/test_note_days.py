"""Days that pass ask for another plan: silence, slots that lapsed, orders not placed, tickets that end."""

from datetime import date, timedelta

import pytest

from crews.models import Booking, Supplier
from jobs.models import Branch, Task
from jobs.services.branches import bump_inputs
from planner.plans.models import ReplanRequest
from planner.plans.replanning.days import note_days
from planner.plans.replanning.requests import list_open
from planner.plans.services import make_plan
from tests.planner.plans.replanning.yard import DAY, GREEDY, HOUR, NOW, WEEK, build_yard, day_of, in_force, task

pytestmark = pytest.mark.django_db
MONDAY = date(2026, 6, 8)


@pytest.fixture
def branch() -> Branch:
    """The pour is on Friday; strip and fence are today's."""
    return build_yard(pour_in_days=4)


def asked(branch: Branch, now_in_hours: float) -> set[tuple[str, str]]:
    """What is asked for so many hours after six on Monday morning."""
    note_days(branch=branch, now=NOW + timedelta(hours=now_in_hours))
    return {(row.reason, row.subject) for row in list_open(branch=branch)}


def book(branch: Branch, kind: str, on: date, *, state: str = "confirmed", expires_on: date | None = None) -> Booking:
    """A slot for the pour, by a supplier who wants two working days of notice."""
    supplier = needs(branch, kind)
    return Booking.objects.create(
        supplier=supplier,
        task=task(branch),
        kind=kind,
        state=state,
        on=on,
        asked_at=NOW,
        confirmed_at=NOW,
        expires_on=expires_on,
    )


def needs(branch: Branch, kind: str) -> Supplier:
    Task.objects.filter(branch=branch, key="pour").update(details={"bookings": [kind]})
    return Supplier.objects.create(
        branch=branch,
        role="supplier",
        kind=kind,
        name=f"The {kind}",
        notice_working_days=2,
        week=WEEK,
    )


def test_work_nobody_reported_is_asked_about_the_next_morning_and_once_a_day(branch: Branch) -> None:
    strip, fence = task(branch, "strip"), task(branch, "fence")
    both = {("unreported", f"task:{strip.pk}"), ("unreported", f"task:{fence.pk}")}
    assert day_of(in_force(branch), "strip") == day_of(in_force(branch), "fence") == 0
    assert asked(branch, 12) == set(), "not on the evening"
    assert asked(branch, 24.5) == set(), "not before the yard opens"
    assert asked(branch, 25) == both
    ReplanRequest.objects.update(state="done", closed_at=NOW + DAY)
    assert asked(branch, 26) == set(), "once a day"
    assert asked(branch, 49) == both, "and again on the next"


def test_what_was_reported_is_not_asked_about(branch: Branch) -> None:
    strip = task(branch, "strip")
    Task.objects.filter(pk=strip.pk).update(started_at=NOW + HOUR, finished_at=NOW + 6 * HOUR)
    assert ("unreported", f"task:{strip.pk}") not in asked(branch, 25)


def test_nobody_is_asked_on_a_day_off(branch: Branch) -> None:
    assert asked(branch, 5 * 24 + 2) == set(), "Saturday"
    assert len(asked(branch, 7 * 24 + 2)) == 3, "Monday"


def test_a_slot_whose_day_has_passed_before_the_work_has_lapsed(branch: Branch) -> None:
    row = book(branch, "pump", MONDAY)
    assert ("booking_lapsed", f"booking:{row.pk}") not in asked(branch, 10)
    assert ("booking_lapsed", f"booking:{row.pk}") in asked(branch, 25)


def test_a_delivery_that_did_not_come_is_late_and_one_that_came_is_not(branch: Branch) -> None:
    row = book(branch, "steel_delivery", MONDAY)
    assert ("delivery_late", f"booking:{row.pk}") in asked(branch, 25)
    ReplanRequest.objects.all().delete()
    Booking.objects.filter(pk=row.pk).update(state="arrived")
    assert ("delivery_late", f"booking:{row.pk}") not in asked(branch, 26)


def test_an_order_is_due_once_its_notice_has_run_out(branch: Branch) -> None:
    needs(branch, "steel_delivery")
    subject = ("order_due", f"task:{task(branch).pk}:steel_delivery")
    # Two working days before Friday is Wednesday, until the yard's supplier closes at 15:30: 57.5 hours on.
    assert subject not in asked(branch, 57)
    assert subject in asked(branch, 58)


def test_a_ticket_that_ends_before_the_work_is_asked_about(branch: Branch) -> None:
    good = book(branch, "locate_ticket", MONDAY, state="arrived", expires_on=MONDAY + 4 * DAY)
    assert asked(branch, 1) == set(), "it lasts until the day itself"
    Booking.objects.filter(pk=good.pk).update(expires_on=MONDAY + 3 * DAY)
    assert asked(branch, 1) == {("ticket_expires", f"booking:{good.pk}")}


def test_a_proposal_the_facts_have_overtaken_is_asked_about(branch: Branch) -> None:
    plan = make_plan(branch=branch, as_of=NOW, parameters=GREEDY).plan
    assert asked(branch, 1) == set()
    bump_inputs(branch_id=branch.pk)
    assert asked(branch, 1) == {("overtaken", f"plan:{plan.number}")}
