"""Once a day forecasts are verified and what is old goes; what cannot be verified is said, and the rest is done."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from crews.models import Message
from jobs.models import Branch, Site, Task
from planner.forecast.models import ForecastRun, GridPlace, RecordedSky, VerifiedWindow
from planner.forecast.selectors import degrees
from planner.plans.models import Plan, ReplanRequest, StartMemory
from planner.serving.models import Turn
from planner.serving.rounds import daily_upkeep
from planner.watch.models import Warned

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 7, 20, 16, tzinfo=UTC)
OLD = NOW - timedelta(days=800)


@pytest.fixture
def turn() -> Turn:
    return Turn.objects.create(kind=Turn.Kind.UPKEEP, key="", next_due_at=NOW)


@pytest.fixture
def branch(db: None) -> Branch:
    branch = Branch.objects.create(
        name="Yard", slug="yard", company="Made up", zone="America/New_York", opens="07:00", closes="15:00",
        yard_latitude=40.6, yard_longitude=-74.4,
    )  # fmt: skip
    Site.objects.create(branch=branch, name="Heron Lane", address="1 Heron Lane", latitude=40.6, longitude=-74.4)
    Warned.objects.create(branch=branch, fact="old", kind="weekend", says="Long ago", told_at=OLD)
    Warned.objects.create(branch=branch, fact="new", kind="weekend", says="Today", told_at=NOW)
    VerifiedWindow.objects.create(
        source="nws", grid_key="PHI/1,1", from_at=OLD, lead_day=1, percent=10, wet=False, odd=True
    )
    return branch


def test_what_is_old_goes_and_what_is_new_stays(turn: Turn, branch: Branch) -> None:
    daily_upkeep(turn_id=turn.pk, now=NOW, running=NOW)
    assert list(Warned.objects.values_list("fact", flat=True)) == ["new"]
    assert not VerifiedWindow.objects.exists()
    turn.refresh_from_db()
    assert turn.well_at == NOW
    assert turn.next_due_at is not None
    assert turn.next_due_at > NOW + timedelta(hours=12)


def message(branch: Branch, fact: str, **changes: Any) -> Message:
    values = {
        "branch": branch,
        "fact": fact,
        "person": "member:1",
        "name": "Office",
        "channel": "mail",
        "address": "office@example.org",
        "subject": "Told",
        "body": "Told.",
        "message_id": f"<{fact}@example.org>",
        "state": "sent",
        "sent_at": NOW,
        "posted_at": NOW,
        "next_try_at": NOW,
    }
    return Message.objects.create(**(values | changes))


def test_sent_messages_go_after_a_year_and_what_waits_stays(turn: Turn, branch: Branch) -> None:
    year = NOW - timedelta(days=366)
    for state in ("sent", "dead", "dropped", "waiting"):
        message(branch, f"old-{state}", state=state, posted_at=year, sent_at=year if state == "sent" else None)
    message(branch, "this-year", posted_at=NOW - timedelta(days=364))
    daily_upkeep(turn_id=turn.pk, now=NOW, running=NOW)
    assert set(Message.objects.values_list("fact", flat=True)) == {"old-waiting", "this-year"}


def plan(branch: Branch, number: int, state: str, made_at: datetime) -> Plan:
    return Plan.objects.create(
        branch=branch,
        number=number,
        state=state,
        made_at=made_at,
        as_of=made_at,
        in_force_at=made_at if state in ("in_force", "past") else None,
        input_revision=0,
        making={},
        cost={},
        document={"stays": []},
    )


def test_answered_requests_and_memories_of_left_plans_go_after_90_days(turn: Turn, branch: Branch) -> None:
    for name, days, state, outcome in (
        ("old", 91, "done", 1),
        ("its cause", 91, "done", 4),
        ("new", 89, "done", 1),
        ("waits", 91, "open", 0),
    ):
        at = NOW - timedelta(days=days)
        closed_at = None if state == "open" else at
        ReplanRequest.objects.create(
            branch=branch, reason="job_changed", subject=name, says=name, asked_at=at, again_at=at,
            state=state, closed_at=closed_at, outcome=outcome,
        )  # fmt: skip
    site = Site.objects.get()
    task = Task.objects.create(
        branch=branch, site=site, key="pour", title="Pour", kind="work", run="work", work_minutes=60
    )
    plans = [plan(branch, 1, "past", OLD), plan(branch, 2, "past", NOW), plan(branch, 3, "in_force", OLD)]
    plan(branch, 4, "proposed", OLD)
    for one in plans:
        StartMemory.objects.create(plan=one, task=task, run=1, chance=0.1, dollars=10)
    daily_upkeep(turn_id=turn.pk, now=NOW, running=NOW)
    assert set(ReplanRequest.objects.values_list("subject", flat=True)) == {"its cause", "new", "waits"}
    assert set(StartMemory.objects.values_list("plan__number", flat=True)) == {2, 3}


def test_a_branch_that_cannot_be_verified_is_said_and_the_rest_is_done(turn: Turn, branch: Branch) -> None:
    RecordedSky.objects.create(branch=branch, record="gone.csv", shift_days=0, seed=0)
    GridPlace.objects.create(
        source="replay", latitude=degrees(40.6), longitude=degrees(-74.4), grid_key="replay/1", resolved_at=NOW
    )
    assert not ForecastRun.objects.exists()
    daily_upkeep(turn_id=turn.pk, now=NOW, running=NOW)
    turn.refresh_from_db()
    assert "gone.csv" in turn.problem
    assert turn.failing_since == NOW
    assert list(Warned.objects.values_list("fact", flat=True)) == ["new"]
