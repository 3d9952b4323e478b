"""What the passing of days asks for, each thing once a day."""

from datetime import datetime, time
from zoneinfo import ZoneInfo

from crews.domain.working_time import local_moment
from jobs.models import Branch
from jobs.words import sentence_for
from planner.plans.domain.triggers.days import Asked, due
from planner.plans.models import ReplanRequest
from planner.plans.replanning.requests import ask
from planner.plans.selectors import newest_proposal, plan_in_force
from planner.plans.services import world_of


def note_days(*, branch: Branch, now: datetime) -> int:
    """Ask for another plan where days have passed over something; what was asked for today is not asked again.

    Returns
    -------
    int
        How many requests were written.
    """
    branch.refresh_from_db()
    if plan_in_force(branch=branch) is None:
        return 0
    world = world_of(branch=branch, as_of=now)
    on = now.astimezone(ZoneInfo(branch.zone)).date()
    midnight = local_moment(branch.zone, on, time())
    today = ReplanRequest.objects.filter(branch=branch, again_at__gte=midnight)
    known = set(today.values_list("reason", "subject"))
    asked = 0
    for one in (*due(world, world.told), *_overtaken(branch)):
        if (one.reason, one.subject) not in known:
            ask(branch=branch, reason=one.reason, subject=one.subject, says=one.says, now=now)
            asked += 1
    return asked


def _overtaken(branch: Branch) -> tuple[Asked, ...]:
    """The proposal that waits, where facts have changed since it was made."""
    proposal = newest_proposal(branch=branch)
    if proposal is None or (proposal.follows, proposal.input_revision) == (branch.plan_number, branch.input_revision):
        return ()
    says = sentence_for("replan.inputs_since", {"number": proposal.number})[0]
    return (Asked(reason="overtaken", subject=f"plan:{proposal.number}", says=says),)
