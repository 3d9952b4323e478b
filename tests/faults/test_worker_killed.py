"""A worker process killed with no warning, at the three places where it hurts most."""

import os
import signal
import threading
import time
from collections import Counter
from datetime import UTC, datetime, timedelta

import pytest
from werkzeug import Request, Response

from tests.crews.mailbox import mail_server
from tests.faults.conftest import Yard
from tests.faults.forecast_server import GEO, weather
from tests.faults.processes import Running, worker
from tests.faults.servers import wait_for
from tests.faults.story import LONG_AGO, all_told, make_it_wet, nothing_is_half, proposals, runs, ticking
from tests.faults.yard import CELL


def kill_the_process_at_work(one: Running) -> None:
    (child,) = one.children()
    os.kill(child, signal.SIGKILL)


@pytest.mark.fault("worker killed during a pull")
def test_killed_during_a_pull(yard: Yard) -> None:
    asked, go_on = threading.Event(), threading.Event()
    until = datetime.now(UTC) + timedelta(days=2.5)
    body = yard.forecasts.body(CELL, weather(issued_at=datetime.now(UTC), wet=lambda at: at < until))

    def slow_at_first(_: Request) -> Response:
        if not asked.is_set():
            asked.set()
            go_on.wait(20)
        return Response(body, content_type=GEO)

    yard.forecasts.answers[CELL] = slow_at_first
    before = runs(yard.rows)
    with worker(yard.env, yard.log) as one, ticking(yard):
        wait_for(asked.is_set, what="the forecast is asked for")
        assert runs(yard.rows) == before
        kill_the_process_at_work(one)
        go_on.set()
        wait_for(lambda: all_told(yard), seconds=60, what="the next worker process brings it to its end")
    assert runs(yard.rows) == before + 1
    nothing_is_half(yard)


@pytest.mark.fault("worker killed during a solve")
def test_killed_during_a_solve(yard: Yard) -> None:
    make_it_wet(yard)
    with worker(yard.env, yard.log) as one, ticking(yard):
        claimed = "select count(*) from plans_branchreplanning where claim <> ''"
        until = time.monotonic() + 60
        while not yard.rows.one(claimed):
            assert time.monotonic() < until, "no branch was claimed"
        # Stopped first, so that nothing can end between the look and the kill.
        (child,) = one.children()
        os.kill(child, signal.SIGSTOP)
        assert yard.rows.all("select state from plans_replanrequest") == [("taken",)]
        assert proposals(yard.rows) == 0
        os.kill(child, signal.SIGKILL)
        wait_for(lambda: one.children() not in ([], [child]), what="another process takes its place")
        # As if the claim of the dead had run out.
        yard.rows.write("update plans_branchreplanning set claimed_until = ?", LONG_AGO)
        wait_for(lambda: all_told(yard), seconds=60, what="another process plans")
    assert yard.rows.all("select tries from plans_replanrequest") == [(2,)]
    nothing_is_half(yard)


@pytest.mark.fault("worker killed between sending and marking")
def test_killed_between_send_and_mark(yard: Yard) -> None:
    """Mail has no idempotency key: the repeat carries the same message id (RFC 5322, 3.6.4)."""
    killed = threading.Event()
    taken = yard.mailbox.handle_DATA

    async def take_and_kill(server: object, session: object, envelope: object) -> str:
        answer = await taken(server, session, envelope)
        if not killed.is_set():
            kill_the_process_at_work(one)
            killed.set()
        return answer

    yard.mailbox.handle_DATA = take_and_kill  # type: ignore[method-assign]
    with mail_server(yard.mailbox) as mail:
        yard.env["PLANNER_MAIL_URL"] = mail
        make_it_wet(yard)
        with worker(yard.env, yard.log) as one, ticking(yard):
            wait_for(killed.is_set, seconds=60, what="a letter is taken, and its sender killed")
            assert ("sending",) in yard.rows.all("select state from crews_message")
            # As if the lease of the dead had run out.
            wait_for(lambda: one.children(), what="another process takes its place")
            yard.rows.write("update crews_message set lease_until = ? where lease_until is not null", LONG_AGO)
            wait_for(lambda: all_told(yard), seconds=60, what="it is sent again and marked")
    assert sorted(Counter(yard.mailbox.ids).values()) == [1, 2]
    nothing_is_half(yard)
