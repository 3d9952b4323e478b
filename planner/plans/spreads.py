"""The spread of a plan's hand-overs, kept beside the plan and reckoned in short turns of its own."""

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from typing import Any, Literal

from django.db import transaction
from django.db.models import Q

from jobs.models import Branch
from planner.plans.asking.outcome import standing_of
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.domain.world import World
from planner.plans.models import HandOverSpread, Plan, SpreadUnderWay
from planner.plans.outcomes.spread import (
    REACH_DAYS,
    WEATHERS,
    HandOver,
    joined,
    spread_in,
    spread_of,
    weathers_over,
)
from planner.plans.selectors import plan_in_force
from planner.plans.services import world_of

# A day's forecasts move a spread of weeks little; after that it is reckoned again.
LASTS = timedelta(days=1)

Reckoned = Literal["whole", "more", "no_plan"]
Enough = Callable[[], bool]


def _endless() -> Enough:
    return lambda: False


def spread_standing(*, world: World, plan: Plan, weathers: int = WEATHERS) -> tuple[HandOver, ...]:
    """When the plan in force, as it stands in the world, hands each pool over in so many weathers.

    Raises
    ------
    CannotDo
        ``asking.weathers`` for a number of weathers out of range.
    """
    assembled = _assembled(world, plan)
    return spread_of(world, assembled, standing_of(world, assembled), weathers=weathers)


def keep_spread(*, plan: Plan, found: Sequence[HandOver], as_of: datetime) -> None:
    """Keep the spread of a plan, in place of one kept before."""
    HandOverSpread.objects.update_or_create(plan=plan, defaults={"as_of": as_of, "pools": _pools(found, digits=2)})


def _pools(found: Sequence[HandOver], *, digits: int) -> list[dict[str, Any]]:
    return [
        {
            "job": one.job_id,
            "name": one.job,
            "planned": one.planned_on.isoformat(),
            "days": [day.isoformat() if day is not None else None for day in one.days],
            "waits": [[title, round(days, digits)] for title, days in one.waits],
        }
        for one in found
    ]


def kept_spread(*, plan: Plan | None) -> tuple[HandOver, ...]:
    """The spread kept of a plan, pool by pool; empty where none was reckoned yet."""
    kept = HandOverSpread.objects.filter(plan=plan).first() if plan is not None else None
    return tuple(_hand_over(one) for one in kept.pools) if kept is not None else ()


def list_without_spread(*, now: datetime) -> list[int]:
    """Branches whose plan in force has no spread, or one from before what is known of the sky today."""
    aged = Q(hand_over_spread__isnull=True) | Q(hand_over_spread__as_of__lt=now - LASTS)
    in_force = Plan.objects.filter(aged, state=Plan.State.IN_FORCE)
    return list(in_force.order_by("branch").values_list("branch", flat=True))


def reckon_spread(*, branch: Branch, now: datetime, turn: Callable[[], Enough] = _endless) -> Reckoned:
    """Carry a branch's plan in force through some more weathers, and keep its spread once it went through all.

    Parameters
    ----------
    now : datetime
        The present of plans and weather, aware.
    turn : callable
        Called once the branch is read: begins the turn, and gives what is asked after each weather, whether the rest
        waits for another turn.

    Returns
    -------
    "whole" where the spread is kept, "more" where another turn goes on, "no_plan" where none is in force.
    """
    plan = plan_in_force(branch=branch)
    if plan is None:
        return "no_plan"
    begun = _under_way(branch, plan, now)
    world = world_of(branch=branch, as_of=begun.as_of)
    assembled = _assembled(world, plan)
    assembled, drawn = weathers_over(world, assembled)
    part = spread_in(world, assembled, standing_of(world, assembled), drawn[begun.weathers :], enough=turn())
    # A branch without a pool to hand over has none to carry.
    carried = begun.weathers + len(part[0].days) if part else len(drawn)
    parts = [*begun.parts, _pools(part, digits=6)]
    with transaction.atomic():
        mine = SpreadUnderWay.objects.filter(pk=begun.pk, weathers=begun.weathers)
        if not mine.update(weathers=carried, parts=parts):
            # Another worker took the same turn.
            return "more"
        if carried < len(drawn):
            return "more"
        mine_whole = joined([[_hand_over(one) for one in pools] for pools in parts])
        keep_spread(plan=plan, found=mine_whole, as_of=begun.as_of)
        SpreadUnderWay.objects.filter(pk=begun.pk).delete()
    return "whole"


def _under_way(branch: Branch, plan: Plan, now: datetime) -> SpreadUnderWay:
    """What was reckoned of a plan so far; whatever belongs to other inputs, another plan or an older sky is dropped."""
    same = SpreadUnderWay.objects.filter(plan=plan, input_revision=branch.input_revision, as_of__gt=now - LASTS)
    with transaction.atomic():
        SpreadUnderWay.objects.filter(plan__branch=branch).exclude(pk__in=same.values("pk")).delete()
        defaults = {"input_revision": branch.input_revision, "as_of": now}
        return SpreadUnderWay.objects.get_or_create(plan=plan, defaults=defaults)[0]


def _assembled(world: World, plan: Plan) -> Assembled:
    return assemble(
        world,
        first_on=date.fromisoformat(plan.document["first_on"]),
        horizon_days=REACH_DAYS,
        let_lapse=frozenset(plan.document.get("let_lapse", ())),
    )


def _hand_over(kept: dict[str, Any]) -> HandOver:
    return HandOver(
        job=kept["name"],
        job_id=kept["job"],
        planned_on=date.fromisoformat(kept["planned"]),
        days=tuple(date.fromisoformat(day) if day else None for day in kept["days"]),
        waits=tuple((title, days) for title, days in kept["waits"]),
    )
