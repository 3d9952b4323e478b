"""Everything a plan is made from, as frozen values: the replay and the office's questions use the same."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from crews.domain.facts import CrewsFacts
from jobs.domain.exposure import Exposure
from jobs.domain.facts import BranchFacts, JobFacts
from planner.forecast.domain.climate import Climate
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.halfday import HalfDays
from planner.forecast.domain.judge import Judge
from planner.forecast.domain.judgement import Usual
from planner.forecast.domain.series import HourlySeries
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.domain.ready.concrete import Curing


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """What a plan bought to prepare for a start: the measures, their price and the time they add to the work."""

    titles: tuple[str, ...]
    dollars: int
    minutes: int = 0

    @property
    def title(self) -> str:
        """The measures in one line; ``titles_of`` reads it."""
        return self.joined(self.titles)

    @staticmethod
    def joined(titles: Iterable[str]) -> str:
        """Measures in one line."""
        return "; ".join(titles)

    @staticmethod
    def titles_of(title: str) -> tuple[str, ...]:
        """The measures of a line."""
        return tuple(title.split("; "))


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidTime:
    """Hours a plan bought from the crews of a stay: past their own, and on days they have off, with their price."""

    overtime_minutes: int
    day_off_minutes: int
    dollars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One assignment of a stored plan: a task (id) from start to end with its crews (keys).

    ``prepared`` is what the plan bought for the start, ``paid`` the hours it bought of the crews; ``None``: nothing.
    """

    task: int
    start_at: datetime
    end_at: datetime
    crews: tuple[str, ...]
    prepared: Prepared | None = None
    paid: PaidTime | None = None

    @property
    def work_at(self) -> datetime:
        """When the work itself begins: the stay opens with what is prepared for it."""
        first = timedelta(minutes=self.prepared.minutes) if self.prepared is not None else timedelta(0)
        return min(self.start_at + first, self.end_at)


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
    """One judge for all sites under one sky, kept: what it has worked out serves every table of the world."""

    def __init__(self, world: World) -> None:
        self._world = world
        self._zone = ZoneInfo(world.branch.zone)
        self._usual = Usual(half_days=HalfDays(self._zone))
        self._by_site: dict[int, Judge] = {}
        self._by_sky: dict[tuple[HourlySeries | None, HourlySeries | None, Freshness], Judge] = {}

    def at(self, site_id: int) -> Judge:
        """The judge of a site; without a forecast it knows the climate only."""
        found = self._by_site.get(site_id)
        if found is None:
            sky = self._world.skies.get(site_id)
            key = (sky.series, sky.observed, sky.freshness) if sky else (None, None, Freshness.DOWN)
            found = self._by_site[site_id] = self._by_sky.get(key) or self._by_sky.setdefault(key, self._made(*key))
        return found

    def _made(self, series: HourlySeries | None, observed: HourlySeries | None, freshness: Freshness) -> Judge:
        return Judge(
            series=series,
            climate=self._world.climate,
            zone=self._zone,
            observed=observed,
            freshness=freshness,
            usual=self._usual,
        )
