"""The first page: who is where on the next working day."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from planner.web.access import READERS, for_roles, visit_of
from planner.web.loading import load, page_context


@for_roles(*READERS)
def today(request: HttpRequest) -> HttpResponse:
    loaded = load(visit_of(request).branch)
    calendar = loaded.world.crews.branch_calendar
    on = calendar.date_of(loaded.now)
    days = (on, calendar.next_working_day(on))
    return render(
        request,
        "planner/today.html",
        page_context(request, "today", _("Today"), crews=loaded.world.crews.crews, days=days, plan=loaded.plan),
    )
