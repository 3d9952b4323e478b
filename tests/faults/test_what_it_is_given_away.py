"""The service on a Redis and a database of others, and each of the two away for a while: what its pages say then."""

import contextlib
import re
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
import requests

from tests.faults.conftest import Yard
from tests.faults.pages import signed_in
from tests.faults.processes import service
from tests.faults.servers import redis_in, wait_for
from tests.faults.story import due_now, make_it_wet, nothing_is_half, runs, wait_until_told

PULLED = "select count(*) from serving_turn where kind = 'forecast' and ended_at is not null"
TICKS = "select well_at from serving_turn where kind = 'tick'"
STANDS_STILL = re.compile(r"has stood still since \w+ \d+ \w+, \d\d:\d\d: no forecast is pulled")
NO_DATABASE = re.compile(r"The database has not answered since \d{4}-\d\d-\d\d \d\d:\d\d UTC")


@pytest.mark.fault("Redis of others stopped and started")
@pytest.mark.fault("database of others shut and opened")
def test_what_the_service_is_given_goes_away(postgres_yard: Yard, tmp_path: Path) -> None:
    """It starts neither itself; its pages name which of the two is away, and since when, until it is back."""
    yard, elsewhere = postgres_yard, tmp_path / "r"
    yard.redis.stop()
    elsewhere.mkdir()
    before = runs(yard.rows)
    with (
        redis_in(elsewhere) as redis,
        service(yard.env | {"PLANNER_REDIS_URL": redis.url}, yard.log) as (one, address),
        signed_in(address) as office,
    ):
        wait_for(lambda: yard.rows.all(TICKS), what="the worker looks for what is due")
        # A pull under way would bring the wet forecast by itself.
        wait_for(lambda: yard.rows.one(PULLED), what="the first pull ends")
        assert len(one.children()) == 2
        assert redis.client.client_list()

        def crews() -> requests.Response:
            return office.get(f"{address}crews/", timeout=60)

        assert crews().ok
        assert "stood still" not in crews().text
        redis.stop()
        make_it_wet(yard)
        wait_for(lambda: STANDS_STILL.search(crews().text), what="the page says since when it stands still")
        assert "Its Redis does not answer" in crews().text
        assert runs(yard.rows) == before
        assert one.process.poll() is None
        redis.start()
        due_now(yard.rows)
        wait_until_told(yard)
        wait_for(lambda: "stood still" not in crews().text, what="the page says no longer so")
        with shut(yard):
            wait_for(lambda: crews().status_code == 503, what="the page says that the database is away")
            first, second = (NO_DATABASE.search(crews().text) for _ in range(2))
            assert first is not None
            assert second is not None
            assert first.group() == second.group(), "it is still the same outage"
        last = yard.rows.all(TICKS)
        wait_for(lambda: crews().ok, what="the page is back")
        wait_for(lambda: yard.rows.all(TICKS) > last, what="the worker goes on")
    assert runs(yard.rows) == before + 1
    assert not (yard.folder / "planner.sqlite3").exists()
    assert not (yard.folder / "redis.sock").exists()
    nothing_is_half(yard)


@contextlib.contextmanager
def shut(yard: Yard) -> Iterator[None]:
    """Let nobody into the database of the test, and put out who is in."""
    name = psycopg.conninfo.conninfo_to_dict(yard.rows.address)["dbname"]
    with psycopg.connect(yard.rows.address.replace(name, "postgres"), autocommit=True) as connection:
        connection.execute(f"alter database {name} with allow_connections false")
        connection.execute("select pg_terminate_backend(pid) from pg_stat_activity where datname = %s", (name,))
        try:
            yield
        finally:
            connection.execute(f"alter database {name} with allow_connections true")
