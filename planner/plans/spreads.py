"""The spread of a plan's hand-overs, kept beside the plan and reckoned in a step of its own."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Q

from jobs.models import Branch
from planner.plans.asking.outcome import standing_of
from planner.plans.domain.assemble import assemble
from planner.plans.domain.world import World
from planner.plans.models import HandOverSpread, Plan
from planner.plans.outcomes.spread import REACH_DAYS, WEATHERS, HandOver, spread_of
from planner.plans.selectors import plan_in_force
from planner.plans.services import world_of

# A day's forecasts move a spread of weeks little; after that it is reckoned again.
LASTS = timedelta(days=1)


def spread_standing(*, world: World, plan: Plan, weathers: int = WEATHERS) -> tuple[HandOver, ...]:
    """When the plan in force, as it stands in the world, hands each pool over in so many weathers.

    Raises
    ------
    CannotDo
        ``asking.weathers`` for a number of weathers out of range.
    """
    assembled = assemble(
        world,
        first_on=date.fromisoformat(plan.document["first_on"]),
        horizon_days=REACH_DAYS,
        let_lapse=frozenset(plan.document.get("let_lapse", ())),
    )
    return spread_of(world, assembled, standing_of(world, assembled), weathers=weathers)


def keep_spread(*, plan: Plan, found: Sequence[HandOver], as_of: datetime) -> None:
    """Keep the spread of a plan, in place of one kept before."""
    pools = [
        {
            "job": one.job_id,
            "name": one.job,
            "planned": one.planned_on.isoformat(),
            "days": [day.isoformat() if day is not None else None for day in one.days],
            "waits": [[title, round(days, 2)] for title, days in one.waits],
        }
        for one in found
    ]
    HandOverSpread.objects.update_or_create(plan=plan, defaults={"as_of": as_of, "pools": pools})


def kept_spread(*, plan: Plan | None) -> tuple[HandOver, ...]:
    """The spread kept of a plan, pool by pool; empty where none was reckoned yet."""
    kept = HandOverSpread.objects.filter(plan=plan).first() if plan is not None else None
    return tuple(_hand_over(one) for one in kept.pools) if kept is not None else ()


def list_without_spread(*, now: datetime) -> list[int]:
    """Branches whose plan in force has no spread, or one from before what is known of the sky today."""
    aged = Q(hand_over_spread__isnull=True) | Q(hand_over_spread__as_of__lt=now - LASTS)
    in_force = Plan.objects.filter(aged, state=Plan.State.IN_FORCE)
    return list(in_force.order_by("branch").values_list("branch", flat=True))


def refresh_spread(*, branch: Branch, now: datetime) -> bool:
    """Reckon and keep the spread of a branch's plan in force; false where there is none."""
    plan = plan_in_force(branch=branch)
    if plan is None:
        return False
    world = world_of(branch=branch, as_of=now)
    keep_spread(plan=plan, found=spread_standing(world=world, plan=plan), as_of=now)
    return True


def _hand_over(kept: dict[str, Any]) -> HandOver:
    return HandOver(
        job=kept["name"],
        job_id=kept["job"],
        planned_on=date.fromisoformat(kept["planned"]),
        days=tuple(date.fromisoformat(day) if day else None for day in kept["days"]),
        waits=tuple((title, days) for title, days in kept["waits"]),
    )
