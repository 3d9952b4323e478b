"""Who was told what, and the button that says it again."""

from datetime import timedelta
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from crews.channels.configured import channel_facts
from crews.models import Message
from crews.selectors import list_messages
from crews.services.outbox import send_again
from crews.snapshots import message_facts
from jobs.domain.errors import CannotDo
from planner import clock
from planner.dayplans.whom import person_of
from planner.web.access import PLANNERS, for_roles, visit_of
from planner.web.presenters.pages.told import present_told
from planner.web.rendering import render_page

LATELY = timedelta(days=14)
MOST_ROWS = 300


@require_GET
@for_roles(*PLANNERS)
def told(request: HttpRequest) -> HttpResponse:
    """What was not said, what waits, and what was said in the last two weeks."""
    return _page(request)


@require_POST
@for_roles(*PLANNERS)
def told_again(request: HttpRequest, message_id: int) -> HttpResponse:
    """Let a message that was given up go out anew, to the address the person has by now."""
    branch = visit_of(request).branch
    row = Message.objects.filter(branch=branch, pk=message_id).first()
    if row is None:
        raise Http404("This branch has no such message.")
    try:
        send_again(branch=branch, message=row.pk, now=clock.now(), person=person_of(branch=branch, key=row.person))
    except CannotDo as refused:
        return _page(request, refused=refused)
    messages.success(
        request, _("It goes out again: %(subject)s, to %(name)s.") % {"subject": row.subject, "name": row.name}
    )
    return redirect("told")


def _page(request: HttpRequest, *, refused: CannotDo | None = None) -> HttpResponse:
    branch, now = visit_of(request).branch, clock.now()
    rows = list_messages(branch=branch, since=now - LATELY)[:MOST_ROWS]
    page = present_told(
        [message_facts(row) for row in rows], channel_facts(), zone=ZoneInfo(branch.zone), now=now, gettext=_
    )
    response = render_page(request, "planner/told.html", "told", _("Who was told"), page=page, refused=refused)
    response.status_code = 409 if refused else 200
    return response
