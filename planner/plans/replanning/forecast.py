"""What a new forecast does to the starts of a branch: asks for another plan where it must, and only then."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cached_property
from zoneinfo import ZoneInfo

from django.db import transaction

from jobs.models import Branch
from jobs.words import sentence_for
from planner.plans.domain.triggers.hysteresis import Crossing, Memory, has_worsened, weigh
from planner.plans.domain.triggers.reasons import Reason
from planner.plans.domain.triggers.starts import Room, StartReading, readings
from planner.plans.domain.world import Stay, World
from planner.plans.models import Plan, StartMemory
from planner.plans.replanning.requests import ask
from planner.plans.selectors import newest_proposal, plan_in_force
from planner.plans.services import assembled_for, document_stays, world_of

REASON_OF: Mapping[Crossing, Reason] = {
    "worse": "forecast_breaks",
    "better": "forecast_improves",
    "eased": "forecast_improves",
}


def note_forecast(*, branch: Branch, now: datetime) -> int:
    """Weigh the newest forecast runs over every planned start, and ask where another plan is called for.

    Call it after each pull that brought new runs; a run that was weighed already counts once. A stale or missing
    forecast asks for nothing.

    Returns
    -------
    int
        How many requests were written.
    """
    plan = plan_in_force(branch=branch)
    if plan is None:
        return 0
    world = world_of(branch=branch, as_of=now)
    room = _Room(world, plan)
    found = readings(world, world.told, is_free=room.is_free)
    asked = 0
    with transaction.atomic():
        # Two workers with the same news wait for each other here, and the second finds it weighed.
        Branch.objects.select_for_update().get(pk=branch.pk)
        known = {row.task_id: row for row in StartMemory.objects.filter(plan=plan)}
        for one in found:
            row = known.get(one.task.id)
            if row is not None and row.run == one.run:
                continue
            before = memory_of(row) if row is not None else planned_memory(plan).get(one.task.id, fresh_memory(one))
            after, crossing = weigh(before, one.reading)
            _remember(plan, one, after)
            if crossing is not None:
                _ask(branch, world, one, before, crossing, now)
                asked += 1
        asked += _note_proposal(branch, world, now)
    return asked


class _Room:
    """Room to move, assembled only where a sky asks for it: that takes seconds."""

    def __init__(self, world: World, plan: Plan) -> None:
        self._world = world
        self._plan = plan

    @cached_property
    def _made(self) -> Room:
        return Room(assembled_for(self._world, self._plan), self._world.told)

    def is_free(self, task: int, start_at: datetime) -> bool:
        return self._made.is_free(task, start_at)


def planned_memory(plan: Plan) -> dict[int, Memory]:
    """The starts of a plan as it took them, by task id."""
    return {
        stay["task"]: Memory(
            chance=stay["sky"]["chance"],
            dollars=stay["sky"]["dollars"],
            # What the sky forbade when the plan was made is no news.
            asked_worse=stay["sky"].get("forbidden", False),
        )
        for stay in plan.document["stays"]
        if "sky" in stay
    }


def fresh_memory(one: StartReading) -> Memory:
    """A start nobody has weighed yet, taken as it is."""
    return Memory(chance=one.reading.chance, dollars=one.reading.dollars)


def memory_of(row: StartMemory) -> Memory:
    """A remembered start as a value."""
    return Memory(
        chance=row.chance,
        dollars=row.dollars,
        worse_runs=row.worse_runs,
        better_runs=row.better_runs,
        eased_runs=row.eased_runs,
        asked_worse=row.asked_worse,
        asked_gain=row.asked_gain,
    )


def worsened(world: World, plan: Plan, stays: Sequence[Stay]) -> tuple[StartReading, ...]:
    """Starts of a stored plan that the newest forecast forbids, or makes worse by more than noise."""
    planned = planned_memory(plan)
    return tuple(
        one
        for one in readings(world, stays, is_free=lambda task, start_at: False)
        if one.task.id in planned and has_worsened(planned[one.task.id], one.reading)
    )


def overtaken_by(world: World, proposal: Plan) -> str:
    """Why a proposal may not come into force any more, in a sentence; empty where it still may."""
    branch = world.branch
    if proposal.follows != branch.plan_number:
        return sentence_for("replan.plan_since", {"number": branch.plan_number})[0]
    if proposal.input_revision != branch.input_revision:
        return sentence_for("replan.inputs_since", {"number": proposal.number})[0]
    return worse_words(world, proposal)


def worse_words(world: World, proposal: Plan) -> str:
    """That a newer forecast has overtaken a proposal, with the first start it makes worse; empty where it has not."""
    found = worsened(world, proposal, document_stays(proposal))
    if not found:
        return ""
    says = start_words(world, found[0], "now_worse").strip()
    return sentence_for("replan.proposal_worse", {"number": proposal.number, "says": says})[0]


def start_words(world: World, one: StartReading, code: str, before: Memory | None = None) -> str:
    """The sentence of a start under a newer forecast."""
    start = one.stay.start_at.astimezone(ZoneInfo(world.branch.zone))
    sooner = one.sooner_at.astimezone(start.tzinfo) if one.sooner_at is not None else None
    return sentence_for(
        f"replan.{code}",
        {
            "task": one.task.title,
            "pool": one.job.name or one.task.site.name,
            "when": f"{start:%a} {start.day} {start:%b %H:%M}",
            "chance": one.reading.chance,
            "before": before.chance if before is not None else one.reading.chance,
            "why": one.judgement.reasons[0] if one.judgement.reasons else "",
            "sooner": f"{sooner:%a} {sooner.day} {sooner:%b}" if sooner is not None else "",
            "gain": one.reading.gain_dollars,
        },
    )[0]


def _ask(branch: Branch, world: World, one: StartReading, before: Memory, crossing: Crossing, now: datetime) -> None:
    code = "forbidden" if crossing == "worse" and one.reading.forbidden else crossing
    ask(
        branch=branch,
        reason=REASON_OF[crossing],
        subject=f"task:{one.task.id}",
        says=start_words(world, one, code, before),
        now=now,
    )


def _note_proposal(branch: Branch, world: World, now: datetime) -> int:
    """Ask for another plan where the forecast has overtaken the proposal that waits."""
    proposal = newest_proposal(branch=branch)
    says = worse_words(world, proposal) if proposal is not None else ""
    if proposal is None or not says:
        return 0
    ask(branch=branch, reason="overtaken", subject=f"plan:{proposal.number}", says=says, now=now)
    return 1


def _remember(plan: Plan, one: StartReading, memory: Memory) -> None:
    StartMemory.objects.update_or_create(
        plan=plan,
        task_id=one.task.id,
        defaults={
            "run": one.run,
            "chance": memory.chance,
            "dollars": memory.dollars,
            "worse_runs": memory.worse_runs,
            "better_runs": memory.better_runs,
            "eased_runs": memory.eased_runs,
            "asked_worse": memory.asked_worse,
            "asked_gain": memory.asked_gain,
        },
    )
