"""What every page of a branch starts from, in a constant number of queries."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.utils.formats import date_format

from jobs.models import Branch
from planner import clock
from planner.plans.domain.world import Stay, World
from planner.plans.models import Plan
from planner.plans.selectors import plan_in_force
from planner.plans.services import world_of
from planner.serving.selectors import find_standstill
from planner.web.access import visit_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A branch as it stands now with the plan in force (``None`` before the first)."""

    branch: Branch
    now: datetime
    world: World
    plan: Plan | None
    stays: tuple[Stay, ...]


def load(branch: Branch) -> Loaded:
    """Read a branch once for a page."""
    now = clock.now()
    plan = plan_in_force(branch=branch)
    world = world_of(branch=branch, as_of=now)
    return Loaded(branch=branch, now=now, world=world, plan=plan, stays=world.told)


def page_context(request: HttpRequest, here: str, title: str, **values: Any) -> dict[str, Any]:
    """What the base template needs, with the page's own values."""
    visit = visit_of(request)
    return {
        "here": here,
        "title": title,
        "branch_name": visit.branch.name,
        "banner": visit.branch.banner,
        "standstill": _standstill(visit.branch),
        "visit": visit,
        **values,
    }


def _standstill(branch: Branch) -> dict[str, str]:
    """Since when nobody looks for what is due, on the branch's clock, and why; empty while all is well."""
    found = find_standstill(running=clock.running())
    if found is None:
        return {}
    return {"since": date_format(found.since_at.astimezone(ZoneInfo(branch.zone)), "l j F, H:i"), "why": found.why}
