"""The forecasts behind every page: where they come from, how old they are, what they were worth, and what fails."""

from collections.abc import Iterable, Sequence
from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from jobs.models import Branch, Site
from planner.forecast.cells import cells_over
from planner.forecast.chain import providers_of, recorded_sky_of
from planner.forecast.domain.outside.providers import NWS, PROVIDERS, Provider
from planner.forecast.models import ForecastRun
from planner.forecast.verification import calibrations_of, worth_over
from planner.serving.models import Turn
from planner.web.access import READERS, for_roles, visit_of
from planner.web.loading import Loaded, load
from planner.web.presenters.pages.sky import Behind, RunFacts, present_sky
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.watched.alarms import FailureFacts
from planner.web.presenters.watched.worth import SourceWorth
from planner.web.rendering import render_page

PULLS = (Turn.Kind.FORECAST, Turn.Kind.WARNINGS, Turn.Kind.MEASURED)


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
    reader = Reader(loaded.world, loaded.stays, _)
    page = present_sky(reader, runs=runs, behind=_behind(loaded), site_id=site_id, on=on)
    return render_page(request, "planner/sky.html", "sky", _("Sky"), page=page)


def _behind(loaded: Loaded) -> Behind:
    branch = loaded.branch
    providers = providers_of(branch=branch, recorded=recorded_sky_of(branch=branch))
    ids = {task.site.id for job in loaded.world.jobs for task in job.tasks}
    sites = list(Site.objects.filter(branch=branch, pk__in=ids).order_by("name"))
    return Behind(
        first=providers[0].title,
        asks_warnings=NWS in providers,
        failures=tuple(_failures(branch, sites)),
        worth=_worth(branch, sites, providers),
    )


def _failures(branch: Branch, sites: list[Site]) -> Iterable[FailureFacts]:
    """What the service could not get for these sites, the longest failure first; the same failure is told once."""
    cells = cells_over(branch=branch, sites=sites) if sites else {}
    names = {site.pk: site.name for site in sites}
    alike: dict[tuple[str, str, bool], list[Turn]] = {}
    turns = Turn.objects.filter(kind__in=PULLS, key__in=cells, failing_since__isnull=False)
    for turn in turns.order_by("failing_since", "kind", "key"):
        alike.setdefault((turn.kind, turn.problem, turn.failures > 0), []).append(turn)
    for (kind, problem, stopped), members in alike.items():
        well = [turn.well_at for turn in members]
        yield FailureFacts(
            kind=kind,
            sites=tuple(sorted({names[pk] for turn in members for pk in cells[turn.key].sites})),
            since_at=min(turn.failing_since for turn in members if turn.failing_since is not None),
            well_at=None if None in well else min(at for at in well if at is not None),
            problem=problem,
            stopped=stopped,
        )


def _worth(branch: Branch, sites: Sequence[Site], providers: Sequence[Provider]) -> tuple[SourceWorth, ...]:
    maps = calibrations_of(branch=branch)
    told = worth_over(branch=branch, sites=sites)
    return tuple(
        SourceWorth(
            title=_(PROVIDERS[provider.key].title),
            tallies={one.lead_day: one.tallies for one in told if one.source == provider.key},
            maps=maps.get(provider.key, {}),
        )
        for provider in providers
    )
