"""A wall pour that cannot end by dark is refused, in the printed plan and on the page, with what would make it fit."""

from datetime import UTC, date, datetime, time
from html import unescape
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command
from django.core.management.base import CommandError
from django.test import Client

from crews.models import Crew, CrewTrade
from jobs.methods.loader import load_method
from jobs.models import Branch, Job
from jobs.services.branches import add_site
from jobs.services.opening import open_job
from planner.forecast.skies import load_climate
from planner.forecast.sources.station_csv import read_station_csv
from planner.plans.replanning.drain import drain
from planner.plans.replanning.requests import ask
from planner.solver.parameters import GreedyOnly
from planner.web.models import Membership
from tests.jobs.domain.pools import worked_design
from tests.scenarios.test_hand_worked_example import DESIGN_FIELDS
from tests.scenarios.test_methods_plan import RECORD, ZONE

METHOD = "insulated_form_liner"
WINTER = datetime(2027, 1, 11, 7, 0, tzinfo=ZONE).astimezone(UTC)
# One truck that brings a cubic metre every hour and more: 6.5 m3 take longer than any winter day is light.
SLOW = {"trucks_each": 1, "truck_load_m3": 1.0, "truck_travel_h": 0.6}


@pytest.fixture
def pool(db: None, settings: object) -> Job:
    """A pool in January, to be opened from the first stake on; the office opens from 7 to 17."""
    settings.PLANNER_AS_OF = WINTER  # type: ignore[attr-defined]
    branch = Branch.objects.create(
        name="Winter",
        slug="winter",
        company="Short days",
        zone=ZONE.key,
        opens=time(7),
        closes=time(17),
        yard_latitude=40.5,
        yard_longitude=-74.5,
        keeps_public_holidays=False,
    )
    week = {str(day): ["07:00", "17:00"] for day in range(1, 6)}
    for trade in sorted({task.trade for task in load_method(METHOD).tasks if task.kind == "work"}):
        crew = Crew.objects.create(branch=branch, key=trade, name=trade, size=8, week=week)
        CrewTrade.objects.create(crew=crew, trade=trade)
    load_climate(branch=branch, weather=read_station_csv(RECORD, zone=ZONE.key), made_from="a record", now=WINTER)
    site = add_site(
        branch=branch, name="Short", address="3 Short Lane", latitude=40.5, longitude=-74.5, zone=ZONE.key, soil="loam"
    )
    design = worked_design()
    open_job(
        branch=branch,
        site=site,
        name="Short Lane",
        method=METHOD,
        basin=design.basin,
        design={name: getattr(design, name) for name in DESIGN_FIELDS},
        promised_on=date(2027, 3, 1),
        as_of=WINTER,
    )
    return Job.objects.get(name="Short Lane")


def supplied(pool: Job, **supply: float) -> Branch:
    """The pool's branch after the plant has said what trucks it has."""
    pool.design = pool.design | supply
    pool.save()
    return pool.branch


def page(branch: Branch) -> str:
    user = User.objects.create_user(username="office")
    Membership.objects.create(user=user, branch=branch, role="office")
    client = Client()
    client.force_login(user)
    return " ".join(unescape(client.get("/changes/").content.decode()).split())


def test_the_printed_plan_refuses_it_with_every_remedy_and_what_each_comes_to(pool: Job) -> None:
    supplied(pool, **SLOW, truck_round_trip_h=1.2)
    with pytest.raises(CommandError) as refused:
        call_command("make_plan", stdout=StringIO())
    says = str(refused.value)
    assert "The wall pour takes 10.8 h, limited by the trucks" in says
    assert "the longest working light until the promised date is 10.0 h" in says
    assert "With 2 trucks going round it would take " in says
    assert "earlier where there is light, order more trucks, use a stiffer form" in says
    assert "construction joint approved by the engineer" in says
    # Nobody is told to stop a wall for the night: that is a joint no engineer has seen.
    assert "over a night" not in says


def test_the_page_says_so_too(pool: Job) -> None:
    branch = supplied(pool, **SLOW, truck_round_trip_h=1.2)
    ask(branch=branch, reason="job_changed", subject=f"job:{pool.pk}", says="Trucks were entered.", now=WINTER)
    found = drain(branch=branch, now=WINTER, parameters=GreedyOnly())
    assert found is not None
    assert found.outcome == "refused"
    said = page(branch)
    assert "no other plan was possible" in said
    assert "The wall pour takes 10.8 h, limited by the trucks" in said
    assert "construction joint approved by the engineer" in said


def test_a_pour_that_waits_for_longer_days_says_for_which(pool: Job) -> None:
    """On 11 January the sun is up at 7:20 and down at 16:50 (US Naval Observatory, 40.5 N 74.5 W, from memory)."""
    branch = supplied(pool, **SLOW, truck_round_trip_h=1.05)
    out = StringIO()
    call_command("make_plan", stdout=out)
    said = " ".join(out.getvalue().split())
    assert "so it waits for that day" in said
    assert "To pour sooner start earlier where there is light, order more trucks" in said
    assert "so it waits for that day" in page(branch)
