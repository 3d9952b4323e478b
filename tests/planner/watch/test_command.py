"""``manage.py watch`` over rows."""

from datetime import UTC, date, datetime, timedelta
from io import StringIO
from typing import Any, cast

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.test import override_settings

from crews.models import Crew
from jobs.models import Branch, Task
from jobs.snapshots import jobs_of
from planner.demo.company import make_company
from planner.forecast.skies import pull_for_branch
from planner.plans.models import Assignment, Plan

# A Monday morning of the demo's own days.
AS_OF = datetime(2026, 6, 8, 10, tzinfo=UTC)

pytestmark = pytest.mark.django_db


def said(*arguments: str, as_of: datetime = AS_OF) -> str:
    out = StringIO()
    with override_settings(PLANNER_AS_OF=as_of):
        call_command("watch", *arguments, stdout=out)
    return " ".join(out.getvalue().split())


def planned(branch: Branch, key: str, job: str, start_at: datetime, crew: str) -> None:
    """Put one start in force, without the solver."""
    task = Task.objects.get(job__name=job, key=key)
    end_at = start_at + timedelta(hours=6)
    plan = Plan.objects.create(
        branch=branch,
        number=1,
        state=Plan.State.IN_FORCE,
        made_at=AS_OF,
        as_of=AS_OF,
        in_force_at=AS_OF,
        input_revision=branch.input_revision,
        making={},
        cost={},
        document={
            "first_on": date(2026, 6, 8).isoformat(),
            "horizon_days": 120,
            "stays": [{"task": task.pk, "start": start_at.isoformat(), "end": end_at.isoformat(), "crews": [crew]}],
        },
    )
    row = Assignment.objects.create(plan=plan, task=task, start_at=start_at, end_at=end_at)
    cast(Any, row.crews).add(Crew.objects.get(branch=branch, key=crew))
    Branch.objects.filter(pk=branch.pk).update(plan_number=1)


def test_without_a_plan_in_force_it_says_so():
    make_company(as_of=AS_OF)
    with pytest.raises(CommandError) as refused:
        said()
    assert "has no plan in force" in str(refused.value)
    assert "make_plan --in-force" in str(refused.value)


def test_without_a_branch_it_says_so():
    with pytest.raises(CommandError, match="There is no branch"):
        said()


def test_an_unknown_branch_is_named():
    make_company(as_of=AS_OF)
    with pytest.raises(CommandError, match="There is no branch nowhere"):
        said("--branch", "nowhere")


def test_over_the_demo_company_it_prints_starts_states_and_the_weekend():
    branch = make_company(as_of=AS_OF)
    start_at = datetime(2026, 6, 9, 11, tzinfo=UTC)
    planned(branch, "pour_floor", "Millrace Court", start_at, "forms-west")
    without = said()
    assert "UNKNOWN. There is no forecast." in without
    sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
    pull_for_branch(branch=branch, sites=tuple(sites.values()), now=AS_OF)
    spoken = said("--branch", branch.slug)
    assert "7:00 am Tuesday, June 9, Millrace Court: Pour and finish floor with thickened edge (forms-west)" in spoken
    assert "UNKNOWN" not in spoken.split("WHAT STANDS")[0]
    assert "Drying of fresh concrete" in spoken
    assert "Millrace Court: Open dig." in spoken
    assert "BEFORE PEOPLE GO HOME ON FRIDAY, JUNE 12" in spoken
    # A day and a half on, with no new run, the same forecast is stale.
    late = said(as_of=AS_OF + timedelta(hours=20))
    assert "The forecast is stale." in late
