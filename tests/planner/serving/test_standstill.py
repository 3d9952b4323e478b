"""Every page says since when the service stands still, and nothing while it is well or was never started."""

from datetime import UTC, datetime, timedelta

import pytest

from planner import clock
from planner.serving.models import Turn
from planner.serving.selectors import standstill_since
from planner.serving.turns import note_tick
from tests.planner.web.conftest import SignIn, branch, company_rows, sign_in

__all__ = ["branch", "company_rows", "sign_in"]
NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)


@pytest.mark.django_db
def test_a_service_that_ticks_is_well_and_one_that_misses_five_is_not() -> None:
    assert standstill_since(running=NOW) is None
    note_tick(now=NOW)
    assert standstill_since(running=NOW + timedelta(minutes=4, seconds=59)) is None
    assert standstill_since(running=NOW + timedelta(minutes=5, seconds=1)) == NOW
    note_tick(now=NOW + timedelta(minutes=6))
    assert standstill_since(running=NOW + timedelta(minutes=7)) is None


def test_pages_say_since_when_on_the_clock_of_the_branch(sign_in: SignIn) -> None:
    client = sign_in("office")
    assert "stood still" not in client.get("/crews/").content.decode()
    Turn.objects.create(kind=Turn.Kind.TICK, well_at=NOW)
    assert clock.running() - NOW > timedelta(hours=1) or clock.running() < NOW
    said = client.get("/crews/").content.decode()
    assert "has stood still since Monday 8 June, 06:00" in said
