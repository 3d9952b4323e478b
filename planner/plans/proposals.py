"""What a proposal changes, and the two answers to it."""

from dataclasses import replace
from datetime import datetime

from django.core.cache import cache
from django.db import transaction
from django.db.models import Exists, OuterRef, Q

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.plans.domain.changes import ChangeSet, compare
from planner.plans.domain.triggers.reasons import SHOWN_ALWAYS
from planner.plans.domain.world import Stay, World
from planner.plans.models import Plan, ReplanRequest
from planner.plans.replanning.forecast import worse_words
from planner.plans.services import assembled_for, document_stays, put_in_force, world_of
from planner.solver.result import Assignment

KEPT_SECONDS = 3600


def changes_of(*, world: World, before: tuple[Stay, ...], proposal: Plan) -> ChangeSet:
    """What moves from the stays in force to a proposal, both judged on the inputs of ``world``.

    Judging asks the weather of every start, which takes seconds; the answer is kept for as long as plan, proposal,
    inputs and forecast runs are the same.
    """
    runs = ",".join(str(run) for run in sorted({sky.run for sky in world.skies.values()}))
    key = f"changes:{proposal.pk}:{world.branch.plan_number}:{world.branch.input_revision}:{runs}"
    kept: ChangeSet | None = cache.get(key)
    if kept is not None:
        return kept
    # Seen from the moment the proposal was made: nothing of it may read as past because a page is opened later.
    seen = replace(world, as_of=proposal.as_of, told=before)
    assembled = assembled_for(seen, proposal)
    keys = {task.id: key for key, (_, task) in assembled.tasks.items()}
    pins = {task.key: task.pin for task in assembled.problem.tasks if task.pin is not None}
    after = []
    for stay in document_stays(proposal):
        if stay.task not in keys:
            continue
        name, line = keys[stay.task], assembled.line
        pin = pins.get(name)
        after.append(
            Assignment(task=name, start=pin.start, end=pin.end, crews=pin.crews or stay.crews)
            if pin is not None
            else Assignment(task=name, start=line.minute(stay.start_at), end=line.minute(stay.end_at), crews=stay.crews)
        )
    changes = compare(assembled, before, tuple(after))
    cache.set(key, changes, KEPT_SECONDS)
    return changes


def take(*, branch: Branch, number: int, now: datetime) -> Plan:
    """Put the proposal of a number in force; pressing again after it worked changes nothing.

    One whose starts a newer forecast has made clearly worse is refused, although it may break no rule.

    Raises
    ------
    CannotDo
        ``plans.no_proposal``; ``plans.overtaken``, and as ``put_in_force``.
    """
    plan = _numbered(branch, number)
    if plan.state == Plan.State.IN_FORCE:
        return plan
    with transaction.atomic():
        taken = put_in_force(branch=branch, plan=plan, now=now)
        says = worse_words(world_of(branch=branch, as_of=now), taken)
        if says:
            raise CannotDo("plans.overtaken", field="plan", number=number, changed=says)
    return taken


def drop_older(*, branch: Branch, because: str, but: int) -> int:
    """Drop every proposal that waits but one, with the reason; how many were dropped."""
    waiting = Plan.objects.filter(branch=branch, state=Plan.State.PROPOSED).exclude(number=but)
    return waiting.update(state=Plan.State.DROPPED, dropped_because=because)


def drop_needless(*, branch: Branch, because: str) -> int:
    """Drop the proposals that nobody asked to see, or that can no longer be taken; how many were dropped."""
    answers = ReplanRequest.objects.filter(branch=branch, outcome=OuterRef("number")).exclude(reason__in=SHOWN_ALWAYS)
    current = Q(follows=branch.plan_number, input_revision=branch.input_revision)
    waiting = Plan.objects.filter(branch=branch, state=Plan.State.PROPOSED)
    return waiting.filter(~current | Exists(answers)).update(state=Plan.State.DROPPED, dropped_because=because)


def keep(*, branch: Branch, number: int) -> Plan:
    """Drop a proposal: the plan in force stays as it is. Pressing again changes nothing.

    Raises
    ------
    CannotDo
        ``plans.no_proposal``; ``plans.already_taken`` where it is or was in force.
    """
    plan = _numbered(branch, number)
    with transaction.atomic():
        Plan.objects.filter(pk=plan.pk, state=Plan.State.PROPOSED).update(state=Plan.State.DROPPED)
        plan.refresh_from_db()
        if plan.state != Plan.State.DROPPED:
            raise CannotDo("plans.already_taken", field="number", number=number)
    return plan


def _numbered(branch: Branch, number: int) -> Plan:
    plan = Plan.objects.filter(branch=branch, number=number).first()
    if plan is None:
        raise CannotDo("plans.no_proposal", field="number", number=number)
    return plan
