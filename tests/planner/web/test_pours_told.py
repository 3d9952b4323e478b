"""The page Pours: verdicts as they were kept, official warnings, who was told, and the press "Noted"."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from crews.models import Crew, Message
from jobs.models import Branch
from planner.watch.models import Warned, WatchVerdict
from planner.watch.services import judge_branch
from planner.web.models import Membership
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn


@pytest.fixture
def told(branch: Branch) -> Warned:
    """A judged branch, with a warning to the foreman of the west crew that wants an answer by noon."""
    judge_branch(branch=branch, now=NOW)
    verdict = WatchVerdict.objects.filter(branch=branch, current=True).order_by("start_at")[0]
    crew = Crew.objects.get(branch=branch, key="forms-west")
    return Warned.objects.create(
        branch=branch,
        fact="pour:test",
        kind="verdict",
        task=verdict.task,
        start_at=verdict.start_at,
        verdict="move",
        says="Move: the test pour",
        people=[{"key": f"crew:{crew.pk}", "name": "Foreman West"}],
        told_at=NOW,
        answer_by=NOW + timedelta(hours=2),
    )


def case(html: str, says: str) -> str:
    at = html.index(says)
    return html[at : html.index("</li>", at)]


def page(client: Client) -> str:
    return client.get(reverse("pours")).content.decode().replace("\xa0", " ")


def test_it_says_since_when_a_verdict_stands(sign_in: SignIn, told: Warned) -> None:
    html = page(sign_in())
    starts = WatchVerdict.objects.filter(branch=told.branch, current=True).count()
    assert html.count("So since ") == starts > 0


def test_the_office_presses_noted_once_and_the_page_says_who(sign_in: SignIn, told: Warned, branch: Branch) -> None:
    client, url = sign_in("office"), reverse("pours_note", args=[told.pk])
    before = case(page(client), told.says)
    assert "Told today 6:00 am: Foreman West." in before
    assert "Not read yet; wanted by today 8:00 am" in before
    assert 'class="plain"' in before
    assert client.post(url).status_code == 302
    assert sign_in("owner").post(url).status_code == 302
    told.refresh_from_db()
    assert told.noted_by.startswith("office")
    after = case(page(client), f"<b>{told.says}")
    assert f"Read by {told.noted_by}" in after
    assert "<form" not in after


def test_unread_past_its_time_stands_out(sign_in: SignIn, told: Warned, settings: Any) -> None:
    settings.PLANNER_AS_OF = NOW + timedelta(hours=3)
    html = case(page(sign_in()), f"<b>{told.says}")
    assert '<b class="late">' in html


def test_a_foreman_notes_what_went_to_the_own_crew_only(sign_in: SignIn, told: Warned) -> None:
    url = reverse("pours_note", args=[told.pk])
    assert sign_in("foreman", crew="forms-east").post(url).status_code == 404
    assert sign_in("reader").post(url).status_code == 403
    told.refresh_from_db()
    assert told.noted_at is None
    assert sign_in("foreman", crew="forms-west").post(url).status_code == 302
    told.refresh_from_db()
    assert told.noted_at == NOW


def test_a_reader_sees_who_was_told_and_no_button(sign_in: SignIn, told: Warned) -> None:
    html = case(page(sign_in("reader")), f"<b>{told.says}")
    assert "Foreman West" in html
    assert "<form" not in html


def test_what_was_told_of_no_start_stands_at_the_end(sign_in: SignIn, branch: Branch) -> None:
    Warned.objects.create(branch=branch, fact="weekend:x", kind="weekend", says="Before people go home", told_at=NOW)
    html = page(sign_in())
    assert re.search(r"What people were told besides</h2>.*<b>Before people go home</b>", html, re.DOTALL)
    assert "nobody: no address is entered" in html


def test_judging_the_demo_morning_warns_with_a_subject_for_each(branch: Branch) -> None:
    office = Membership.objects.filter(branch=branch, role="office")
    assert not office.exists()
    judged = judge_branch(branch=branch, now=NOW)
    rows = Warned.objects.filter(branch=branch)
    assert rows.count() == len(judged.facts) > 0
    assert not Message.objects.filter(branch=branch, subject="").exists()
