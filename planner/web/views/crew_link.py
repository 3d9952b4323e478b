"""The private link to a crew's days, made and ended by the office; its address is shown only when asked for."""

from datetime import date

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from crews.models import Crew
from crews.selectors import get_crew
from jobs.domain.errors import CannotDo
from planner import clock
from planner.dayplans.models import DayLink
from planner.dayplans.private_links import end_link, make_link, today_of, token_of
from planner.web.access import PLANNERS, Visit, for_roles, visit_of
from planner.web.presenters.day_scale import short_day
from planner.web.rendering import render_page

USUAL_DAYS = 6


@require_http_methods(["GET", "POST"])
@for_roles(*PLANNERS)
def crew_link(request: HttpRequest, key: str) -> HttpResponse:
    """The links of a crew with who has seen what; a POST shows the address for a span of days."""
    visit = visit_of(request)
    crew = _crew(visit, key)
    now = clock.now()
    today = today_of(visit.branch, now)
    first, last = request.POST.get("first_on", ""), request.POST.get("last_on", "")
    address, refused = "", None
    if request.method == "POST":
        try:
            link = make_link(
                branch=visit.branch,
                crew=crew,
                first_on=_date(first, "first_on"),
                last_on=_date(last, "last_on"),
                now=now,
                made_by=visit.user if isinstance(visit.user, User) else None,
            )
            address = request.build_absolute_uri(reverse("day_link", args=[token_of(link)]))
        except CannotDo as error:
            refused = error
    links = DayLink.objects.filter(crew=crew, revoked=False, last_on__gte=today).prefetch_related("seen")
    response = render_page(
        request,
        "planner/crew_link.html",
        "crews",
        _("Private link, %(crew)s") % {"crew": crew.name},
        crew=crew,
        first_on=first or today.isoformat(),
        last_on=last or date.fromordinal(today.toordinal() + USUAL_DAYS).isoformat(),
        address=address,
        refused=refused,
        links=[_view(link) for link in links.order_by("first_on", "pk")],
        zone=visit.branch.zone,
    )
    response["Referrer-Policy"] = "no-referrer"
    response["Cache-Control"] = "no-store"
    response.status_code = 409 if refused else 200
    return response


@require_POST
@for_roles(*PLANNERS)
def crew_link_end(request: HttpRequest, key: str, link_id: int) -> HttpResponse:
    """End a link: what was given out opens nothing from now on."""
    crew = _crew(visit_of(request), key)
    link = DayLink.objects.filter(crew=crew, pk=link_id).first()
    if link is None:
        raise Http404("This crew has no such link.")
    end_link(link=link)
    messages.success(request, _("The link is ended. Whoever opens it is asked to call the office."))
    return redirect("crew_link", key)


def _crew(visit: Visit, key: str) -> Crew:
    try:
        return get_crew(branch=visit.branch, name=key)
    except Crew.DoesNotExist as missing:
        raise Http404("This branch has no such crew.") from missing


def _date(text: str, field: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise CannotDo("links.bad_day", field=field, value=text) from error


def _view(link: DayLink) -> dict[str, object]:
    seen = sorted(link.seen.all(), key=lambda one: (one.on, one.seen_at))
    return {
        "id": link.pk,
        "span": f"{short_day(link.first_on, _)} – {short_day(link.last_on, _)}",
        "seen": [(short_day(one.on, _), one.plan_number, one.said_by, one.seen_at) for one in seen],
    }
