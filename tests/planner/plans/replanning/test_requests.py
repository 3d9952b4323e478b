"""Requests for another plan: one row while they wait, none lost."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from jobs.models import Branch
from planner.plans.models import BranchReplanning, ReplanRequest
from planner.plans.replanning.claims import claim, release, renew
from planner.plans.replanning.requests import ask, list_open, list_waiting
from tests.planner.plans.replanning.yard import HOUR, NOW, build_yard

pytestmark = pytest.mark.django_db
LEASE = timedelta(minutes=5)


@pytest.fixture
def branch() -> Branch:
    return build_yard()


def failed(branch: Branch, says: str = "It did not pass.", subject: str = "task:1") -> ReplanRequest:
    return ask(branch=branch, reason="hold_failed", subject=subject, says=says, now=NOW)


def test_asked_again_while_it_waits_it_stays_one_row_with_the_newer_sentence(branch: Branch) -> None:
    first = failed(branch)
    again = ask(branch=branch, reason="hold_failed", subject="task:1", says="Nor again.", now=NOW + HOUR)
    assert again.pk == first.pk
    (row,) = list_open(branch=branch)
    assert (row.says, row.asked_at, row.again_at) == ("Nor again.", NOW, NOW + HOUR)


def test_another_subject_or_an_answered_request_is_another_row(branch: Branch) -> None:
    first = failed(branch)
    failed(branch, subject="task:2")
    ReplanRequest.objects.filter(pk=first.pk).update(state="taken")
    failed(branch)
    assert len(list_open(branch=branch)) == 3


def test_the_database_refuses_a_second_open_row(branch: Branch) -> None:
    row = failed(branch)
    with pytest.raises(IntegrityError), transaction.atomic():
        ReplanRequest.objects.create(
            branch=branch, reason=row.reason, subject=row.subject, says="twice", asked_at=NOW, again_at=NOW
        )


def test_a_request_goes_with_the_fact_it_follows_from(branch: Branch) -> None:
    with transaction.atomic():
        failed(branch)
        transaction.set_rollback(True)
    assert list_open(branch=branch) == []


def test_a_reason_nobody_knows_is_a_bug(branch: Branch) -> None:
    with pytest.raises(ValueError, match="tea time"):
        ask(branch=branch, reason="tea time", subject="", says="?", now=NOW)


def test_branches_wait_until_somebody_plans_them_and_again_when_that_claim_has_run_out(branch: Branch) -> None:
    assert list_waiting(NOW) == ()
    failed(branch)
    assert list_waiting(NOW) == (branch.pk,)
    assert list_waiting(NOW - HOUR) == ()
    mark = claim(branch=branch, lease=LEASE)
    assert list_waiting(NOW) == ()
    ReplanRequest.objects.update(state="taken")
    BranchReplanning.objects.update(claimed_until=NOW.replace(year=2001))
    assert list_waiting(NOW) == (branch.pk,)
    release(branch=branch, mark=mark)
    assert list_waiting(NOW) == (branch.pk,)


def test_of_two_claims_one_holds_and_a_lost_one_renews_nothing(branch: Branch) -> None:
    first = claim(branch=branch, lease=LEASE)
    assert first
    assert claim(branch=branch, lease=LEASE) == ""
    assert renew(branch=branch, mark=first, lease=LEASE)
    BranchReplanning.objects.update(claimed_until=NOW.replace(year=2001))
    second = claim(branch=branch, lease=LEASE)
    assert second not in ("", first)
    assert not renew(branch=branch, mark=first, lease=LEASE)
    release(branch=branch, mark=first)
    assert claim(branch=branch, lease=LEASE) == ""
