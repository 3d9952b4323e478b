"""A worker process killed with no warning, at the three places where it hurts most."""

import contextlib
import os
import re
import signal
import threading
from collections import Counter
from pathlib import Path

import pytest

from tests.crews.mailbox import mail_server
from tests.faults.conftest import Yard
from tests.faults.pages import page, table_rows
from tests.faults.processes import Running, pages, worker
from tests.faults.servers import is_alive, wait_for
from tests.faults.story import SlowRain, make_it_wet, nothing_is_half, proposals, runs, ticking, wait_until_told

AT = re.compile(r"\b\d{1,2}:\d\d\b")
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
    """While a process of its own searches for a better plan than the smallest repair."""
    make_it_wet(yard)
    with worker(yard.env | SHORT_LEASES | {"PLANNER_SEARCH_EFFORT": "1"}, yard.log) as one, ticking(yard):
        (child,) = one.children()
        wait_for(lambda: searching(child), what="a search runs")
        # Stopped first, so that nothing can end between the look and the kill.
        os.kill(child, signal.SIGSTOP)
        search = searching(child)
        assert search
        assert yard.rows.all("select state from plans_replanrequest") == [("taken",)]
        assert proposals(yard.rows) == 0
        os.kill(child, signal.SIGKILL)
        wait_for(lambda: not any(is_alive(process) for process in search), what="the search ends with who asked")
        wait_for(lambda: one.children() not in ([], [child]), what="another process takes its place")
        assert proposals(yard.rows) == 0, "the claim of the dead holds"
        with pages(yard.env, yard.log.with_name("web")) as address:
            waits = re.search(r'id="open">Not planned yet</h2>(.*?)</section>', page(address, "changes"), re.DOTALL)
            assert waits is not None, "the page says that it is not planned yet"
            assert AT.search(waits.group(1)), "and since when it waits"
        wait_until_told(yard)
    assert yard.rows.all("select tries from plans_replanrequest") == [(2,)]
    nothing_is_half(yard)


def searching(process: int) -> list[int]:
    """Processes that search for a plan, started by a process."""
    found = []
    # Whatever is over between two looks has no files any more.
    for task in Path(f"/proc/{process}/task").glob("*/children"):
        with contextlib.suppress(OSError):
            found += [int(child) for child in task.read_text().split() if b"solver.apart" in _command(child)]
    return found


def _command(process: str) -> bytes:
    with contextlib.suppress(OSError):
        return Path(f"/proc/{process}/cmdline").read_bytes()
    return b""


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
            with pages(yard.env, yard.log.with_name("web")) as address:
                (going,) = (row for row in table_rows(page(address, "told")) if "Going out now" in row)
                assert AT.search(going), "the page says what is not sent, and since when"
            wait_until_told(yard)
    assert sorted(Counter(yard.mailbox.ids).values()) == [1, 2]
    nothing_is_half(yard)
