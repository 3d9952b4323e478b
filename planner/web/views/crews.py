"""Who is where, one crew's day, and the private link to it."""

from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from crews.models import Crew
from crews.selectors import get_crew
from jobs.domain.errors import CannotDo
from planner import clock
from planner.dayplans.services import render_day_plan
from planner.web.access import READERS, for_roles, visit_of
from planner.web.links import links
from planner.web.loading import load
from planner.web.presenters.pages.crews import present_crews
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page
from planner.web.views.no_plan import render_no_plan


@for_roles(*READERS)
def crews(request: HttpRequest) -> HttpResponse:
    """A week of every crew, from today or from the day asked for."""
    loaded = load(visit_of(request).branch)
    if loaded.plan is None:
        return render_no_plan(request, "crews", _("Crews"))
    reader = Reader(loaded.world, loaded.stays, _)
    try:
        from_on = date.fromisoformat(request.GET.get("from", "") or reader.today.isoformat())
    except ValueError as bad:
        raise Http404 from bad
    page = present_crews(reader, links(), plan_number=loaded.plan.number, from_on=from_on)
    return render_page(request, "planner/crews.html", "crews", _("Crews"), page=page)


@for_roles(*READERS)
def crew_day(request: HttpRequest, key: str, on: str) -> HttpResponse:
    """A crew's day plan, as its foreman gets it."""
    branch = visit_of(request).branch
    try:
        crew, day = get_crew(branch=branch, name=key), date.fromisoformat(on)
    except (Crew.DoesNotExist, ValueError) as missing:
        raise Http404 from missing
    try:
        html = render_day_plan(branch=branch, crew=crew, on=day, now=clock.now(), format="html")
    except CannotDo as refused:
        if refused.code != "plans.none_in_force":
            raise
        return render_no_plan(request, "crews", crew.name)
    return HttpResponse(html)
