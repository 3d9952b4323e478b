"""Once a day forecasts are verified and what is old goes; what cannot be verified is said, and the rest is done."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs.models import Branch, Site
from planner.forecast.models import ForecastRun, GridPlace, RecordedSky, VerifiedWindow
from planner.forecast.selectors import degrees
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
