"""Calls by deadline: one list on the page and in the office's mail, and letters that stand in for calls."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.urls import reverse

from crews.models import Booking, BranchReach, Crew, Message, Supplier
from crews.services import bookings
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_vocabulary
from jobs.models import Branch, Task
from planner.dayplans.domain.calling import list_calls
from planner.dayplans.reminding import remind
from planner.plans.models import ReplanRequest
from planner.plans.services import world_of
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import page_of, text

pytestmark = pytest.mark.django_db
# The yard opens at seven in New Jersey.
OPENING = NOW + timedelta(hours=1)


@pytest.fixture
def office(sign_in: SignIn) -> Any:
    client = sign_in("office")
    User.objects.update(email="office@example.org")
    return client


def calls(client: Any) -> list[Any]:
    return [row.view for row in page_of(client.get(reverse("holds"))).calls]


def test_the_page_lists_every_call_with_its_deadline_and_number(office: Any) -> None:
    found = calls(office)
    assert found
    words = text(office.get(reverse("holds")).content.decode())
    for call in found:
        assert call.what in words
        assert call.phone in words
    assert {one.act for one in found} >= {"make"}


def test_the_office_is_reminded_of_the_same_list_once_a_morning(office: Any, branch: Branch) -> None:
    remind(branch=branch, now=NOW)
    lists = Message.objects.filter(fact__startswith="calls:")
    assert not lists.exists(), "not before the yard opens"
    assert remind(branch=branch, now=OPENING).reminders >= 1
    assert remind(branch=branch, now=OPENING + timedelta(minutes=5)).reminders == 0
    message = lists.get()
    assert message.fact == "calls:2026-06-08"
    assert message.address == "office@example.org"
    due = [call for call in calls(office) if call.what in message.body]
    assert due
    for call in due:
        assert call.who in message.body
        assert call.phone in message.body
        assert call.phone not in message.subject


def test_one_more_word_comes_before_a_deadline(office: Any, branch: Branch) -> None:
    world = world_of(branch=branch, as_of=NOW)
    due = [one.call.by_at for one in list_calls(world, world.told, load_vocabulary()) if one.call.by_at is not None]
    first = min(at for at in due if at > NOW)
    last = Message.objects.filter(fact__endswith=":last")
    remind(branch=branch, now=first - timedelta(hours=2, minutes=1))
    assert not last.exists(), "not earlier than two hours before"
    remind(branch=branch, now=first - timedelta(hours=1))
    count = last.count()
    assert count >= due.count(first)
    assert all(row.subject.startswith("Last call by ") for row in last)
    remind(branch=branch, now=first - timedelta(minutes=50))
    assert last.count() == count


def test_no_list_on_a_day_off(office: Any, branch: Branch) -> None:
    saturday = OPENING + timedelta(days=5, hours=2)
    remind(branch=branch, now=saturday)
    assert not Message.objects.filter(fact="calls:2026-06-13").exists()


def test_writing_instead_of_calling_asks_for_the_day_once(office: Any, branch: Branch) -> None:
    Supplier.objects.filter(branch=branch).update(email="supplier@example.org")
    BranchReach.objects.create(
        branch=branch, mail="office@example.org", ask_letter="We want {what} on {day}. {company}"
    )
    row = next(one for one in page_of(office.get(reverse("holds"))).calls if one.view.act == "make" and one.can_write)
    answer = office.post(reverse("calls_write"), {"fact": row.view.fact})
    assert answer.status_code == 302
    message = Message.objects.get(fact=f"letter:{row.view.fact}")
    assert message.body.startswith("We want ")
    assert message.body.endswith(branch.company)
    assert message.reply_to == "office@example.org"
    booking = (
        Booking.objects.filter(task=row.view.task_id).exclude(state="cancelled").get(kind=row.view.fact.split(":")[3])
    )
    assert booking.state == "asked"
    assert row.view.fact not in {one.fact for one in calls(office)}
    again = office.post(reverse("calls_write"), {"fact": row.view.fact})
    assert again.status_code == 409
    assert "no longer on the list" in text(again.content.decode())


def test_what_came_of_a_call_is_kept_on_its_row(office: Any, branch: Branch) -> None:
    row = next(one for one in page_of(office.get(reverse("holds"))).calls if one.view.act == "make")
    assert (row.can_book, row.can_call_off) == (True, False)
    kept = Booking.objects.filter(task=row.view.task_id, kind=row.view.fact.split(":")[3]).exclude(state="cancelled")

    def say(said: str, **entered: str) -> Any:
        return office.post(reverse("calls_keep"), {"fact": row.view.fact, "said": said, **entered})

    assert say("maybe", on=row.wanted).status_code == 404
    assert say("yes", on="soon").status_code == 409
    assert not kept.exists()
    done = office.get(say("yes", on=row.wanted).url)
    assert kept.get().state == "confirmed"
    assert kept.get().on.isoformat() == row.wanted
    assert "they said yes for " in text(done.content.decode())
    assert row.view.fact not in {one.fact for one in calls(office)}
    assert say("yes", on=row.wanted).status_code == 409, "it is no longer on the list"
    assert not ReplanRequest.objects.exists(), "the day is the plan's"


def test_another_day_than_the_plans_asks_for_another_plan(office: Any, branch: Branch) -> None:
    row = next(one for one in page_of(office.get(reverse("holds"))).calls if one.view.act == "make")
    on = (date.fromisoformat(row.wanted) + timedelta(days=7)).isoformat()
    office.post(reverse("calls_keep"), {"fact": row.view.fact, "said": "asked", "on": on})
    assert ReplanRequest.objects.get().reason == "booking_changed"
    moved = next(one for one in page_of(office.get(reverse("holds"))).calls if one.view.task_id == row.view.task_id)
    assert (moved.view.act, moved.can_call_off) == ("move", True)
    office.post(reverse("calls_keep"), {"fact": moved.view.fact, "said": "off"})
    assert Booking.objects.filter(task=row.view.task_id, state="cancelled").exists()


def test_a_crew_from_outside_is_booked_for_work_whose_method_names_no_booking(branch: Branch) -> None:
    """An electrician of another company comes only when booked, whatever the build method says."""
    crew = Crew.objects.filter(branch=branch, booked_through__isnull=False, trades__trade="electrical").get()
    task = Task.objects.filter(branch=branch, trade="electrical", kind="work", finished_at__isnull=True).first()
    assert task is not None
    assert crew.booked_through is not None
    kind = crew.booked_through.kind
    assert kind not in task.details.get("bookings", ())
    booking = bookings.confirm(branch=branch, task=task, kind=kind, on=date(2026, 7, 1), now=NOW)
    assert booking.state == "confirmed"
    other = Task.objects.filter(branch=branch, kind="work").exclude(trade="electrical").first()
    assert other is not None
    with pytest.raises(CannotDo, match="needs no booking"):
        bookings.confirm(branch=branch, task=other, kind=kind, on=date(2026, 7, 1), now=NOW)


def test_letters_go_by_themselves_only_where_the_office_says_so(office: Any, branch: Branch) -> None:
    Supplier.objects.filter(branch=branch).update(email="supplier@example.org")
    assert remind(branch=branch, now=OPENING).letters == 0
    Message.objects.all().delete()
    BranchReach.objects.create(branch=branch, writes_by_itself=True)
    done = remind(branch=branch, now=OPENING)
    assert done.letters == Message.objects.filter(fact__startswith="letter:").count() > 0
    assert remind(branch=branch, now=OPENING).letters == 0


def test_a_letter_with_an_unknown_field_is_refused_where_it_is_entered(branch: Branch) -> None:
    reach = BranchReach(branch=branch, move_letter="{what} {day} {booked} {price}")
    with pytest.raises(ValidationError) as refused:
        reach.full_clean()
    assert "move_letter" in refused.value.message_dict
