"""Who is where."""

from datetime import date

from django.http import Http404, HttpRequest, HttpResponse

from crews.models import Crew
from crews.selectors import get_crew
from planner import clock
from planner.dayplans.services import render_day_plan
from planner.web.access import READERS, for_roles, visit_of


@for_roles(*READERS)
def crew_day(request: HttpRequest, key: str, on: str) -> HttpResponse:
    """A crew's day plan, as its foreman gets it."""
    branch = visit_of(request).branch
    try:
        crew, day = get_crew(branch=branch, name=key), date.fromisoformat(on)
    except (Crew.DoesNotExist, ValueError) as missing:
        raise Http404 from missing
    return HttpResponse(render_day_plan(branch=branch, crew=crew, on=day, now=clock.now(), format="html"))
