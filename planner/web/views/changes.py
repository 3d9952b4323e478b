"""The newest proposal: look, take all, keep what is in force, or make a new one."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from jobs.words import sentence_for
from planner import clock
from planner.plans import proposals
from planner.plans.models import Plan
from planner.plans.replanning.drain import drain
from planner.plans.replanning.forecast import overtaken_by
from planner.plans.replanning.on_pages import Asked, asked_of, set_takes_itself
from planner.plans.replanning.requests import ask
from planner.plans.selectors import newest_proposal, next_number, warnings_of
from planner.plans.services import document_stays
from planner.solver.parameters import Repeatable
from planner.web.access import PLANNERS, READERS, for_roles, visit_of
from planner.web.links import links
from planner.web.loading import Loaded, load
from planner.web.presenters.pages.changing.asked import present_asked
from planner.web.presenters.pages.changing.changes import ChangesPage, Proposal, present_changes
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page

# A person waits for this: little counted work, and an end by the clock whatever happens.
IN_A_REQUEST = Repeatable(deterministic_seconds=0.5, outer_seconds=60.0)


@require_GET
@for_roles(*READERS)
def changes(request: HttpRequest) -> HttpResponse:
    """The newest proposal beside the plan in force."""
    return _page(request)


@require_POST
@for_roles(*PLANNERS)
def changes_take(request: HttpRequest) -> HttpResponse:
    """Put the proposal shown in force; refused with the reason where anything moved since."""
    branch = visit_of(request).branch
    try:
        plan = proposals.take(branch=branch, number=_number(request), now=clock.now())
    except CannotDo as refused:
        return _page(request, refused)
    messages.success(request, _("Plan %(number)s is in force. Now tell the people it concerns.") % vars(plan))
    return redirect("changes")


@require_POST
@for_roles(*PLANNERS)
def changes_keep(request: HttpRequest) -> HttpResponse:
    """Drop the proposal shown; the plan in force stays."""
    branch = visit_of(request).branch
    try:
        plan = proposals.keep(branch=branch, number=_number(request))
    except CannotDo as refused:
        return _page(request, refused)
    messages.success(request, _("Proposal %(number)s is dropped. Nothing has moved.") % vars(plan))
    return redirect("changes")


@require_POST
@for_roles(*PLANNERS)
def changes_make(request: HttpRequest) -> HttpResponse:
    """Make a proposal from today's inputs, unless somebody made one since the page was opened."""
    branch = visit_of(request).branch
    if _number(request) != _newest_number(branch):
        messages.info(request, _("A plan has been made since you opened the page: here it is."))
        return redirect("changes")
    now = clock.now()
    ask(branch=branch, reason="by_hand", subject="", says=sentence_for("replan.by_hand", {})[0], now=now)
    found = drain(branch=branch, now=now, parameters=IN_A_REQUEST)
    if found is None or found.outcome == "again":
        messages.info(request, _("This branch is being planned at the moment: look again in a minute."))
    elif found.outcome == "refused":
        messages.error(request, found.says)
    elif found.outcome == "nothing":
        messages.success(request, found.says)
    else:
        messages.success(request, _("Proposal %(number)s is made.") % {"number": found.number})
    return redirect("changes")


@require_POST
@for_roles(*PLANNERS)
def changes_itself(request: HttpRequest) -> HttpResponse:
    """Let plans that touch nobody come into force by themselves, or not."""
    takes_itself = request.POST.get("takes_itself") == "yes"
    set_takes_itself(branch=visit_of(request).branch, takes_itself=takes_itself)
    messages.success(
        request,
        _("Plans that touch nobody come into force by themselves.")
        if takes_itself
        else _("Every plan waits for the office."),
    )
    return redirect("changes")


def _number(request: HttpRequest) -> int:
    text = request.POST.get("number", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else -1


def _newest_number(branch: Branch) -> int:
    return next_number(branch=branch) - 1


def _page(request: HttpRequest, refused: CannotDo | None = None) -> HttpResponse:
    branch = visit_of(request).branch
    branch.refresh_from_db()
    loaded = load(branch)
    proposal = newest_proposal(branch=branch)
    asked = asked_of(branch=branch, proposal=proposal, now=loaded.now)
    reader = Reader(loaded.world, loaded.stays, _)
    response = render_page(
        request,
        "planner/changes.html",
        "changes",
        _("Changes"),
        page=_present(loaded, reader, proposal, asked) if proposal is not None else None,
        asked=present_asked(
            reader,
            open_requests=asked.open,
            answered=asked.answered,
            refused=asked.refused,
            takes_itself=asked.takes_itself,
        ),
        to_look_at=warnings_of(proposal or loaded.plan),
        in_force=loaded.plan.number if loaded.plan is not None else 0,
        newest=_newest_number(branch),
        refused=refused,
    )
    response.status_code = 409 if refused else 200
    return response


def _present(loaded: Loaded, reader: Reader, proposal: Plan, asked: Asked) -> ChangesPage:
    found = proposals.changes_of(world=loaded.world, before=loaded.stays, proposal=proposal)
    return present_changes(
        reader,
        links(),
        changes=found,
        proposal=Proposal(
            number=proposal.number,
            made_at=proposal.made_at,
            stays=document_stays(proposal),
            how=str(proposal.making.get("mode", "")),
            overtaken=overtaken_by(loaded.world, proposal),
            causes=asked.causes,
        ),
        in_force=loaded.plan.number if loaded.plan is not None else 0,
    )
