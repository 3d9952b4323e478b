"""``manage.py serve`` itself: one a folder, what dies comes back, nothing stays when it is killed."""

import os
import signal
import socket
import subprocess
import sys
from functools import partial
from pathlib import Path

import pytest
import requests

from tests.faults.conftest import Yard
from tests.faults.processes import ROOT, Running, environment, service
from tests.faults.servers import is_alive, wait_for


def answers(address: str) -> bool:
    try:
        return requests.get(address, timeout=5).ok
    except requests.RequestException:
        return False


def family(process: int) -> set[int]:
    """A process and all that came from it."""
    found, left = set(), [process]
    while left:
        one = left.pop()
        found.add(one)
        for task in Path(f"/proc/{one}/task").glob("*"):
            left += [int(child) for child in (task / "children").read_text().split()]
    return found


def part(one: Running, word: str) -> int:
    """The child whose command holds a word."""
    return next(child for child in one.children() if word in Path(f"/proc/{child}/cmdline").read_text())


def is_gone(one: Running, child: int) -> bool:
    return child not in one.children()


@pytest.mark.fault("every part of the service killed, then the service")
def test_what_dies_comes_back_and_nothing_outlives_the_service(yard: Yard) -> None:
    yard.redis.stop()
    with service(yard.env, yard.log) as (one, address):
        ticks = "select well_at from serving_turn where kind = 'tick'"
        wait_for(lambda: yard.rows.all(ticks), what="the worker looks for what is due")
        for word in ("planner.serving.web", "redis-server", "planner.celery"):
            dead = part(one, word)
            os.kill(dead, signal.SIGKILL)
            wait_for(partial(is_gone, one, dead), what=f"{word} is gone")
        wait_for(lambda: len(one.children()) == 3, what="all three are back")
        wait_for(lambda: answers(address), what="the pages are back, under the same address")
        last = yard.rows.all(ticks)
        wait_for(lambda: yard.rows.all(ticks) > last, what="the timer goes on")
        assert yard.folder.stat().st_mode & 0o777 == 0o700

        second = subprocess.run(
            [sys.executable, "manage.py", "serve", "--port", "0"],
            cwd=ROOT, env=yard.env, capture_output=True, text=True, timeout=60, check=False,
        )  # fmt: skip
        assert second.returncode == 1
        assert "is served already, by process" in second.stderr
        assert "Traceback" not in second.stderr

        everyone = family(one.process.pid)
        assert len(everyone) >= 6
        one.process.kill()
        one.process.wait()
        wait_for(lambda: not any(is_alive(process) for process in everyone), what="nobody is left")


def refused(env: dict[str, str], *words: str) -> str:
    """What ``serve`` says when it cannot start."""
    found = subprocess.run(
        [sys.executable, "manage.py", "serve", *words],
        cwd=ROOT, env=env, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert found.returncode == 1
    assert "Traceback" not in found.stderr
    return found.stderr


def test_what_cannot_work_is_refused_with_the_remedy(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        assert "Choose another with --port" in refused(environment(tmp_path / "d"), "--port", port)
    long = tmp_path / ("x" * 60) / ("y" * 60)
    said = refused(environment(long), "--port", "0")
    assert "too long for a socket" in said
    assert "PLANNER_REDIS_URL" in said
