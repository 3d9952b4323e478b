"""The first page: what needs a decision, then who is where."""

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from planner.plans.replanning.forecast import overtaken_by
from planner.plans.replanning.on_pages import asked_of
from planner.plans.selectors import newest_proposal
from planner.plans.spreads import kept_spread
from planner.watch.services import report_of
from planner.web.access import PLANNERS, READERS, for_roles, visit_of
from planner.web.links import links
from planner.web.loading import load
from planner.web.presenters.decisions.plans import PlanFacts
from planner.web.presenters.hand_overs.spread import unsure_pools
from planner.web.presenters.pages.today import today_page
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page


@for_roles(*READERS)
def today(request: HttpRequest) -> HttpResponse:
    """What needs a decision, and where every crew is today and on the next working day."""
    visit = visit_of(request)
    branch = visit.branch
    loaded = load(branch)
    plan, proposal = loaded.plan, newest_proposal(branch=branch)
    # A proposal made from another plan than the one in force can no longer be taken.
    waiting = proposal if proposal is not None and proposal.follows == branch.plan_number else None
    asked = asked_of(branch=branch, proposal=waiting, now=loaded.now)
    facts = PlanFacts(
        number=plan.number if plan is not None else 0,
        in_force_at=plan.in_force_at if plan is not None else None,
        waiting=waiting.number if waiting is not None else 0,
        waiting_made_at=waiting.made_at if waiting is not None else None,
        overtaken=overtaken_by(loaded.world, waiting) if waiting is not None else "",
        causes=asked.causes,
        open=asked.open,
        refused=asked.refused,
    )
    report = report_of(branch=branch, world=loaded.world, now=loaded.now)
    page = today_page(
        loaded.world, loaded.stays, facts, links(may_say=visit.role in PLANNERS), gettext=_, report=report
    )
    unsure = unsure_pools(Reader(loaded.world, loaded.stays, _), kept_spread(plan=plan), links())
    return render_page(request, "planner/today.html", "today", _("Today"), page=page, unsure=unsure)
