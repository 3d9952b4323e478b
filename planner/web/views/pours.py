"""The watch over every start the weather can hurt, and who has read what it said."""

from datetime import timedelta

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from planner import clock
from planner.watch.domain.watch import watch
from planner.watch.models import Warned
from planner.watch.selectors import current_verdicts, list_warned, previous_of
from planner.watch.telling import note
from planner.web.access import READERS, REPORTERS, Role, Visit, for_roles, visit_of
from planner.web.links import links
from planner.web.loading import load
from planner.web.models import Membership
from planner.web.presenters.pages.pours import present_pours
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.watched.told import Kept, WarnedFacts
from planner.web.rendering import render_page
from planner.web.views.no_plan import render_no_plan

SHOWN_FOR = timedelta(days=3)


@require_GET
@for_roles(*READERS)
def pours(request: HttpRequest) -> HttpResponse:
    """Verdicts and dollars of the next 72 hours, as the forecast stands now, and what people were told of them."""
    visit = visit_of(request)
    loaded = load(visit.branch)
    if loaded.plan is None:
        return render_no_plan(request, "pours", _("Pours"))
    verdicts = current_verdicts(branch=loaded.branch)
    report = watch(loaded.world, loaded.stays, now=loaded.now, previous=previous_of(verdicts))
    kept = Kept(
        since={(row.task_id, row.start_at, row.verdict): row.since_at for row in verdicts},
        warned=[_facts(row, visit) for row in list_warned(branch=loaded.branch, since=loaded.now - SHOWN_FOR)],
    )
    page = present_pours(Reader(loaded.world, loaded.stays, _), links(), report, kept)
    return render_page(request, "planner/pours.html", "pours", _("Pours"), page=page)


@require_POST
@for_roles(*REPORTERS)
def pours_note(request: HttpRequest, warned_id: int) -> HttpResponse:
    """Keep that a warning was read; a foreman says so of those that went to the own crew. Again changes nothing."""
    visit = visit_of(request)
    row = Warned.objects.filter(branch=visit.branch, pk=warned_id).first()
    if row is None or not _may_note(row, visit):
        raise Http404("Nobody told you that.")
    note(
        branch=visit.branch,
        warned=row.pk,
        person=_key_of(visit),
        name=visit.user.get_full_name() or visit.user.get_username(),
        user_id=visit.user.pk,
        now=clock.now(),
    )
    messages.success(request, _("Noted: %(says)s.") % {"says": row.says})
    return redirect(links().page("pours"))


def _may_note(row: Warned, visit: Visit) -> bool:
    if visit.role == Role.FOREMAN:
        return any(person["key"] == f"crew:{visit.crew_id}" for person in row.people)
    return visit.may_report


def _key_of(visit: Visit) -> str:
    """The person in the outbox: a foreman goes by the crew, the others by their membership."""
    if visit.role == Role.FOREMAN:
        return f"crew:{visit.crew_id}"
    return f"member:{Membership.objects.get(user=visit.user, branch=visit.branch).pk}"


def _facts(row: Warned, visit: Visit) -> WarnedFacts:
    return WarnedFacts(
        id=row.pk,
        task=row.task_id or 0,
        says=row.says,
        people=tuple(person["name"] for person in row.people),
        told_at=row.told_at,
        answer_by=row.answer_by,
        noted_at=row.noted_at,
        noted_by=row.noted_by,
        escalated_at=row.escalated_at,
        may_note=_may_note(row, visit),
    )
