"""Inspections: call by when, what was asked and confirmed, what passed."""

from collections.abc import Mapping
from datetime import date

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_GET, require_POST

from crews.services import bookings
from crews.services.called import Said
from jobs.domain.errors import CannotDo
from jobs.models import Branch, Hold
from planner import clock
from planner.dayplans.reminding import keep_call, write_call
from planner.plans.replanning.facts import ask_after_booking
from planner.web.access import PLANNERS, READERS, for_roles, visit_of
from planner.web.links import links
from planner.web.loading import load
from planner.web.presenters.pages.holds import present_holds
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page
from planner.web.views.no_plan import render_no_plan

SAID: Mapping[Said, str] = {
    "yes": gettext_noop("%(about)s: they said yes for %(day)s."),
    "asked": gettext_noop("%(about)s: asked for %(day)s."),
    "off": gettext_noop("%(about)s: called off."),
}


@require_GET
@for_roles(*READERS)
def holds(request: HttpRequest) -> HttpResponse:
    """Every hold in the order it presses."""
    return _page(request)


@require_POST
@for_roles(*PLANNERS)
def holds_visit(request: HttpRequest, hold_id: int) -> HttpResponse:
    """Keep that a visit was asked for, or that the authority said yes; saying it again changes nothing."""
    branch = visit_of(request).branch
    hold = Hold.objects.select_related("visit", "job").filter(job__branch=branch, pk=hold_id).first()
    if hold is None:
        raise Http404("This branch has no such hold.")
    try:
        said = _keep(request, branch, hold)
    except CannotDo as refused:
        return _page(request, refused=refused, hold_id=hold.pk, entered=request.POST.get("on", ""))
    messages.success(request, said)
    return redirect(f"{links().page('holds')}#hold-{hold.pk}")


@require_POST
@for_roles(*PLANNERS)
def calls_write(request: HttpRequest) -> HttpResponse:
    """Write to a supplier in place of a call; a call that is no longer on the list is refused."""
    branch = visit_of(request).branch
    try:
        message = write_call(branch=branch, fact=request.POST.get("fact", ""), now=clock.now())
    except CannotDo as refused:
        return _page(request, calls_refused=refused)
    messages.success(
        request, _("It goes out to %(name)s: %(subject)s.") % {"name": message.name, "subject": message.subject}
    )
    return redirect(f"{links().page('holds')}#calls")


@require_POST
@for_roles(*PLANNERS)
def calls_keep(request: HttpRequest) -> HttpResponse:
    """Keep what came of a call; one that is no longer on the list is refused."""
    branch = visit_of(request).branch
    said = next((one for one in SAID if one == request.POST.get("said")), None)
    if said is None:
        raise Http404("Nothing of the kind comes of a call.")
    try:
        on = None if said == "off" else _day(request)
        about = keep_call(branch=branch, fact=request.POST.get("fact", ""), said=said, on=on, now=clock.now())
    except CannotDo as refused:
        return _page(request, calls_refused=refused)
    when = f"{on:%a %b} {on.day}" if on is not None else ""
    messages.success(request, _(SAID[said]) % {"about": about, "day": when})
    return redirect(f"{links().page('holds')}#calls")


def _day(request: HttpRequest) -> date:
    try:
        return date.fromisoformat(request.POST.get("on", ""))
    except ValueError as error:
        raise CannotDo("bookings.bad_day", field="on", value=request.POST.get("on", "")) from error


def _keep(request: HttpRequest, branch: Branch, hold: Hold) -> str:
    kinds = hold.visit.details.get("bookings", ())
    if not kinds:
        raise CannotDo("bookings.wrong_kind", field="on", kind="inspection", title=hold.visit.title)
    on = _day(request)
    do = bookings.confirm if request.POST.get("said") == "confirmed" else bookings.ask
    with transaction.atomic():
        booking = do(branch=branch, task=hold.visit, kind=kinds[0], on=on, now=clock.now())
        ask_after_booking(branch=branch, booking=booking, now=clock.now())
    words = (
        _("%(pool)s, %(hold)s: confirmed for %(day)s.")
        if do is bookings.confirm
        else _("%(pool)s, %(hold)s: asked for %(day)s.")
    )
    return words % {"pool": hold.job.name, "hold": hold.title, "day": f"{on:%a %b} {on.day}"}


def _page(
    request: HttpRequest,
    *,
    refused: CannotDo | None = None,
    hold_id: int = 0,
    entered: str = "",
    calls_refused: CannotDo | None = None,
) -> HttpResponse:
    loaded = load(visit_of(request).branch)
    if loaded.plan is None:
        return render_no_plan(request, "holds", _("Holds"))
    reader = Reader(loaded.world, loaded.stays, _)
    page = present_holds(reader, links(), plan_number=loaded.plan.number, with_form=hold_id)
    response = render_page(
        request,
        "planner/holds.html",
        "holds",
        _("Holds"),
        page=page,
        refused=refused,
        refused_hold=hold_id,
        entered=entered,
        calls_refused=calls_refused,
    )
    response.status_code = 409 if refused or calls_refused else 200
    return response
