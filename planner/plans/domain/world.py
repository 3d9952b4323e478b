"""Everything a plan is made from, as frozen values: the replay and the office's questions use the same."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from crews.domain.facts import CrewsFacts
from jobs.domain.exposure import Exposure
from jobs.domain.facts import BranchFacts, JobFacts
from planner.forecast.domain.climate import Climate
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.judge import Judge
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.ready.concrete import Curing


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One assignment of a stored plan: a task (id) from start to end with its crews (keys)."""

    task: int
    start_at: datetime
    end_at: datetime
    crews: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportFacts:
    """What the site said of a task (id; ``None``: of no single task); ``values`` as the report holds them."""

    task: int | None
    kind: str
    happened_at: datetime
    said_by: str
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """One branch at one moment. ``skies`` is by site id, ``told`` is the plan in force.

    ``reports`` are the safety gates and readings the site reported of open jobs. ``curing`` is how the branch reckons
    strength. ``notes`` tell what could not be reckoned.
    """

    as_of: datetime
    branch: BranchFacts
    jobs: tuple[JobFacts, ...]
    crews: CrewsFacts
    exposures: Mapping[str, Exposure]
    climate: Climate
    skies: Mapping[int, SiteSky] = field(default_factory=dict)
    told: tuple[Stay, ...] = ()
    reports: tuple[ReportFacts, ...] = ()
    curing: Curing = field(default_factory=Curing)
    notes: tuple[str, ...] = ()


class Judges:
    """One judge a site, made when first asked and kept: what it has worked out serves the whole table."""

    def __init__(self, world: World) -> None:
        self._world = world
        self._by_site: dict[int, Judge] = {}

    def at(self, site_id: int) -> Judge:
        """The judge of a site; without a forecast it knows the climate only."""
        if site_id not in self._by_site:
            sky = self._world.skies.get(site_id)
            self._by_site[site_id] = Judge(
                series=sky.series if sky else None,
                climate=self._world.climate,
                zone=ZoneInfo(self._world.branch.zone),
                observed=sky.observed if sky else None,
                freshness=sky.freshness if sky else Freshness.DOWN,
            )
        return self._by_site[site_id]
