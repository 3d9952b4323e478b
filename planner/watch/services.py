"""Watch a branch as its rows stand."""

from datetime import datetime

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.plans.selectors import plan_in_force
from planner.plans.services import world_of
from planner.watch.domain.report import WatchReport
from planner.watch.domain.watch import watch


def watch_branch(*, branch: Branch, now: datetime) -> WatchReport:
    """The watch over the plan in force.

    Raises
    ------
    CannotDo
        ``plans.none_in_force``.
    """
    if plan_in_force(branch=branch) is None:
        raise CannotDo("plans.none_in_force", field="branch", branch=branch.name)
    world = world_of(branch=branch, as_of=now)
    return watch(world, world.told, now=now)
