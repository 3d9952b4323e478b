"""Two workers, the same message twice, and a database that hangs up, on PostgreSQL."""

import threading
import time
from uuid import uuid4

import psycopg
import pytest

from tests.faults.conftest import Yard
from tests.faults.processes import worker
from tests.faults.servers import PATIENCE_S, wait_for
from tests.faults.story import (
    SlowRain,
    all_told,
    due_now,
    make_it_wet,
    nothing_is_half,
    proposals,
    runs,
    send,
    sender,
    ticking,
    wait_until_told,
)


@pytest.mark.fault("two workers on one branch")
def test_two_workers_on_one_branch(postgres_yard: Yard) -> None:
    yard, app = postgres_yard, sender(postgres_yard)
    make_it_wet(yard)
    branch = yard.rows.one("select id from jobs_branch")
    with (
        worker(yard.env, yard.log),
        worker(yard.env, yard.log.with_name("log2"), name="two"),
        ticking(yard, every_s=0.2),
    ):
        until = time.monotonic() + PATIENCE_S
        while not all_told(yard):
            assert time.monotonic() < until
            for name in ("read_forecast", "replan", "replan", "judge", "judge"):
                send(app, name, branch_id=branch)
            for _ in range(2):
                send(app, "deliver")
            threading.Event().wait(0.3)
        wait_for(lambda: not app.connection().default_channel.client.llen("branch-1"), what="the queue is worked off")
    assert sorted(yard.mailbox.ids) == sorted(set(yard.mailbox.ids)), "nobody is told twice"
    nothing_is_half(yard)


@pytest.mark.fault("the same message delivered twice")
def test_the_same_message_twice(postgres_yard: Yard) -> None:
    yard, app = postgres_yard, sender(postgres_yard)
    branch = yard.rows.one("select id from jobs_branch")
    make_it_wet(yard)
    before = runs(yard.rows)
    with worker(yard.env, yard.log), worker(yard.env, yard.log.with_name("log2"), name="two"):
        send(app, "tick")
        wait_for(lambda: runs(yard.rows) == before + 1, what="the pull")
        ((turn, until),) = yard.rows.all("select id, next_due_at from serving_turn where kind = 'forecast'")
        for name, about in (
            ("pull", {"turn_id": turn, "until": until.isoformat()}),
            ("read_forecast", {"branch_id": branch}),
            ("replan", {"branch_id": branch}),
            ("judge", {"branch_id": branch}),
            ("deliver", {}),
        ):
            twice = str(uuid4())
            for _ in range(2):
                send(app, name, task_id=twice, **about)
        with ticking(yard):
            wait_until_told(yard)
    assert runs(yard.rows) == before + 1
    assert sorted(yard.mailbox.ids) == sorted(set(yard.mailbox.ids)), "nobody is told twice"
    nothing_is_half(yard)


@pytest.mark.fault("database connection cut")
def test_the_database_hangs_up(postgres_yard: Yard) -> None:
    """Cut while a pull waits for its answer, and again and again while the branch is planned."""
    yard = postgres_yard
    rain = SlowRain(yard)
    before = runs(yard.rows)
    with worker(yard.env, yard.log) as one, ticking(yard):
        rain.wait_until_asked()
        assert cut(yard) >= 1
        rain.let_go()
        for _ in range(8):
            threading.Event().wait(0.25)
            cut(yard)
        due_now(yard.rows)
        wait_until_told(yard)
        assert "OperationalError" in one.said, "the cut was felt"
    assert runs(yard.rows) == before + 1
    assert proposals(yard.rows) == 1
    nothing_is_half(yard)


def cut(yard: Yard) -> int:
    """End every connection to the test's database but our own; how many there were."""
    ours = "select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database()"
    with psycopg.connect(yard.rows.address) as connection:
        return len(connection.execute(f"{ours} and pid <> pg_backend_pid()").fetchall())
