"""The watch over every start the weather can hurt."""

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from planner.watch.domain.watch import watch
from planner.web.access import READERS, for_roles, visit_of
from planner.web.links import links
from planner.web.loading import load
from planner.web.presenters.pages.pours import present_pours
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page
from planner.web.views.no_plan import render_no_plan


@require_GET
@for_roles(*READERS)
def pours(request: HttpRequest) -> HttpResponse:
    """Verdicts and dollars of the next 72 hours, as the forecast stands now."""
    loaded = load(visit_of(request).branch)
    if loaded.plan is None:
        return render_no_plan(request, "pours", _("Pours"))
    report = watch(loaded.world, loaded.stays, now=loaded.now)
    page = present_pours(Reader(loaded.world, loaded.stays, _), links(), report)
    return render_page(request, "planner/pours.html", "pours", _("Pours"), page=page)
