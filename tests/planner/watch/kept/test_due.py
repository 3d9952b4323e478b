"""A branch is due when a run of its cells, a warning, a rung of the ladder or another plan came; else it is left."""

from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import Branch, Task
from planner.forecast.models import OfficialAlert
from planner.watch.due import list_due
from planner.watch.models import BranchWatch
from planner.watch.services import LOOK_AT_LEAST_EVERY, judge_branch
from tests.planner.watch.kept.conftest import POUR_AT
from tests.planner.watch.kept.rows import HOUR, NOW, plan_pour, sky_at

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


def judged(branch: Branch, now: datetime = NOW) -> None:
    sky_at(now - HOUR)
    judge_branch(branch=branch, now=now)


def test_a_branch_never_judged_is_due_once_it_has_a_plan(branch: Branch) -> None:
    assert list_due(NOW) == []
    plan_pour(branch, start_at=POUR_AT)
    assert list_due(NOW) == [branch.pk]


def test_after_a_judgement_it_is_left_alone(branch: Branch, pour: Task) -> None:
    judged(branch)
    assert list_due(NOW + MINUTE) == []
    assert list_due(NOW + LOOK_AT_LEAST_EVERY) == [branch.pk]


def test_a_new_run_of_one_of_its_cells_makes_it_due(branch: Branch, pour: Task) -> None:
    judged(branch)
    sky_at(NOW + MINUTE)
    assert list_due(NOW + 2 * MINUTE) == [branch.pk]
    judge_branch(branch=branch, now=NOW + 2 * MINUTE)
    assert list_due(NOW + 3 * MINUTE) == []


@pytest.mark.parametrize("rung", [48, 24, 12, 3])
def test_each_rung_of_the_ladder_makes_it_due(branch: Branch, pour: Task, rung: int) -> None:
    at = POUR_AT - rung * HOUR
    judged(branch, at - HOUR)
    row = BranchWatch.objects.get(branch=branch)
    assert row.next_at is not None
    assert row.next_at <= at
    judge_branch(branch=branch, now=at - MINUTE)
    assert list_due(at - MINUTE) == []
    assert list_due(at) == [branch.pk]


def test_another_plan_or_another_input_makes_it_due(branch: Branch, pour: Task) -> None:
    judged(branch)
    Branch.objects.filter(pk=branch.pk).update(input_revision=branch.input_revision + 1)
    assert list_due(NOW + MINUTE) == [branch.pk]


def test_a_public_warning_makes_it_due(branch: Branch, pour: Task) -> None:
    judged(branch)
    OfficialAlert.objects.create(
        message_id="urn:oid:1",
        event_key="1",
        sent_at=NOW,
        until_at=NOW + 9 * HOUR,
        first_seen_at=NOW + MINUTE,
        seen_at=NOW + MINUTE,
        facts={},
    )
    assert list_due(NOW + 2 * MINUTE) == [branch.pk]


def test_many_branches_cost_no_more_queries_than_one(branch: Branch, pour: Task) -> None:
    judged(branch)
    with CaptureQueriesContext(connection) as one:
        list_due(NOW + MINUTE)
    for number in range(3):
        Branch.objects.create(
            name=f"Yard {number}",
            slug=f"yard-{number}",
            company="Builders",
            zone=branch.zone,
            opens="07:00",
            closes="15:00",
            yard_latitude=40,
            yard_longitude=-75,
        ).plans.create(
            number=1,
            state="in_force",
            made_at=NOW,
            as_of=NOW,
            in_force_at=NOW,
            input_revision=0,
            making={},
            cost={},
            document={},
        )
    with CaptureQueriesContext(connection) as four:
        due = list_due(NOW + MINUTE)
    assert len(due) == 3
    assert branch.pk not in due
    assert len(one) == len(four)
