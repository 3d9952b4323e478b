"""A crew's day plan behind its private address, without a sign-in, and "Seen"."""

from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import add_never_cache_headers
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from jobs.domain.errors import CannotDo
from planner import clock
from planner.dayplans.models import DayLink
from planner.dayplans.private_links import days_of, open_link, refuse_other_day, say_seen, seen_of, today_of
from planner.dayplans.services import day_plan_of
from planner.web.presenters.day_page import present_day_page
from planner.web.presenters.day_scale import short_day

GONE, CONFLICT = 410, 409


@require_GET
def day_link(request: HttpRequest, token: str) -> HttpResponse:
    """The first day of the link from today on; every other address opens nothing."""
    link = _opened(request, token)
    if isinstance(link, HttpResponse):
        return link
    on = min(max(today_of(link.branch, clock.now()), link.first_on), link.last_on)
    return _day(request, link, token, on)


@require_GET
def day_link_on(request: HttpRequest, token: str, on: str) -> HttpResponse:
    """One day of the link; a day outside its span is not found."""
    link = _opened(request, token)
    if isinstance(link, HttpResponse):
        return link
    return _day(request, link, token, _date_in(link, on))


@require_POST
def day_seen(request: HttpRequest, token: str, on: str) -> HttpResponse:
    """Keep that somebody has seen the plan shown; refused where the plan has moved since."""
    link = _opened(request, token)
    if isinstance(link, HttpResponse):
        return link
    day = _date_in(link, on)
    number = request.POST.get("plan_number", "")
    try:
        say_seen(
            link=link,
            on=day,
            plan_number=int(number) if number.isascii() and number.isdigit() and len(number) < 10 else 0,
            said_by=request.POST.get("said_by", ""),
            now=clock.now(),
        )
    except CannotDo as refused:
        return _day(request, link, token, day, refused=refused)
    return _private(redirect("day_link_on", token, day.isoformat()))


def _opened(request: HttpRequest, token: str) -> DayLink | HttpResponse:
    """The link, or the page that says why it opens nothing; a forged address is not found, like any other."""
    found = open_link(token=token, now=clock.now())
    if found is None:
        raise Http404
    if found.ended:
        context = {"title": _("This link has ended"), "phone": found.link.branch.phone, "ended": found.ended}
        return _private(render(request, "planner/day_link/ended.html", context, status=GONE))
    return found.link


def _date_in(link: DayLink, text: str) -> date:
    try:
        on = date.fromisoformat(text)
        refuse_other_day(link, on)
    except (ValueError, CannotDo) as error:
        raise Http404 from error
    return on


def _day(request: HttpRequest, link: DayLink, token: str, on: date, refused: CannotDo | None = None) -> HttpResponse:
    try:
        facts = day_plan_of(branch=link.branch, crew=link.crew, on=on, now=clock.now())
    except CannotDo as error:
        context = {"title": _("No plan yet"), "phone": link.branch.phone, "says": error.says}
        return _private(render(request, "planner/day_link/ended.html", context, status=CONFLICT))
    page = present_day_page(facts, _)
    values: dict[str, Any] = {
        "plan": page.plan,
        "sky": page.sky,
        "legend": page.legend,
        "answers_template": "planner/day_link/answers.html",
        "token": token,
        "on": on.isoformat(),
        "days": [(one.isoformat(), short_day(one, _), one == on) for one in days_of(link)],
        "seen": seen_of(link=link, on=on, plan_number=facts.plan_number),
        "seen_zone": link.branch.zone,
        "refused": refused,
        "entered": request.POST.get("said_by", "") or link.crew.foreman,
    }
    return _private(render(request, "planner/day_link/day.html", values, status=CONFLICT if refused else 200))


def _private(response: HttpResponse) -> HttpResponse:
    """Neither search engines, nor the next site, nor a cache on the way may keep the address or the page."""
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    add_never_cache_headers(response)
    return response
