"""Every pool over time, and one pool."""

from zoneinfo import ZoneInfo

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from jobs.domain.design import PoolDesign
from jobs.domain.facts import JobFacts
from jobs.domain.order.finish import finish_of
from jobs.methods.loader import load_method
from jobs.models import Job
from jobs.snapshots import job_facts
from planner.dayplans.presenters.measures import clock_on
from planner.plans.domain.water import diluted_water
from planner.plans.spreads import kept_spread
from planner.web.access import READERS, for_roles, visit_of
from planner.web.designs import design_of_job, designs_of, levels_of
from planner.web.links import links
from planner.web.loading import Loaded, load
from planner.web.presenters.hand_overs.spread import spread_view
from planner.web.presenters.pages.pool import pool_page
from planner.web.presenters.pages.pools import pools_page, weeks_of
from planner.web.presenters.pages.supplies.water import WaterView, water_view
from planner.web.presenters.pools.reader import Reader
from planner.web.rendering import render_page


@for_roles(*READERS)
def pools(request: HttpRequest) -> HttpResponse:
    """Every open pool's section and its weeks ahead."""
    branch = visit_of(request).branch
    loaded = load(branch)
    page = pools_page(
        loaded.world,
        loaded.stays,
        designs=designs_of(branch=branch),
        levels_m=levels_of(branch=branch),
        weeks=weeks_of(request.GET.get("weeks", "")),
        links=links(),
        gettext=_,
    )
    return render_page(request, "planner/pools.html", "pools", _("Pools"), page=page)


@for_roles(*READERS)
def pool(request: HttpRequest, job_id: int) -> HttpResponse:
    """Everything of one pool; another branch's is not found."""
    branch = visit_of(request).branch
    row = Job.objects.select_related("site").filter(branch=branch, pk=job_id).first()
    if row is None:
        raise Http404("This branch has no such pool.")
    loaded = load(branch)
    job = next((one for one in loaded.world.jobs if one.id == row.pk), None) or job_facts(row)
    design = design_of_job(job=row)
    page = pool_page(
        loaded.world,
        loaded.stays,
        job,
        design=design,
        level_m=levels_of(branch=branch).get(row.pk),
        owner=row.owner,
        links=links(),
        gettext=_,
    )
    spread = spread_view(Reader(loaded.world, loaded.stays, _), job, kept_spread(plan=loaded.plan))
    return render_page(
        request,
        "planner/pool.html",
        "pools",
        row.name,
        page=page,
        job_id=row.pk,
        water=_water(loaded, job, design),
        spread=spread,
    )


def _water(loaded: Loaded, job: JobFacts, design: PoolDesign | None) -> WaterView | None:
    """What the start of its water takes, and what a wet week did; ``None`` without a design."""
    if design is None:
        return None
    zone = ZoneInfo(loaded.branch.zone)
    today = loaded.now.astimezone(zone).date()
    return water_view(
        design,
        finish=finish_of(load_method(job.method)),
        diluted=diluted_water(loaded.world, job),
        said=lambda moment: clock_on(moment, zone, today, _),
        gettext=_,
    )
