"""Ask for a trial, plan it, keep what came of it. A trial reads the branch and writes nothing but its own row."""

import subprocess
import sys
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime, timedelta
from functools import partial

from django.conf import settings
from django.db import IntegrityError, transaction

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from jobs.words import sentence_for
from planner import clock
from planner.plans.asking.wishes import Wish, as_plain, change_of, from_plain
from planner.plans.asking.worlds import try_worlds
from planner.plans.domain.world import World
from planner.plans.models import Trial
from planner.plans.services import world_of
from planner.solver.parameters import Parameters, Repeatable

State = Trial.State
# A page waits for this: little counted work for each plan, and an end by the clock whatever happens.
EFFORT = Repeatable(deterministic_seconds=1.0, outer_seconds=30.0)
LIMIT_SECONDS = 240
# A process that was killed closes nothing: after this its row is as good as broken off.
GIVEN_UP_AFTER = timedelta(seconds=LIMIT_SECONDS + 30)
KEPT = 20
LETTERS = "ABC"
CHILD = "planner.plans.trials.child"


def ask_trial(
    *,
    branch: Branch,
    world: World,
    trials: Sequence[tuple[Wish, ...]],
    asked_by: str,
) -> Trial:
    """Keep what is to be tried and start planning it in a process of its own.

    Raises
    ------
    CannotDo
        ``trials.no_plan`` and ``trials.running``; as ``change_of`` for a wish that names what the branch does not have,
        with the trial's letter before its field.
    """
    if not world.branch.plan_number:
        raise CannotDo("trials.no_plan", field="plan")
    for letter, wishes in zip(LETTERS, trials, strict=False):
        try:
            change_of(world, wishes, title=letter)
        except CannotDo as refused:
            raise CannotDo(refused.code, field=f"{letter.lower()}_{refused.field}", **refused.facts) from refused
    give_up(branch=branch)
    try:
        with transaction.atomic():
            row = Trial.objects.create(
                branch=branch,
                asked_by=asked_by[:150],
                asked_at=world.as_of,
                began_at=clock.running(),
                plan_number=world.branch.plan_number,
                asked=[as_plain(wishes) for wishes in trials],
            )
    except IntegrityError as other:
        raise CannotDo("trials.running", field="trial") from other
    older = Trial.objects.filter(branch=branch).order_by("-id").values_list("pk", flat=True)[KEPT:]
    Trial.objects.filter(pk__in=list(older)).exclude(state=State.PLANNING).delete()
    if settings.PLANNER_TRIALS_START:
        transaction.on_commit(partial(_start, row.pk))
    return row


def _start(trial_id: int) -> None:
    """The process ends by itself; whoever asked does not wait for it."""
    subprocess.Popen(
        [sys.executable, "-m", CHILD, str(trial_id)],
        cwd=settings.ROOT,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        start_new_session=True,
    )


def plan_trial(*, trial_id: int, parameters: Parameters = EFFORT) -> None:
    """Plan the branch as it was when asked, then each trial, all in the same way, and keep what came of it."""
    row = Trial.objects.select_related("branch").get(pk=trial_id, state=State.PLANNING)
    try:
        world = world_of(branch=row.branch, as_of=row.asked_at)
        changes = tuple(
            change_of(world, from_plain(wishes), title=letter)
            for letter, wishes in zip(LETTERS, row.asked, strict=False)
        )
        outcomes = try_worlds(world, changes, parameters, title="")
    except CannotDo as refused:
        close(trial_id=trial_id, says=f"{refused.says} {refused.remedy}")
        return
    plain = [
        {**asdict(one), "handovers": {pool: on.isoformat() for pool, on in one.handovers.items()}} for one in outcomes
    ]
    Trial.objects.filter(pk=trial_id, state=State.PLANNING).update(state=State.DONE, outcomes=plain)


def close(*, trial_id: int, says: str) -> None:
    """Say why a trial has no answer, unless it has one by now."""
    Trial.objects.filter(pk=trial_id, state=State.PLANNING).update(state=State.REFUSED, says=says[:600])


def give_up(*, branch: Branch) -> None:
    """Close trials whose process must be gone."""
    says = " ".join(sentence_for("trials.broke_off", {}))
    late = Trial.objects.filter(branch=branch, state=State.PLANNING, began_at__lt=clock.running() - GIVEN_UP_AFTER)
    late.update(state=State.REFUSED, says=says)


def is_given_up(row: Trial, *, running: datetime) -> bool:
    """Whether a row that says it is being planned has no process any more."""
    return row.state == State.PLANNING and row.began_at < running - GIVEN_UP_AFTER
