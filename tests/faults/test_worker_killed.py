"""A worker process killed with no warning, at the three places where it hurts most."""

import os
import signal
import threading
import time
from collections import Counter

import pytest

from tests.crews.mailbox import mail_server
from tests.faults.conftest import Yard
from tests.faults.processes import Running, worker
from tests.faults.servers import PATIENCE_S, wait_for
from tests.faults.story import SlowRain, make_it_wet, nothing_is_half, proposals, runs, ticking, wait_until_told

SHORT_LEASES = {"DJANGO_SETTINGS_MODULE": "tests.faults.short_leases"}


def kill_the_process_at_work(one: Running) -> None:
    (child,) = one.children()
    os.kill(child, signal.SIGKILL)


@pytest.mark.fault("worker killed during a pull")
def test_killed_during_a_pull(yard: Yard) -> None:
    rain = SlowRain(yard)
    before = runs(yard.rows)
    with worker(yard.env, yard.log) as one, ticking(yard):
        rain.wait_until_asked()
        assert runs(yard.rows) == before
        kill_the_process_at_work(one)
        rain.let_go()
        wait_until_told(yard)
    assert runs(yard.rows) == before + 1
    nothing_is_half(yard)


@pytest.mark.fault("worker killed during a solve")
def test_killed_during_a_solve(yard: Yard) -> None:
    make_it_wet(yard)
    with worker(yard.env | SHORT_LEASES, yard.log) as one, ticking(yard):
        (child,) = one.children()
        claimed = "select count(*) from plans_branchreplanning where claim <> ''"
        until = time.monotonic() + PATIENCE_S
        while not yard.rows.one(claimed):
            assert time.monotonic() < until, "no branch was claimed"
        # From here on looked at only while it stands still: nothing can end between the look and the kill.
        os.kill(child, signal.SIGSTOP)
        while yard.rows.all("select state from plans_replanrequest") == [("open",)]:
            os.kill(child, signal.SIGCONT)
            time.sleep(0.002)
            os.kill(child, signal.SIGSTOP)
        assert yard.rows.all("select state from plans_replanrequest") == [("taken",)]
        assert proposals(yard.rows) == 0
        os.kill(child, signal.SIGKILL)
        wait_for(lambda: one.children() not in ([], [child]), what="another process takes its place")
        assert proposals(yard.rows) == 0, "the claim of the dead holds"
        wait_until_told(yard)
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
        with worker(yard.env | SHORT_LEASES, yard.log) as one, ticking(yard):
            wait_for(killed.is_set, what="a letter is taken, and its sender killed")
            assert ("sending",) in yard.rows.all("select state from crews_message")
            wait_until_told(yard)
    assert sorted(Counter(yard.mailbox.ids).values()) == [1, 2]
    nothing_is_half(yard)
