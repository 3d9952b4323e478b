"""Two pours through five real days: the verdicts, what people were told of them, and nothing twice.

Source: recorded hourly replies of 30 July to 4 August 2026; on 3 August the service answered 503. What stands in that
day is a reply of our own.
"""

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from crews.models import Crew, Message
from jobs.models import Job, Site, Task
from planner.forecast.models import ClimateRecord
from planner.plans.models import Assignment, Plan
from planner.watch.due import list_due
from planner.watch.models import Warned, WatchVerdict
from planner.watch.services import Judged, judge_branch
from tests.planner.forecast.written import met_reply
from tests.scenarios.outage import DAYS, SITE, ZONE, World, made_up_climate, open_world

HOUR = timedelta(hours=1)
SATURDAY, TUESDAY = (datetime(2026, 8, on, 13, tzinfo=ZoneInfo(ZONE)).astimezone(ZoneInfo("UTC")) for on in (1, 4))


@pytest.fixture
def world(db: None, settings: Any) -> Iterator[World]:
    for opened in open_world(settings):
        ClimateRecord.objects.create(
            branch=opened.branch, made_from="made up", loaded_at=DAYS["07-30"], table=made_up_climate().to_json()
        )
        _pours(opened)
        yield opened


def _pours(world: World) -> None:
    """A floor on Saturday and a deck on Tuesday, both at one in the afternoon, planned and told."""
    branch = world.branch
    site = Site.objects.create(
        branch=branch, name=SITE.name, address="1 Made Up Lane", latitude=SITE.latitude, longitude=SITE.longitude
    )
    job = Job.objects.create(
        branch=branch, site=site, name="Statham", method="insulated_form_liner", promised_on=SATURDAY.date()
    )
    week = {str(day): ["07:00", "17:00"] for day in range(1, 7)}
    crew = Crew.objects.create(
        branch=branch, key="forms", name="Forms", foreman="Foreman", email="foreman@example.org", size=5, week=week
    )
    plan = Plan.objects.create(
        branch=branch,
        number=1,
        state=Plan.State.IN_FORCE,
        made_at=DAYS["07-30"],
        as_of=DAYS["07-30"],
        in_force_at=DAYS["07-30"],
        input_revision=branch.input_revision,
        making={},
        cost={},
        document={"first_on": "2026-07-30", "horizon_days": 120, "stays": []},
    )
    for position, (key, start_at) in enumerate((("pour_floor", SATURDAY), ("deck_pour", TUESDAY))):
        task = Task.objects.create(
            branch=branch,
            site=site,
            job=job,
            key=key,
            title=key.replace("_", " "),
            kind="work",
            run="work",
            trade="concrete_forms",
            crew_size=5,
            work_minutes=240,
            position=position,
            exposure="slab_pour",
        )
        row = Assignment.objects.create(plan=plan, task=task, start_at=start_at, end_at=start_at + 4 * HOUR)
        row.crews.add(crew)
    branch.plan_number = 1
    branch.save()
    branch.refresh_from_db()


def day_of(world: World, day: str, **served: Any) -> Judged:
    """Serve a day's answers, pull, and judge what is due."""
    now = DAYS[day]
    world.serve(day, **served)
    world.pull(day)
    assert list_due(now) == [world.branch.pk], "a new run makes the branch due"
    judged = judge_branch(branch=world.branch, now=now)
    assert list_due(now) == []
    return judged


def verdict(key: str) -> str:
    return WatchVerdict.objects.get(task__key=key, current=True).verdict


def told(key: str) -> list[str]:
    rows = Warned.objects.filter(task__key=key, kind="verdict").order_by("told_at", "pk")
    return list(rows.values_list("verdict", flat=True))


def test_five_days_with_an_outage_end_with_the_right_verdicts(world: World) -> None:
    # Thursday: two days ahead 61 to 76 percent, from the hourly text alone.
    day_of(world, "07-30")
    assert verdict("pour_floor") == "move"
    assert WatchVerdict.objects.filter(task__key="deck_pour").count() == 0, "more than 72 hours away"
    run = WatchVerdict.objects.get(task__key="pour_floor", current=True).run
    assert run is not None
    assert run.source == "nws_hourly"

    # Saturday morning: 84 percent. It was said; it stands; nobody is told again.
    day_of(world, "08-01")
    assert verdict("pour_floor") == "move"
    assert told("pour_floor") == ["move"]

    # Sunday: the deck has come into the watch; 38 percent at its start, 71 in the evening before it has set.
    day_of(world, "08-02")
    assert verdict("deck_pour") == "move"
    assert told("deck_pour") == ["move"]

    # Monday: the service answers 503; another stands in, with amounts and without gusts: the verdict is its own.
    wet = met_reply(DAYS["08-03"].replace(minute=0), rain=lambda at: 4.0 if at.hour == 20 else 0.0)
    day_of(world, "08-03", met=wet)
    row = WatchVerdict.objects.get(task__key="deck_pour", current=True)
    assert row.run is not None
    assert row.run.source == "met"
    # 37 percent where 56 were: more than noise, so the verdict eases at once; people hear of it once it has stood.
    assert (row.verdict, row.arithmetic["freshness"]) == ("prepare", "fresh")
    assert told("deck_pour") == ["move"]

    # Tuesday: the service is back with 64 percent; what people were told on Sunday holds and is not told again.
    day_of(world, "08-04")
    assert verdict("deck_pour") == "move"
    assert told("deck_pour") == ["move"]
    facts = Message.objects.filter(branch=world.branch, fact__startswith="pour:")
    people = list(facts.values_list("fact", "person", "channel"))
    assert len(people) == len(set(people))


def test_with_every_service_down_it_says_unknown_and_moves_nothing(world: World) -> None:
    day_of(world, "07-30")
    world.serve("08-03")
    now = DAYS["07-30"] + 20 * HOUR
    assert list_due(now) == [world.branch.pk], "no run came, but the ladder and the age of the forecast did"
    judge_branch(branch=world.branch, now=now)
    assert verdict("pour_floor") == "unknown"
    assert told("pour_floor") == ["move", "unknown"]
    said = Message.objects.filter(branch=world.branch, fact__endswith=":unknown")
    assert all("Weather unknown, call the office" in one.subject for one in said)
    assert Plan.objects.get(branch=world.branch).state == Plan.State.IN_FORCE
    assert Assignment.objects.get(task__key="pour_floor").start_at == SATURDAY
    local = SATURDAY.astimezone(ZoneInfo(ZONE))
    assert local.time() == time(13)
