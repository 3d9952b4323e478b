"""Every page says since when the service stands still, and nothing while it is well or was never started."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from planner import clock
from planner.serving.models import Turn
from planner.serving.selectors import Standstill, find_standstill
from planner.serving.turns import note_tick
from tests.faults.servers import RedisServer
from tests.planner.web.conftest import SignIn, branch, company_rows, sign_in

__all__ = ["branch", "company_rows", "sign_in"]
NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)


@pytest.mark.django_db
def test_a_service_that_ticks_is_well_and_one_that_misses_five_is_not(own_redis: RedisServer) -> None:
    assert find_standstill(running=NOW) is None
    note_tick(now=NOW)
    assert find_standstill(running=NOW + timedelta(minutes=4, seconds=59)) is None
    stands = Standstill(since_at=NOW, why="")
    assert find_standstill(running=NOW + timedelta(minutes=5, seconds=1)) == stands
    note_tick(now=NOW + timedelta(minutes=6))
    assert find_standstill(running=NOW + timedelta(minutes=7)) is None


@pytest.mark.django_db
def test_a_lost_redis_is_named(settings: Any, tmp_path: Path) -> None:
    settings.PLANNER_REDIS_URL = f"unix://{tmp_path}/nothing.sock"
    note_tick(now=NOW)
    assert find_standstill(running=NOW + timedelta(hours=1)) == Standstill(since_at=NOW, why="redis")


def test_pages_say_since_when_on_the_clock_of_the_branch(sign_in: SignIn) -> None:
    client = sign_in("office")
    assert "stood still" not in client.get("/crews/").content.decode()
    Turn.objects.create(kind=Turn.Kind.TICK, well_at=NOW)
    assert clock.running() - NOW > timedelta(hours=1) or clock.running() < NOW
    said = client.get("/crews/").content.decode()
    assert "has stood still since Monday 8 June, 06:00" in said
