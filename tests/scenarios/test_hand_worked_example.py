"""A pool worked out by hand from design to hand-over comes out day by day.

Source: the hand-worked example of the build method, 16 x 32 ft in clay, June 2026: a pool, crews of one each, no
weather, concrete at an even 23 °C (class N, Q = 5000 K: 20.9, 39.7 and 122.2 h), surfaces dry after 16 h, liner two
weeks after measuring.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from crews.models import Crew, CrewTrade
from jobs.domain.facts import LinkFacts
from jobs.domain.method import LinkRule
from jobs.models import Branch
from jobs.science.concrete_temperature import Member
from jobs.science.maturity import arrhenius_rate
from jobs.services.branches import add_site
from jobs.services.opening import open_job
from planner.forecast.skies import load_climate
from planner.forecast.sources.station_csv import read_station_csv
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.domain.ready.concrete import Curing
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import World
from planner.plans.services import world_of
from planner.solver.check import check
from planner.solver.parameters import Repeatable
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.jobs.domain.pools import worked_design

ZONE = ZoneInfo("America/New_York")
RECORD = Path(__file__).parents[2] / "fixtures" / "weather" / "ewr_2013_hourly.csv.gz"
DAY_ONE = date(2026, 6, 1)
STRENGTH_HOURS = {0.35: 20.9, 0.50: 39.7, 0.75: 122.2}
TRADES = ("layout", "excavation", "concrete_forms", "plumbing", "electrical", "fence", "liner", "service")
DESIGN_FIELDS = (
    "form_thickness_m",
    "core_m",
    "slab_m",
    "edge_width_m",
    "edge_depth_m",
    "stone_m",
    "working_space_m",
    "coping_width_m",
    "coping_depth_m",
    "deck_width_m",
    "fence_m",
    "pipe_m",
    "floor_pipe_m",
    "floor_steel_kg",
    "bond_points_each",
    "deck_joint_m",
    "equipment_each",
)


@pytest.fixture
def world(db: None) -> World:
    as_of = datetime(2026, 6, 1, 7, 0, tzinfo=ZONE).astimezone(UTC)
    branch = Branch.objects.create(
        name="Hand",
        slug="hand",
        company="Worked by hand",
        zone=ZONE.key,
        opens=time(7),
        closes=time(15),
        yard_latitude=40.5,
        yard_longitude=-74.5,
        keeps_public_holidays=False,
    )
    week = {str(day): ["07:00", "15:00"] for day in range(1, 6)}
    for trade in TRADES:
        crew = Crew.objects.create(branch=branch, key=trade, name=trade, size=5, week=week)
        CrewTrade.objects.create(crew=crew, trade=trade)
    load_climate(branch=branch, weather=read_station_csv(RECORD, zone=ZONE.key), made_from="a record", now=as_of)
    site = add_site(
        branch=branch,
        name="Hand",
        address="1 Hand Lane",
        latitude=40.5,
        longitude=-74.5,
        zone=ZONE.key,
        soil="clay",
    )
    design = worked_design()
    open_job(
        branch=branch,
        site=site,
        name="Hand",
        method="insulated_form_liner",
        basin=design.basin,
        design={name: getattr(design, name) for name in DESIGN_FIELDS},
        promised_on=date(2026, 6, 5),
        as_of=as_of,
    )
    return by_hand(world_of(branch=branch, as_of=as_of))


def by_hand(world: World) -> World:
    """The assumptions of the example: no weather, its concrete temperature and drying hours."""
    usual = world.climate
    return replace(
        world,
        climate=replace(
            usual, hours=tuple(tuple(replace(hour, air_mean_c=23.0) for hour in month) for month in usual.hours)
        ),
        curing=Curing(rate=arrhenius_rate, member=Member(time_constant_h=0.5, hydration_rise_c=0.0)),
        jobs=tuple(replace(job, links=tuple(map(as_in_example, job.links))) for job in world.jobs),
        exposures={key: replace(one, exposed=False) for key, one in world.exposures.items()},
    )


def as_in_example(link: LinkFacts) -> LinkFacts:
    rule: LinkRule = link.rule
    if rule.kind == "dryness":
        hours = 0.0 if rule.surface == "ground" else 16.0
        return replace(link, rule=replace(rule, fixed_hours=hours, min_hours=0.0))
    return link


def working_day(moment: datetime) -> int:
    """Working days from day one, Monday to Friday, day one being 1."""
    on = moment.astimezone(ZONE).date()
    return sum((DAY_ONE.toordinal() + offset - 1) % 7 < 5 for offset in range((on - DAY_ONE).days + 1))


def planned(world: World) -> tuple[Assembled, dict[str, Assignment]]:
    assembled = assemble(world, first_on=DAY_ONE, horizon_days=80)
    result = solve(assembled.problem, Repeatable(deterministic_seconds=1.0))
    assert result.status == "planned", result.clashes
    assert check(assembled.problem, result.assignments) == ()
    return assembled, {one.task.partition(".")[2]: one for one in result.assignments}


def test_the_days_worked_out_by_hand_come_out(world: World) -> None:
    assembled, by_key = planned(world)

    def ends(key: str) -> int:
        return working_day(assembled.line.at(by_key[key].end))

    def starts(key: str) -> int:
        return working_day(assembled.line.at(by_key[key].start))

    assert {
        "floor pour": ends("pour_floor"),
        "wall pour": ends("pour_walls"),
        "backfill starts": starts("backfill"),
        "deck pour": ends("pour_deck"),
        "liner drop": ends("drop_liner"),
        "hand-over": ends("hand_over"),
    } == {
        "floor pour": 10,
        "wall pour": 14,
        "backfill starts": 18,
        "deck pour": 23,
        "liner drop": 29,
        "hand-over": 35,
    }


def test_the_strength_waits_are_those_worked_out_by_hand(world: World) -> None:
    waits, [pool] = Waits(world), world.jobs
    ended_at = datetime(2026, 6, 12, 13, 15, tzinfo=ZONE).astimezone(UTC)
    for link in pool.links:
        if link.rule.fraction is not None:
            hours = (waits.of(pool, link).ready_at(ended_at) - ended_at) / timedelta(hours=1)
            floor = max(link.rule.floor_hours, link.rule.min_hours)
            assert hours == pytest.approx(max(STRENGTH_HOURS[link.rule.fraction], floor), abs=0.05)


def test_the_forms_crew_works_the_hours_worked_out_by_hand(world: World) -> None:
    """71.75 h in all; the dig is 14 h where the example's 11.5 h leave out the factor for clay."""
    minutes = {task.key: task.work_minutes for job in world.jobs for task in job.tasks}
    forms = [task.key for job in world.jobs for task in job.tasks if task.trade == "concrete_forms"]
    assert sum(minutes[key] for key in forms) / 60 == pytest.approx(71.75)
    assert minutes["dig"] / 60 == pytest.approx(14.0)
