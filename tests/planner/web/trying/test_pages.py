"""Try: only who may plan asks; asking plans nothing; a trial writes nothing but its own row."""

from datetime import timedelta

import pytest
from django.urls import reverse

from jobs.models import Branch, Job
from planner import clock
from planner.plans.models import Assignment, Plan, Trial
from planner.plans.trials.services import GIVEN_UP_AFTER, close, plan_trial
from planner.solver.parameters import GreedyOnly
from tests.planner.web.conftest import SignIn

AWAY = {"a_crew_away": "forms-east", "a_crew_away_from": "2026-06-15", "a_crew_away_until": "2026-06-16"}


def test_a_trial_is_asked_planned_and_read_and_the_plan_stays(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in("office")
    before = (list(Plan.objects.values()), list(Assignment.objects.values()), list(Branch.objects.values()))
    answer = client.post(reverse("try"), AWAY)
    row = Trial.objects.get()
    where = reverse("trial", args=[row.pk])
    assert (answer.status_code, answer["Location"], row.state) == (302, where, "planning")
    waiting = client.get(where).content.decode()
    assert "It is being planned" in waiting
    assert f'hx-get="{where}"' in waiting
    assert "Forms east away" in waiting
    plan_trial(trial_id=row.pk, parameters=GreedyOnly())
    done = client.get(where).content.decode()
    assert "Hand-over of each pool" in done
    assert "Trial A" in done
    assert "hx-get" not in done
    assert "hand-overs later" in client.get(reverse("try")).content.decode()
    after = (list(Plan.objects.values()), list(Assignment.objects.values()), list(Branch.objects.values()))
    assert after == before


def test_a_fault_names_the_line_and_keeps_what_was_entered(sign_in: SignIn) -> None:
    answer = sign_in("owner").post(reverse("try"), AWAY | {"a_crew_away_until": "2026-06-01"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert 'id="a_crew_away-says" class="field-error"' in page
    assert 'value="2026-06-15"' in page
    assert '<option value="forms-east" selected>' in page
    assert Trial.objects.count() == 0


def test_one_trial_at_a_time_until_its_process_must_be_gone(sign_in: SignIn) -> None:
    client = sign_in("office")
    client.post(reverse("try"), AWAY)
    again = client.post(reverse("try"), AWAY)
    assert again.status_code == 409
    assert "is being planned already" in again.content.decode()
    late = clock.running() - GIVEN_UP_AFTER - timedelta(seconds=1)
    Trial.objects.update(began_at=late)
    assert "broke off" in client.get(reverse("trial", args=[Trial.objects.get().pk])).content.decode()
    assert client.post(reverse("try"), AWAY).status_code == 302
    assert sorted(Trial.objects.values_list("state", flat=True)) == ["planning", "refused"]


def test_what_is_gone_when_it_is_planned_is_said(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in("office")
    job = Job.objects.filter(branch=branch).order_by("pk")[0]
    client.post(reverse("try"), {"b_promise": str(job.pk), "b_promise_from": "2026-09-01"})
    row = Trial.objects.get()
    Trial.objects.filter(pk=row.pk).update(
        asked=[[{"kind": "promise", "subject": "0", "from_on": "2026-09-01", "until_on": None}]]
    )
    plan_trial(trial_id=row.pk, parameters=GreedyOnly())
    row.refresh_from_db()
    assert row.state == "refused"
    assert "not open any more" in client.get(reverse("trial", args=[row.pk])).content.decode()
    close(trial_id=row.pk, says="Too late to say anything.")
    row.refresh_from_db()
    assert "not open any more" in row.says


@pytest.mark.parametrize("role", ["foreman", "reader"])
def test_who_may_not_plan_is_not_shown_the_way(sign_in: SignIn, role: str) -> None:
    client = sign_in(role, crew="forms-west" if role == "foreman" else "")
    assert client.get(reverse("try")).status_code == 403
    assert client.post(reverse("try"), AWAY).status_code == 403
    assert reverse("try") not in client.get(reverse("today")).content.decode()
    assert Trial.objects.count() == 0


def test_a_trial_of_another_branch_is_not_found(sign_in: SignIn, other_branch: Branch) -> None:
    row = Trial.objects.create(
        branch=other_branch, asked_by="They", asked_at=clock.now(), began_at=clock.running(), plan_number=7, asked=[]
    )
    client = sign_in("owner")
    assert client.get(reverse("trial", args=[row.pk])).status_code == 404
    assert "They" not in client.get(reverse("try")).content.decode()
