"""A yard of two crews with a pour tomorrow, as rows of the database of the settings; see ``make_yard``.

It lies where it is six in the morning now, near the equator, and works every day: whenever the tests run, the crews'
day is ahead of them and in daylight.
"""

from datetime import UTC, datetime, time, timedelta
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib.auth.models import User

from crews.models import Crew, CrewTrade
from jobs.models import Branch, Site, Task
from planner.forecast.domain.climate import ObservedHour
from planner.forecast.domain.place import Place
from planner.forecast.domain.station import climate_from_hours
from planner.forecast.models import ClimateRecord, GridPlace
from planner.forecast.services import store_run
from planner.forecast.sources.nws_grid import read_gridpoint
from planner.forecast.sources.nws_writer import write_gridpoint
from planner.forecast.sources.source import Fetched
from planner.plans.services import make_plan, put_in_force
from planner.solver.parameters import GreedyOnly
from planner.web.models import Membership
from tests.faults.forecast_server import weather

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
CELL = "YRD/1,1"
LATITUDE = 5.5
WEEK = {str(day): ["07:00", "15:30"] for day in range(1, 8)}


def offset_hours(now: datetime) -> int:
    """Hours from UTC of the zone where it is six in the morning, -11 to 12."""
    hours = (6 - now.astimezone(UTC).hour) % 24
    return hours - 24 if hours > 12 else hours


def zone_of(now: datetime) -> str:
    """Its name; these zones count the other way round."""
    return f"Etc/GMT{-offset_hours(now):+d}"


def longitude(now: datetime) -> float:
    """Where the sun stands as that zone says."""
    return 15.0 * offset_hours(now)


@lru_cache(maxsize=1)
def even_climate(zone: str) -> Any:
    """A year of dry hours at 20 °C."""
    hours = (
        ObservedHour(
            start_at=datetime(2025, 1, 1, tzinfo=UTC) + at * HOUR,
            air_temp_c=20.0,
            dew_point_c=10.0,
            wind_m_s=2.0,
            gust_m_s=3.0,
            rain_mm=0.0,
        )
        for at in range(365 * 24)
    )
    return climate_from_hours(hours, zone=ZoneInfo(zone)).to_json()


def build(now: datetime, *, sites: int, mail: str, number: int = 0, cells: int = 0) -> None:
    """Write the yard of a number; its plan is in force, its sky was dry an hour ago.

    Its sites lie in as many cells, or in ``cells`` of them, ``YRD/1,1`` and so on; the yard of number 1 in ``YRD/2,1``.
    """
    zone = zone_of(now)
    branch = Branch.objects.create(
        name=f"Yard {number}" if number else "Yard",
        slug=f"yard{number}" if number else "yard",
        company="Invented builders",
        zone=zone,
        opens=time(7),
        closes=time(17),
        yard_latitude=LATITUDE,
        yard_longitude=longitude(now),
        keeps_public_holidays=False,
    )
    ClimateRecord.objects.create(branch=branch, made_from="even hours", loaded_at=now, table=even_climate(zone))
    for key, trade in (("forms", "concrete_forms"), ("fence", "fence")):
        crew = Crew.objects.create(
            branch=branch, key=key, name=f"{key.capitalize()} crew", size=4, week=WEEK, email=f"{key}@example.org"
        )
        CrewTrade.objects.create(crew=crew, trade=trade)
    user = User.objects.create_user(f"office{number or ''}", email=mail, password="office")
    Membership.objects.create(user=user, branch=branch, role=Membership.Role.OFFICE)
    for at in range(sites):
        cell = f"YRD/{number + 1},{at * (cells or sites) // sites + 1}"
        _add_site(branch, now, at, place=site_place(now, at, number), cell=cell)
    _plan(branch, now)


def site_place(now: datetime, at: int, number: int = 0) -> Place:
    """Where a site of the yard of a number lies."""
    return Place(latitude=round(LATITUDE + at * 0.1, 4), longitude=round(longitude(now) + number * 0.04, 4))


def _add_site(branch: Branch, now: datetime, at: int, *, place: Place, cell: str) -> None:
    site = Site.objects.create(
        branch=branch,
        name=f"Site {at}",
        address=f"{at} Lane",
        latitude=place.latitude,
        longitude=place.longitude,
    )
    GridPlace.objects.get_or_create(
        source="nws",
        latitude=f"{place.latitude:.4f}",
        longitude=f"{place.longitude:.4f}",
        defaults={"grid_key": cell, "resolved_at": now},
    )
    _draw_dry(place, now, cell)
    _add_work(site, "pour" if at == 0 else f"look{at}", now, exposed=at == 0)


def _add_work(site: Site, key: str, now: datetime, *, exposed: bool) -> None:
    Task.objects.create(
        branch=site.branch,
        site=site,
        key=key,
        title=key.capitalize(),
        kind="work",
        run="work",
        trade="concrete_forms" if exposed else "fence",
        crew_size=4,
        crew_min=2,
        work_minutes=360 if exposed else 30,
        exposure="slab_pour" if exposed else "none",
        earliest_at=now + DAY if exposed else None,
        earliest_why="agreed" if exposed else "",
    )


def _draw_dry(place: Place, now: datetime, cell: str) -> None:
    issued_at = now - HOUR
    series = read_gridpoint(write_gridpoint(weather(issued_at=issued_at), grid_key=cell, place=place))
    store_run(
        Fetched(series=series, body=b"", source="nws", grid_key=cell, issued_at=series.issued_at, fetched_at=issued_at)
    )


def _plan(branch: Branch, now: datetime) -> None:
    branch.refresh_from_db()
    put_in_force(branch=branch, plan=make_plan(branch=branch, as_of=now, parameters=GreedyOnly()).plan, now=now)
