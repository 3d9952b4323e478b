"""A yard of two crews and three pieces of work under a sky a test draws: small enough to plan in a moment."""

from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from crews.models import Crew, CrewTrade
from jobs.models import Branch, Site, Task
from planner.forecast.domain.climate import ObservedHour
from planner.forecast.domain.outside.providers import NWS
from planner.forecast.domain.series import VARIABLES, HourlySeries
from planner.forecast.domain.station import climate_from_hours
from planner.forecast.models import ClimateRecord, ForecastRun, GridPlace
from planner.forecast.services import store_run
from planner.forecast.sources.source import Fetched
from planner.plans.models import Plan
from planner.plans.selectors import plan_in_force
from planner.plans.services import make_plan, put_in_force
from planner.solver.parameters import GreedyOnly

ZONE = ZoneInfo("America/New_York")
# Monday 8 June 2026, six in the morning at the yard.
NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
GREEDY = GreedyOnly()
CELL = "YRD/1,1"
WEEK = {str(day): ["07:00", "15:30"] for day in range(1, 6)}
CALM = {
    "air_temp_c": 21.0,
    "dew_point_c": 12.0,
    "wind_m_s": 2.0,
    "gust_m_s": 4.0,
    "rain_chance": 0.0,
    "rain_mm": 0.0,
    "thunder_chance": 0.0,
    "sky_cover": 0.2,
}
SkyValue = float | Callable[[datetime], float | None]


@lru_cache(maxsize=1)
def mild_climate() -> dict[str, Any]:
    """A year of even, dry hours."""
    start_at = datetime(2025, 1, 1, tzinfo=UTC)
    hours = (
        ObservedHour(
            start_at=start_at + at * HOUR, air_temp_c=20.0, dew_point_c=10.0, wind_m_s=2.0, gust_m_s=3.0, rain_mm=0.0
        )
        for at in range(365 * 24)
    )
    return dict(climate_from_hours(hours, zone=ZONE).to_json())


def build_yard(*, pour_in_days: int = 0) -> Branch:
    """The yard with a calm forecast and a plan in force; the pour is not before so many days."""
    branch = Branch.objects.create(
        name="Yard",
        slug="yard",
        company="Invented builders",
        zone=ZONE.key,
        opens=time(7),
        closes=time(17),
        yard_latitude=40.5,
        yard_longitude=-74.5,
        keeps_public_holidays=False,
    )
    ClimateRecord.objects.create(branch=branch, made_from="even hours", loaded_at=NOW, table=mild_climate())
    for key in ("forms", "fence"):
        crew = Crew.objects.create(branch=branch, key=key, name=f"{key.capitalize()} crew", size=4, week=WEEK)
        CrewTrade.objects.create(crew=crew, trade="concrete_forms" if key == "forms" else "fence")
    site = Site.objects.create(branch=branch, name="North", address="1 North Lane", latitude=40.6, longitude=-74.6)
    GridPlace.objects.create(source=NWS.cells, latitude="40.6000", longitude="-74.6000", grid_key=CELL, resolved_at=NOW)
    add_work(site, "pour", exposure="slab_pour", days=pour_in_days)
    add_work(site, "strip", exposure="none")
    add_work(site, "fence", exposure="none", trade="fence")
    draw_sky(NOW - HOUR)
    branch.refresh_from_db()
    put_in_force(branch=branch, plan=make_plan(branch=branch, as_of=NOW, parameters=GREEDY).plan, now=NOW)
    return branch


def add_work(site: Site, key: str, *, exposure: str, trade: str = "concrete_forms", days: int = 0) -> Task:
    """Six hours of work of four people on a site."""
    return Task.objects.create(
        branch=site.branch,
        site=site,
        key=key,
        title=key.capitalize(),
        kind="work",
        run="work",
        trade=trade,
        crew_size=4,
        crew_min=2,
        work_minutes=360,
        exposure=exposure,
        earliest_at=NOW + days * DAY if days else None,
        earliest_why="agreed" if days else "",
    )


def draw_sky(issued_at: datetime, **values: SkyValue) -> ForecastRun:
    """A run of nine days; what is not named is calm and dry."""
    start_at = NOW - 10 * HOUR
    hours = [start_at + at * HOUR for at in range(24 * 9)]
    columns: dict[str, Any] = {}
    for name in VARIABLES:
        value: Any = values.get(name, CALM[name])
        columns[name] = tuple(value(at) if callable(value) else value for at in hours)
    series = HourlySeries(source=NWS.key, issued_at=issued_at, start_at=start_at, **columns)
    run, _ = store_run(
        Fetched(series=series, body=b"", source=NWS.key, grid_key=CELL, issued_at=issued_at, fetched_at=issued_at)
    )
    return run


def rain_on(*days: int, chance: float) -> Callable[[datetime], float]:
    """Rain chance on days counted from the Monday, the same in every hour; none on the others."""
    monday = NOW.astimezone(ZONE).date()

    def at(moment: datetime) -> float:
        return chance if (moment.astimezone(ZONE).date() - monday).days in days else 0.0

    return at


def in_force(branch: Branch) -> Plan:
    plan = plan_in_force(branch=branch)
    assert plan is not None
    return plan


def task(branch: Branch, key: str = "pour") -> Task:
    return Task.objects.get(branch=branch, key=key)


def day_of(plan: Plan, key: str = "pour") -> int:
    """Days from the Monday on which a plan starts a piece of work."""
    row = task(plan.branch, key)
    start = next(stay["start"] for stay in plan.document["stays"] if stay["task"] == row.pk)
    return (datetime.fromisoformat(start).astimezone(ZONE).date() - NOW.astimezone(ZONE).date()).days
