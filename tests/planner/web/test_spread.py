"""How sure a hand-over is: one line and a table on the pool's page, and on Today the promises that are not safe."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.models import Branch, Job
from planner.plans.models import HandOverSpread
from planner.plans.outcomes.spread import HandOver
from planner.plans.selectors import plan_in_force
from planner.plans.spreads import keep_spread, kept_spread
from tests.planner.web.company import NOW
from tests.planner.web.conftest import SignIn
from tests.planner.web.reading import text

PLANNED = date(2026, 7, 17)


def plain(html: str) -> str:
    """The words of a page, with plain spaces."""
    return text(html).replace("\N{NO-BREAK SPACE}", " ")


def hand_over(pool: Job, *late: int | None) -> HandOver:
    days = tuple(None if by is None else PLANNED + timedelta(days=by) for by in late)
    waits = (("Hang liner", 21.0), ("Pour deck", 7.5))
    return HandOver(job=pool.name, job_id=pool.pk, planned_on=PLANNED, days=days, waits=waits)


def keep(branch: Branch, *found: HandOver) -> None:
    plan = plan_in_force(branch=branch)
    assert plan is not None
    keep_spread(plan=plan, found=found, as_of=NOW)


def test_what_is_kept_is_read_back_and_kept_once(branch: Branch) -> None:
    plan = plan_in_force(branch=branch)
    assert plan is not None
    assert kept_spread(plan=plan) == kept_spread(plan=None) == ()
    found = hand_over(Job.objects.get(name="Heron Lane"), 0, 3, None)
    for _ in range(2):
        keep(branch, found)
        assert kept_spread(plan=plan) == (found,)
    assert HandOverSpread.objects.count() == 1


def test_the_pools_page_says_the_shares_and_what_drives_them(sign_in: SignIn, branch: Branch) -> None:
    pool = Job.objects.get(name="Heron Lane")
    Job.objects.filter(pk=pool.pk).update(promised_on=PLANNED + timedelta(days=4))
    client = sign_in()
    where = reverse("pool", args=[pool.pk])
    assert "Hand-over:" not in text(client.get(where).content.decode())
    keep(branch, hand_over(pool, 0, 0, 1, 2, 3, 4, 6, 11, 14, None))
    said = plain(client.get(where).content.decode())
    assert (
        "Hand-over: 10 % by Fri Jul 17, 50 % by Mon Jul 20, 80 % by Tue Jul 28, 90 % by Fri Jul 31, "
        "driven by: Hang liner." in said
    )
    # Six of the ten weathers have it within the four days promised.
    assert "60 % of the weathers keep the promised Tue Jul 21, 80 % of them have it by Tue Jul 28." in said
    assert "3 days after the plan's date" in said
    assert "2.1 days" in said
    assert "over 10 weathers" in said


@pytest.mark.parametrize(
    ("days", "named"), [((0, 0, 0, 5, 9), True), ((0, 0, 0, 4, 9), False), ((0, 0, 0, None, None), True)]
)
def test_today_names_a_promise_that_fewer_than_four_weathers_in_five_keep(
    sign_in: SignIn, branch: Branch, days: tuple[int | None, ...], named: bool
) -> None:
    pool = Job.objects.get(name="Heron Lane")
    Job.objects.filter(pk=pool.pk).update(promised_on=PLANNED + timedelta(days=4))
    keep(branch, hand_over(pool, *days))
    said = plain(sign_in().get("/").content.decode())
    assert ("of the weathers keep the promised Tue Jul 21" in said) == named


def test_a_pool_that_is_planned_late_is_not_named_twice(sign_in: SignIn, branch: Branch) -> None:
    pool = Job.objects.get(name="Heron Lane")
    Job.objects.filter(pk=pool.pk).update(promised_on=PLANNED - timedelta(days=4))
    keep(branch, hand_over(pool, 0, 9))
    assert "of the weathers keep" not in text(sign_in().get("/").content.decode())


def test_as_many_queries_with_one_pools_spread_as_with_six(sign_in: SignIn, branch: Branch) -> None:
    client = sign_in()
    counts = []
    pools = list(Job.objects.order_by("pk"))
    for count in (1, 6):
        keep(branch, *(hand_over(pool, 0, 30) for pool in pools[:count]))
        for path in ("/", reverse("pool", args=[pools[0].pk])):
            client.get(path)
            with CaptureQueriesContext(connection) as queries:
                assert client.get(path).status_code == 200
            counts.append(len(queries))
    assert counts[:2] == counts[2:]
