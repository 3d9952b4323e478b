"""Each foreman is told the next day once a plan, and again only where the day has changed."""

import re
from collections.abc import Iterator
from datetime import date, time, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from crews.domain.working_time import local_moment
from crews.models import Crew, Message
from crews.selectors import list_dead
from crews.services.outbox import deliver_due
from jobs.models import Branch, Site
from planner.dayplans.models import DayLink, DayTold
from planner.dayplans.private_links import end_link
from planner.dayplans.sending import send_day_plans, send_due_day_plans
from planner.plans.models import Assignment, Plan
from tests.crews.mailbox import Mailbox, body_of, mail_server
from tests.planner.web.company import NOW

TUESDAY = date(2026, 6, 9)


@pytest.fixture
def mailbox(settings: Any) -> Iterator[Mailbox]:
    box = Mailbox()
    with mail_server(box) as url:
        settings.PLANNER_MAIL_URL, settings.PLANNER_MAIL_FROM = url, "office@example.org"
        settings.PLANNER_PUBLIC_URL = "https://plans.example.org"
        yield box


@pytest.fixture
def crew(branch: Branch) -> Crew:
    """A crew with work on Tuesday; the only one with an address."""
    plan = Plan.objects.get(branch=branch, state=Plan.State.IN_FORCE)
    begins = plan.assignments.filter(start_at__range=(NOW + timedelta(days=1), NOW + timedelta(days=1, hours=9)))
    crew = Crew.objects.filter(own=True, assignments__in=begins).order_by("pk")[0]
    Crew.objects.filter(pk=crew.pk).update(email="foreman@example.org", language="en")
    Crew.objects.filter(branch=branch).exclude(pk=crew.pk).update(active=False)
    Site.objects.filter(branch=branch).update(access_note="Gate code 4711")
    return crew


def move(branch: Branch, crew: Crew, by: timedelta) -> None:
    """A later plan in which the crew's work begins at another time."""
    plan = Plan.objects.get(branch=branch, state=Plan.State.IN_FORCE)
    rows = list(plan.assignments.filter(crews=crew))
    Plan.objects.filter(pk=plan.pk).update(state=Plan.State.PAST)
    newer = Plan.objects.create(
        branch=branch,
        number=plan.number + 1,
        state=Plan.State.IN_FORCE,
        made_at=NOW,
        as_of=NOW,
        in_force_at=NOW,
        input_revision=plan.input_revision,
        making={},
        cost={},
        document=plan.document,
    )
    for row in rows:
        later = Assignment.objects.create(plan=newer, task=row.task, start_at=row.start_at + by, end_at=row.end_at + by)
        later.crews.add(crew)


def test_the_plan_arrives_with_a_link_that_opens_it_and_is_stored_nowhere(
    branch: Branch, crew: Crew, mailbox: Mailbox
) -> None:
    assert send_day_plans(branch=branch, on=TUESDAY, now=NOW) == 1
    assert send_day_plans(branch=branch, on=TUESDAY, now=NOW) == 0
    deliver_due(now=NOW)
    (letter,) = mailbox.letters
    assert letter["Subject"] == f"Day plan for {crew.name}, Tuesday, June 9"
    found = re.search(r"https://plans\.example\.org(/day/\S+)", body_of(letter))
    assert found is not None
    page = Client().get(found[1])
    assert page.status_code == 200
    assert crew.name in page.content.decode()
    token = found[1].split("/")[2]
    for row in Message.objects.all():
        assert token not in " ".join(str(getattr(row, field.name)) for field in Message._meta.concrete_fields)


def test_gate_codes_and_phones_stay_out_of_texts_and_subjects(
    branch: Branch, crew: Crew, settings: Any, mailbox: Mailbox
) -> None:
    settings.PLANNER_TEXT_URL, settings.PLANNER_TEXT_BODY = "https://gate.example.org/", "To={to}&Body={text}"
    Crew.objects.filter(pk=crew.pk).update(phone="(609) 555-0123")
    send_day_plans(branch=branch, on=TUESDAY, now=NOW)
    mail, text = Message.objects.order_by("channel")
    assert (mail.channel, text.channel) == ("mail", "text")
    assert "4711" in mail.body
    assert text.body.startswith(f"[[link]] Day plan for {crew.name}")
    for words in (text.body, mail.subject, text.subject):
        assert "4711" not in words
        assert "555-" not in words


def test_a_plan_that_leaves_the_day_alone_tells_nobody(branch: Branch, crew: Crew, mailbox: Mailbox) -> None:
    send_day_plans(branch=branch, on=TUESDAY, now=NOW)
    move(branch, crew, timedelta(0))
    assert send_day_plans(branch=branch, on=TUESDAY, now=NOW) == 0


def test_a_day_that_changes_is_told_again_with_what_changed(branch: Branch, crew: Crew, mailbox: Mailbox) -> None:
    send_day_plans(branch=branch, on=TUESDAY, now=NOW)
    deliver_due(now=NOW)
    move(branch, crew, timedelta(hours=1))
    assert send_day_plans(branch=branch, on=TUESDAY, now=NOW) == 1
    deliver_due(now=NOW)
    first, second = mailbox.letters
    assert second["Subject"] == f"Changed: day plan for {crew.name}, Tuesday, June 9"
    body = body_of(second)
    assert "CHANGED SINCE YOU WERE TOLD PLAN" in body
    assert first["Message-ID"] != second["Message-ID"]
    move(branch, crew, timedelta(hours=-1))
    assert send_day_plans(branch=branch, on=TUESDAY, now=NOW) == 1, "back to the first plan is a change too"
    assert DayTold.objects.filter(crew=crew).count() == 3


def test_what_has_not_gone_out_yet_is_overtaken(branch: Branch, crew: Crew, mailbox: Mailbox) -> None:
    send_day_plans(branch=branch, on=TUESDAY, now=NOW)
    move(branch, crew, timedelta(hours=1))
    send_day_plans(branch=branch, on=TUESDAY, now=NOW)
    deliver_due(now=NOW)
    assert [letter["Subject"][:7] for letter in mailbox.letters] == ["Changed"]


def test_tomorrow_goes_out_an_hour_before_closing(branch: Branch, crew: Crew, mailbox: Mailbox) -> None:
    hour_before = local_moment(branch.zone, NOW.date(), branch.closes) - timedelta(hours=1)
    assert send_due_day_plans(branch=branch, now=hour_before - timedelta(minutes=1)) == 0
    assert send_due_day_plans(branch=branch, now=hour_before) == 1
    assert DayTold.objects.get().on == TUESDAY
    assert send_due_day_plans(branch=branch, now=hour_before + timedelta(hours=1)) == 0


def test_a_saturday_that_was_bought_is_told_on_friday_and_its_end_on_saturday(
    branch: Branch, crew: Crew, mailbox: Mailbox
) -> None:
    """The branch has Saturdays off: its next working day is Monday."""
    move(branch, crew, timedelta(days=4))
    saturday = TUESDAY + timedelta(days=4)
    friday = local_moment(branch.zone, saturday - timedelta(days=1), branch.closes) - timedelta(hours=1)
    send_due_day_plans(branch=branch, now=friday)
    assert saturday in DayTold.objects.values_list("on", flat=True)
    move(branch, crew, timedelta(days=7))
    at_six = local_moment(branch.zone, saturday, time(6))
    assert send_due_day_plans(branch=branch, now=at_six) >= 1
    assert DayTold.objects.filter(on=saturday).count() == 2, "told that there is no work on this day any more"


def test_an_office_without_a_way_to_people_tells_them_itself(branch: Branch, crew: Crew) -> None:
    closing = local_moment(branch.zone, NOW.date(), branch.closes)
    assert send_due_day_plans(branch=branch, now=closing) == 0
    assert not Message.objects.exists()


def test_saying_seen_answers_the_message(branch: Branch, crew: Crew, mailbox: Mailbox) -> None:
    send_day_plans(branch=branch, on=TUESDAY, now=NOW)
    row = Message.objects.get()
    assert row.answer_by == NOW + timedelta(hours=25)
    deliver_due(now=NOW)
    path = re.search(r"/day/\S+", body_of(mailbox.letters[0]))
    assert path is not None
    token = path[0].split("/")[2]
    number = Plan.objects.get(branch=branch, state=Plan.State.IN_FORCE).number
    said = Client().post(
        reverse("day_seen", args=[token, "2026-06-09"]), {"plan_number": number, "said_by": "A. Foreman"}
    )
    assert said.status_code in (200, 302)
    row.refresh_from_db()
    assert row.answered_at is not None


def test_a_link_that_was_ended_is_not_sent(branch: Branch, crew: Crew, mailbox: Mailbox) -> None:
    send_day_plans(branch=branch, on=TUESDAY, now=NOW)
    end_link(link=DayLink.objects.get())
    assert deliver_due(now=NOW).dead == 1
    assert mailbox.letters == []
    assert "has been ended" in list_dead(branch=branch)[0].last_error
