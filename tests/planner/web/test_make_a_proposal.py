"""Pressing for a proposal: it goes the way of all requests, and says what came of it."""

from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from crews.models import Crew, CrewDay
from jobs.models import Branch
from jobs.services.branches import bump_inputs
from planner.plans.models import Plan, ReplanRequest
from planner.plans.replanning.claims import claim
from planner.plans.replanning.requests import ask
from planner.web.models import Membership
from tests.planner.plans.replanning.yard import NOW, build_yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def branch(settings: Any) -> Branch:
    settings.PLANNER_AS_OF = NOW
    return build_yard()


@pytest.fixture
def office(branch: Branch) -> Client:
    user = User.objects.create_user("office")
    Membership.objects.create(user=user, branch=branch, role="office")
    client = Client()
    client.force_login(user)
    return client


def press(office: Client, branch: Branch) -> str:
    number = max(Plan.objects.filter(branch=branch).values_list("number", flat=True))
    answer = office.post(reverse("changes_make"), {"number": number}, follow=True)
    assert answer.status_code == 200
    return str(answer.content.decode())


def test_where_nothing_moves_it_says_so_and_keeps_no_plan(office: Client, branch: Branch) -> None:
    assert "every start stays where it is" in press(office, branch)
    assert Plan.objects.filter(branch=branch).count() == 1


def test_it_answers_what_was_asked_meanwhile(office: Client, branch: Branch) -> None:
    CrewDay.objects.create(crew=Crew.objects.get(branch=branch, key="fence"), on=NOW.date(), off=True)
    bump_inputs(branch_id=branch.pk)
    ask(branch=branch, reason="crew_absent", subject="crew:fence", says="The fence crew is ill.", now=NOW)
    html = press(office, branch)
    assert "Proposal 2 is made." in html
    assert "The fence crew is ill." in html
    assert "Somebody asked for a plan." in html
    assert set(ReplanRequest.objects.values_list("state", "outcome")) == {("done", 2)}


def test_while_a_worker_plans_the_branch_it_asks_for_patience(office: Client, branch: Branch) -> None:
    claim(branch=branch, lease=timedelta(minutes=5))
    assert "This branch is being planned at the moment" in press(office, branch)
    assert [row.state for row in ReplanRequest.objects.all()] == ["open"]


def test_where_no_plan_is_possible_it_says_why(office: Client, branch: Branch) -> None:
    Crew.objects.filter(branch=branch, key="fence").update(active=False)
    bump_inputs(branch_id=branch.pk)
    html = press(office, branch)
    assert "no crew is listed that could do it" in html
    assert "When last looked, no other plan was possible." in html
