"""A plan comes into force once, whole, and only on the inputs it was made from."""

from dataclasses import asdict
from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from jobs.domain.errors import CannotDo
from jobs.models import Branch, Task
from jobs.services.field_reports import report
from planner.plans.models import Assignment, Plan
from planner.plans.services import MadePlan, check_plan_in_force, make_plan, put_in_force
from planner.solver.parameters import GreedyOnly, Repeatable
from tests.planner.web.company import NOW

GREEDY = GreedyOnly()


def propose(branch: Branch) -> MadePlan:
    branch.refresh_from_db()
    return make_plan(branch=branch, as_of=NOW, parameters=GREEDY)


def in_force(branch: Branch) -> Plan:
    return Plan.objects.get(branch=branch, state=Plan.State.IN_FORCE)


def test_a_proposal_changes_nothing_until_it_is_put_in_force(branch: Branch) -> None:
    before = in_force(branch)
    made = propose(branch)
    assert in_force(branch) == before
    put_in_force(branch=branch, plan=made.plan, now=NOW)
    before.refresh_from_db()
    assert in_force(branch) == made.plan
    assert before.state == Plan.State.PAST
    assert made.plan.assignments.count() == len(made.result.assignments)


def test_of_two_who_press_one_wins(branch: Branch) -> None:
    first, second = propose(branch), propose(branch)
    put_in_force(branch=branch, plan=first.plan, now=NOW)
    with pytest.raises(CannotDo, match="came into force since"):
        put_in_force(branch=branch, plan=second.plan, now=NOW)
    assert in_force(branch) == first.plan


def test_a_report_since_stops_a_proposal(branch: Branch) -> None:
    made = propose(branch)
    task = Task.objects.get(job__name="Orchard Row", key="wall_sheet")
    report(
        branch=branch,
        kind="started",
        sent_id=uuid4(),
        said_by="foreman",
        happened_at=NOW,
        received_at=NOW,
        task=task,
    )
    before = in_force(branch)
    with pytest.raises(CannotDo, match=r"cannot come into force"):
        put_in_force(branch=branch, plan=made.plan, now=NOW)
    assert in_force(branch) == before


def test_every_rule_holds_until_a_hand_moves_an_assignment(branch: Branch) -> None:
    _, breaches = check_plan_in_force(branch=branch)
    assert breaches == ()
    call_command("check_plan")
    row = Assignment.objects.filter(plan=in_force(branch), task__key="pour_floor").order_by("pk").first()
    assert row is not None
    Assignment.objects.filter(pk=row.pk).update(
        start_at=row.start_at - timedelta(days=2), end_at=row.end_at - timedelta(days=2)
    )
    _, breaches = check_plan_in_force(branch=branch)
    assert breaches
    with pytest.raises(CommandError, match="breaks"):
        call_command("check_plan")


def test_the_same_inputs_give_the_same_plan(branch: Branch) -> None:
    first = make_plan(branch=branch, as_of=NOW, parameters=Repeatable(deterministic_seconds=0.3))
    second = make_plan(branch=branch, as_of=NOW, parameters=Repeatable(deterministic_seconds=0.3))
    assert first.plan.document == second.plan.document
    assert asdict(first.result.cost) == asdict(second.result.cost)


def test_a_plan_keeps_the_forecast_runs_it_read(branch: Branch) -> None:
    made = propose(branch)
    assert set(made.plan.runs.values_list("pk", flat=True)) == {sky.run for sky in made.world.skies.values()}
