"""Map cells with work in them, over every branch: what is pulled once for all the sites that share it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from django.db.models import Max

from jobs.domain.errors import DryWindowError
from jobs.models import Branch, Site
from jobs.selectors import list_sites_at_work
from planner.forecast.around.alerts import pull_alerts
from planner.forecast.around.observations import pull_observations
from planner.forecast.chain import nws_of, providers_of, recorded_sky_of, sources_of
from planner.forecast.domain.outside.providers import NWS, Provider
from planner.forecast.domain.place import Place
from planner.forecast.models import UrlState
from planner.forecast.pulling import pull_chain, usable
from planner.forecast.selectors import find_grid_places, find_latest_run


@dataclass(slots=True, kw_only=True)
class WorkCell:
    """A cell of the first service that serves its branches; before it was looked up, a place for itself.

    ``chain`` names the services in order, so that branches which ask others, or a recorded sky, never share a pull.
    """

    key: str
    branch: Branch
    providers: tuple[Provider, ...]
    branches: set[int] = field(default_factory=set)
    sites: set[int] = field(default_factory=set)
    places: set[Place] = field(default_factory=set)

    @property
    def has_warnings(self) -> bool:
        """Whether a service of this chain tells warnings and measurements."""
        return NWS in self.providers

    def ordered(self) -> list[Place]:
        return sorted(self.places, key=lambda place: (place.latitude, place.longitude))


@dataclass(frozen=True, slots=True, kw_only=True)
class CellPull:
    """What pulling a cell came to.

    ``runs`` are those to plan by, ``usable`` whether each place has one young enough; ``failed`` and ``notes`` say
    what went wrong.
    """

    runs: tuple[int, ...]
    usable: bool
    failed: tuple[str, ...]
    notes: tuple[str, ...]
    expires_at: datetime | None


def cells_at_work() -> Mapping[str, WorkCell]:
    """Every cell with work left in it, by key."""
    sites: dict[int, list[Site]] = {}
    for site in list_sites_at_work():
        sites.setdefault(site.branch_id, []).append(site)
    cells: dict[str, WorkCell] = {}
    for entries in sites.values():
        _sort_into(cells, entries[0].branch, entries)
    return cells


def cells_over(*, branch: Branch, sites: list[Site]) -> Mapping[str, WorkCell]:
    """The cells of some sites of one branch, by key, in a constant number of queries."""
    cells: dict[str, WorkCell] = {}
    _sort_into(cells, branch, sites)
    return cells


def _sort_into(cells: dict[str, WorkCell], branch: Branch, sites: list[Site]) -> None:
    recorded = recorded_sky_of(branch=branch)
    providers = providers_of(branch=branch, recorded=recorded)
    chain = f"recorded {branch.pk}" if recorded is not None else ">".join(provider.key for provider in providers)
    places = {site.pk: Place(latitude=site.latitude, longitude=site.longitude) for site in sites}
    known = find_grid_places(source=providers[0].cells, places=list(places.values()))
    for site in sites:
        place = places[site.pk]
        row = known.get(place)
        key = f"{chain}|{place.text if row is None else row.grid_key}"
        cell = cells.setdefault(key, WorkCell(key=key, branch=branch, providers=providers))
        cell.branches.add(branch.pk)
        cell.sites.add(site.pk)
        cell.places.add(place)


def pull_work_cell(*, cell: WorkCell, now: datetime) -> CellPull:
    """Pull the forecast of a cell from the first service that gives a usable one; what fails is told, not raised."""
    try:
        pull = pull_chain(sources=sources_of(branch=cell.branch), places=cell.ordered(), now=now)
    except DryWindowError as failure:
        return CellPull(runs=(), usable=False, failed=(str(failure),), notes=(), expires_at=None)
    # A cache may have handed out an older run than the one that is known.
    newest = [
        find_latest_run(source=run.source, grid_key=run.grid_key) or run for run in dict.fromkeys(pull.runs.values())
    ]
    runs = tuple(sorted(run.pk for run in newest))
    return CellPull(
        runs=runs,
        usable=not pull.failed and all(usable(run, now) for run in newest),
        failed=tuple(dict.fromkeys(str(failure) for failure in pull.failed.values())),
        notes=tuple(dict.fromkeys(note for notes in pull.notes.values() for note in notes)),
        expires_at=UrlState.objects.filter(run__in=runs).aggregate(last=Max("expires_at"))["last"],
    )


def pull_cell_warnings(*, cell: WorkCell, now: datetime) -> int:
    """Ask which public warnings are out at the places of a cell; how many messages are new.

    Raises
    ------
    CannotDo, OutsideFailure
        As the service says; what was kept stays, with its age.
    """
    source = nws_of(branch=cell.branch)
    if source is None:
        return 0
    return sum(pull_alerts(source=source, place=place, now=now) for place in cell.ordered())


def pull_cell_measured(*, cell: WorkCell, now: datetime) -> None:
    """Ask what the stations near a cell measured.

    Raises
    ------
    CannotDo, OutsideFailure
        As the service says; what was kept stays.
    """
    source = nws_of(branch=cell.branch)
    if source is not None:
        for place in cell.ordered():
            pull_observations(source=source, place=place, now=now)
