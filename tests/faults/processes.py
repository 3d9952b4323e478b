"""The service as real processes on a folder of a test, and its rows seen from outside."""

import contextlib
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import psycopg

from planner.celery import queues
from tests.faults.servers import is_alive, wait_for

ROOT = Path(__file__).resolve().parents[2]
AT = re.compile(r"Dry Window is at (http\S+)")


def environment(folder: Path, **more: str) -> dict[str, str]:
    """Nothing of this machine's settings; quick ticks, no search."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PLANNER_", "DJANGO_"))}
    ours = {
        "DJANGO_SETTINGS_MODULE": "planner.settings.local",
        "PLANNER_DATA_DIR": str(folder),
        "PLANNER_USER_AGENT": "tests (office@example.org)",
        "PLANNER_TICK_SECONDS": "1",
        "PLANNER_SEARCH_EFFORT": "0",
        "PLANNER_WORKERS": "1",
        "PYTHONUNBUFFERED": "1",
        "NO_PROXY": "127.0.0.1,localhost",
    }
    return {**clean, **ours, **more}


class Rows:
    """Rows of a database, read and written with plain SQL and ``?`` marks."""

    def __init__(self, address: str) -> None:
        self.address = address

    def _run(self, sql: str, values: tuple[Any, ...], *, fetch: bool) -> list[tuple[Any, ...]]:
        if self.address.startswith("postgres"):
            with psycopg.connect(self.address) as server:
                found = server.execute(sql.replace("?", "%s"), values)
                return found.fetchall() if fetch else []
        with contextlib.closing(sqlite3.connect(self.address, timeout=20)) as file, file:
            return file.execute(sql, values).fetchall()

    def all(self, sql: str, *values: Any) -> list[tuple[Any, ...]]:
        return self._run(sql, values, fetch=True)

    def one(self, sql: str, *values: Any) -> Any:
        """The only value of the only row."""
        ((value,),) = self.all(sql, *values)
        return value

    def write(self, sql: str, *values: Any) -> None:
        self._run(sql, values, fetch=False)


class Running:
    """One process of the service, with what it prints in a file."""

    def __init__(
        self, command: tuple[str, ...], env: Mapping[str, str], log: Path, files: tuple[int, ...] = ()
    ) -> None:
        self.log = log
        with log.open("ab") as file:
            self.process = subprocess.Popen(
                command,
                cwd=ROOT,
                env=dict(env),
                stdout=file,
                stderr=subprocess.STDOUT,
                start_new_session=True,
                pass_fds=files,
            )

    @property
    def said(self) -> str:
        return self.log.read_text(errors="replace")

    def wait_until(self, true: Callable[[], object], *, what: str) -> None:
        """Wait for something while the process lives; what it printed is told where it does not."""
        wait_for(lambda: true() or self.process.poll() is not None, what=what)
        if self.process.poll() is not None:
            raise AssertionError(f"it ended before {what}:\n{self.said[-3000:]}")

    def children(self) -> list[int]:
        """Processes it started, that still run."""
        path = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        with contextlib.suppress(FileNotFoundError):
            return [int(one) for one in path.read_text().split() if is_alive(int(one))]
        return []

    def stop(self, with_signal: int = signal.SIGTERM, seconds: float = 90) -> int:
        if self.process.poll() is None:
            self.process.send_signal(with_signal)
        return self.process.wait(timeout=seconds)

    def end(self) -> None:
        """Kill whatever is left of it."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


@contextlib.contextmanager
def running(
    command: tuple[str, ...], env: Mapping[str, str], log: Path, files: tuple[int, ...] = ()
) -> Iterator[Running]:
    one = Running(command, env, log, files)
    try:
        yield one
    except BaseException:
        print(one.said[-6000:])
        raise
    finally:
        one.end()


def worker_command(*, name: str = "one", processes: int = 1) -> tuple[str, ...]:
    """A worker for every queue."""
    return (
        *(sys.executable, "-m", "celery", "--quiet", "-A", "planner.celery", "worker"),
        *("--queues", ",".join(queues()), "--concurrency", str(processes), "--loglevel", "INFO", "-n", f"{name}@test"),
        *("--without-gossip", "--without-mingle"),
    )


@contextlib.contextmanager
def worker(env: Mapping[str, str], log: Path, *, name: str = "one", processes: int = 1) -> Iterator[Running]:
    """A worker that is ready."""
    with running(worker_command(name=name, processes=processes), env, log) as one:
        one.wait_until(lambda: f"{name}@test ready" in one.said, what="the worker is ready")
        yield one


@contextlib.contextmanager
def service(env: Mapping[str, str], log: Path) -> Iterator[tuple[Running, str]]:
    """``manage.py serve`` and its address."""
    with running((sys.executable, "manage.py", "serve", "--port", "0"), env, log) as one:
        one.wait_until(lambda: AT.search(one.said), what="the service is up")
        found = AT.search(one.said)
        assert found is not None
        yield one, found.group(1)
        one.stop()


@contextlib.contextmanager
def pages(env: Mapping[str, str], log: Path) -> Iterator[str]:
    """The web server alone, as on a machine beside the workers; its address."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        file = str(listener.fileno())
        with running((sys.executable, "-m", "planner.serving.web", file), env, log, files=(listener.fileno(),)):
            yield f"http://127.0.0.1:{listener.getsockname()[1]}/"


def make_yard(env: Mapping[str, str], *, now: datetime, sites: int = 1) -> None:
    """Fill an empty database of the environment with the yard of a moment; where it lies depends on the hour."""
    at = now.replace(microsecond=0).isoformat()
    command = [sys.executable, "-m", "tests.faults.make_yard", str(sites), "office@example.org", at]
    subprocess.run(command, cwd=ROOT, env=dict(env), check=True, capture_output=True, timeout=180)
