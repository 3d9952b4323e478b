"""The service on a folder of its own, as an office starts it: a wet forecast moves a pour, and people hear of it.

Real processes and servers throughout: web server, worker, timer, Redis, a stand-in for the weather service, SMTP.
"""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pytest_httpserver import HTTPServer

from planner.forecast.domain.place import Place
from tests.crews.mailbox import Mailbox, mail_server
from tests.faults.forecast_server import ForecastServer, weather
from tests.faults.pages import page
from tests.faults.processes import Rows, environment, make_yard, service
from tests.faults.servers import is_alive, wait_for
from tests.faults.yard import CELL, LATITUDE, longitude, zone_of

DAY = timedelta(days=1)


@pytest.fixture
def forecasts(httpserver: HTTPServer) -> ForecastServer:
    now = datetime.now(UTC)
    server = ForecastServer(httpserver, zone=zone_of(now))
    server.place(Place(latitude=LATITUDE, longitude=longitude(now)), CELL)
    return server


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_a_wet_forecast_moves_a_pour(forecasts: ForecastServer, tmp_path: Path) -> None:
    folder, mailbox = tmp_path / "data", Mailbox()
    now = datetime.now(UTC)
    forecasts.tell(CELL, weather(issued_at=now - timedelta(minutes=30)))
    with mail_server(mailbox) as mail:
        env = environment(
            folder,
            PLANNER_NWS_URL=forecasts.base,
            PLANNER_MET_URL=forecasts.base,
            PLANNER_MAIL_URL=mail,
            PLANNER_MAIL_FROM="Yard <yard@example.org>",
        )
        make_yard(env, now=now)
        rows = Rows(str(folder / "planner.sqlite3"))
        with service(env, tmp_path / "log") as (running, address):
            wait_for(
                lambda: rows.one("select count(*) from forecast_forecastrun") == 2, what="a dry forecast is pulled"
            )
            assert rows.one("select count(*) from plans_plan") == 1

            wet_until = now + 2.5 * DAY
            forecasts.tell(CELL, weather(issued_at=datetime.now(UTC), wet=lambda at: at < wet_until))
            rows.write("update serving_turn set next_due_at = ? where kind = 'forecast'", str(now.replace(tzinfo=None)))
            wait_for(lambda: rows.one("select count(*) from forecast_forecastrun") == 3, what="the wet one is pulled")
            proposed = "select count(*) from plans_plan where state = 'proposed'"
            wait_for(lambda: rows.one(proposed) == 1, what="a proposal")
            wait_for(lambda: len(mailbox.letters) == 2, what="a letter to the office and one to the foreman")
            changes = page(address, "changes")
            children = running.children()
            assert len(children) >= 3
            assert running.stop() == 0
            assert not any(is_alive(child) for child in children)
    before, after = (
        json.loads(text)["stays"] for (text,) in rows.all("select document from plans_plan order by number")
    )
    (planned,), (moved,) = before, after
    assert moment(planned["start"]) < wet_until
    assert moment(moved["start"]) >= wet_until
    assert rows.all("select verdict from watch_watchverdict where current") == [("move",)]
    assert sorted(str(letter["To"]) for letter in mailbox.letters) == ["forms@example.org", "office@example.org"]
    assert all(str(letter["Subject"]).startswith("Move: Pour at Site 0") for letter in mailbox.letters)
    assert "Pour" in changes
    assert "Traceback" not in running.said
