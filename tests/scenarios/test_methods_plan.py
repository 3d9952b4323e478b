"""A pool by each build method is planned from the locate to its last visit, and every wait is kept.

No weather: exposures are off, so that only the method speaks. One crew of each trade, Monday to Friday.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from crews.models import Crew, CrewTrade
from jobs.domain.basin import Basin
from jobs.methods.loader import list_methods, load_method
from jobs.models import Branch
from jobs.services.branches import add_site
from jobs.services.opening import open_job
from planner.forecast.skies import load_climate
from planner.forecast.sources.station_csv import read_station_csv
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.domain.world import World
from planner.plans.services import world_of
from planner.solver.check import check
from planner.solver.parameters import GreedyOnly
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.jobs.domain.pools import worked_design
from tests.scenarios.test_hand_worked_example import DESIGN_FIELDS

ZONE = ZoneInfo("America/New_York")
RECORD = Path(__file__).parents[2] / "fixtures" / "weather" / "ewr_2013_hourly.csv.gz"
DAY_ONE = date(2026, 6, 1)
LONGEST_DAYS = 150


def world_by(method: str, basin: Basin | None = None) -> World:
    as_of = datetime(2026, 6, 1, 7, 0, tzinfo=ZONE).astimezone(UTC)
    branch = Branch.objects.create(
        name="Methods",
        slug="methods",
        company="Three ways to build",
        zone=ZONE.key,
        opens=time(7),
        closes=time(17),
        yard_latitude=40.5,
        yard_longitude=-74.5,
        keeps_public_holidays=False,
    )
    week = {str(day): ["07:00", "15:00"] for day in range(1, 6)}
    trades = sorted({task.trade for task in load_method(method).tasks if task.kind == "work"})
    for trade in trades:
        crew = Crew.objects.create(branch=branch, key=trade, name=trade, size=8, week=week)
        CrewTrade.objects.create(crew=crew, trade=trade)
    load_climate(branch=branch, weather=read_station_csv(RECORD, zone=ZONE.key), made_from="a record", now=as_of)
    site = add_site(
        branch=branch,
        name="Methods",
        address="3 Method Lane",
        latitude=40.5,
        longitude=-74.5,
        zone=ZONE.key,
        soil="loam",
    )
    design = worked_design()
    open_job(
        branch=branch,
        site=site,
        name=method,
        method=method,
        basin=basin or design.basin,
        design={name: getattr(design, name) for name in DESIGN_FIELDS},
        promised_on=date(2026, 8, 31),
        as_of=as_of,
    )
    world = world_of(branch=branch, as_of=as_of)
    return replace(world, exposures={key: replace(one, exposed=False) for key, one in world.exposures.items()})


def planned(method: str, basin: Basin | None = None) -> tuple[Assembled, dict[str, Assignment]]:
    assembled = assemble(world_by(method, basin), first_on=DAY_ONE, horizon_days=LONGEST_DAYS)
    result = solve(assembled.problem, GreedyOnly())
    assert result.status == "planned", result.clashes
    assert check(assembled.problem, result.assignments) == ()
    return assembled, {one.task.partition(".")[2]: one for one in result.assignments}


@pytest.mark.django_db
@pytest.mark.parametrize("method", list_methods())
def test_every_task_of_the_method_finds_its_place(method: str) -> None:
    _, by_key = planned(method)
    assert set(by_key) == {task.key for task in load_method(method).tasks}


PLASTERED = {"insulated_form_plaster": "pour_shell", "sprayed_shell": "spray_shell"}


@pytest.mark.django_db
@pytest.mark.parametrize(("method", "shell"), PLASTERED.items())
def test_water_and_finish_keep_their_times(method: str, shell: str) -> None:
    """Waits of the method sheet, read off the plan: cure, shrinkage, tile before water, water without a stop."""
    assembled, by_key = planned(method)

    def starts(key: str) -> datetime:
        return assembled.line.at(by_key[key].start)

    def ends(key: str) -> datetime:
        return assembled.line.at(by_key[key].end)

    hour, day = timedelta(hours=1), timedelta(days=1)
    # The cure runs day and night: 8 h to final set and 7 days.
    assert ends("wet_cure") - starts("wet_cure") == 8 * hour + 7 * day
    assert starts("wet_cure") - ends(shell) <= 20 * hour
    assert starts("coat_one") - ends(shell) >= 14 * day
    assert starts("plaster") - ends(shell) >= 28 * day
    assert starts("fill_all") - ends("set_tile") >= 14 * day
    assert 2 * hour <= starts("fill_all") - ends("plaster") <= 24 * hour
    # 67.19 m3 at 2.73 m3/h are 24.6 h, through the night.
    assert ends("fill_all") - starts("fill_all") == 24.75 * hour
    assert starts("start_up") - ends("fill_all") <= 12 * hour
    assert 28 * day <= starts("add_salt") - ends("start_up") <= 60 * day
    # Shell and plaster are done in one go, from the opening of the day.
    for key in (shell, "plaster"):
        assert starts(key).astimezone(ZONE).time() == time(7)
        assert starts(key).astimezone(ZONE).date() == ends(key).astimezone(ZONE).date()


@pytest.mark.django_db
@pytest.mark.parametrize("method", PLASTERED)
def test_care_visits_fall_on_ten_days_and_the_pool_is_handed_over_after_the_last(method: str) -> None:
    assembled, by_key = planned(method)
    care = [assembled.line.at(one.start).astimezone(ZONE) for key, one in by_key.items() if key.startswith("care_day_")]
    assert len({visit.date() for visit in care}) == 10
    assert max(care) - assembled.line.at(by_key["start_up"].end) >= timedelta(days=13)
    assert by_key["hand_over"].start >= by_key["care_day_14"].end
    assert by_key["add_salt"].start > by_key["hand_over"].end
