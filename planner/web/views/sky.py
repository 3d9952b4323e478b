"""The forecasts behind every page: where they come from and how old they are."""

from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from planner.forecast.models import ForecastRun
from planner.web.access import READERS, for_roles, visit_of
from planner.web.loading import load
from planner.web.presenters.pages.sky import RunFacts, present_sky
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page


@require_GET
@for_roles(*READERS)
def sky(request: HttpRequest) -> HttpResponse:
    """Every run with its age, and the hours of one site on one day."""
    loaded = load(visit_of(request).branch)
    site, day = request.GET.get("site", ""), request.GET.get("on", "")
    try:
        on = date.fromisoformat(day) if day else None
        site_id = int(site) if site else None
    except ValueError as bad:
        raise Http404 from bad
    runs = {
        row.pk: RunFacts(
            id=row.pk,
            source=row.source,
            issued_at=row.issued_at,
            fetched_at=row.fetched_at,
            checked_at=row.checked_at,
            horizon_end_at=row.horizon_end_at,
        )
        for row in ForecastRun.objects.filter(pk__in={one.run for one in loaded.world.skies.values() if one.run}).defer(
            "packed", "raw"
        )
    }
    page = present_sky(Reader(loaded.world, loaded.stays, _), runs=runs, site_id=site_id, on=on)
    return render_page(request, "planner/sky.html", "sky", _("Sky"), page=page)
