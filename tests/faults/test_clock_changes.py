"""Both nights on which clocks change, through the steps of the service: pull, read, judge, remind.

Source: New York changes on 1 November 2026 at 06:00 UTC (back) and on 14 March 2027 at 07:00 UTC (forward); time zone
database of IANA.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from pytest_httpserver import HTTPServer

from planner.forecast.domain.place import Place
from planner.forecast.models import ForecastRun
from planner.forecast.snapshots import series_of
from planner.serving import rounds
from planner.serving.models import Turn
from planner.serving.pulls import pull_turn
from planner.watch.models import WatchVerdict
from tests.faults.forecast_server import ForecastServer, weather
from tests.planner.serving.rows import a_branch, a_site

HOUR = timedelta(hours=1)
ZONE = ZoneInfo("America/New_York")
PLACE = Place(latitude=40.7, longitude=-74.2)
CELL = "PHI/85,102"
LEASE = timedelta(minutes=2)


def hours_around(change: datetime) -> Iterator[datetime]:
    return (change + at * HOUR / 2 for at in range(-4, 6))


@pytest.mark.django_db
@pytest.mark.parametrize(
    "change",
    [
        pytest.param(
            datetime(2026, 11, 1, 6, tzinfo=UTC), marks=pytest.mark.fault("clocks go back an hour"), id="back"
        ),
        pytest.param(
            datetime(2027, 3, 14, 7, tzinfo=UTC), marks=pytest.mark.fault("clocks go forward an hour"), id="forward"
        ),
    ],
)
def test_the_clock_changes(httpserver: HTTPServer, settings: Any, change: datetime) -> None:
    before, after = (change - HOUR / 2).astimezone(ZONE), (change + HOUR / 2).astimezone(ZONE)
    assert before.utcoffset() != after.utcoffset(), "the source says that it changes here"
    forecasts = ForecastServer(httpserver)
    forecasts.place(PLACE, CELL)
    settings.PLANNER_NWS_URL = settings.PLANNER_MET_URL = forecasts.base
    a_site(a_branch(), "one", PLACE.latitude, PLACE.longitude)
    pulled = []
    for now in hours_around(change):
        settings.PLANNER_AS_OF = now
        forecasts.tell(CELL, weather(issued_at=now))
        due = rounds.look(now=now, running=now, passing=now, lease=LEASE)
        for turn in due.turns:
            if turn.kind == Turn.Kind.FORECAST:
                pull_turn(turn_id=turn.id, now=now, running=now)
                pulled.append(now)
            elif turn.kind == Turn.Kind.HOURLY:
                rounds.hourly_round(turn_id=turn.id, now=now, running=now)
            elif turn.kind == Turn.Kind.READING:
                assert rounds.read_new_forecast(branch_id=int(turn.key), now=now, running=now)
        for branch_id in due.to_judge:
            rounds.judge_again(branch_id=branch_id, now=now)
    # Five hours by the sun: neither a pull too many where an hour comes twice, nor a hole where one is missing.
    assert len(pulled) >= 4
    assert all(HOUR * 0.75 <= later - sooner <= HOUR * 2 for sooner, later in pairwise(pulled[1:]))
    for run in ForecastRun.objects.all():
        series = series_of(run)
        assert series.start_at + series.hours * HOUR == series.end_at
        assert all(value is not None for value in series.air_temp_c)
    assert WatchVerdict.objects.count() == 0
    assert not Turn.objects.filter(failing_since__isnull=False, kind=Turn.Kind.FORECAST).exists()
