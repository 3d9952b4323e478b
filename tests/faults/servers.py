"""Real servers for tests: Redis and PostgreSQL from wheels, each in a folder of the test."""

import contextlib
import os
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import redis

from planner.serving.redis_server import redis_command

# Ends a wait for what never comes; nothing is measured by it. A busy machine may take ten times as long as a free one.
PATIENCE_S = 120.0


def wait_for(true: Callable[[], object], *, seconds: float = PATIENCE_S, what: str = "") -> None:
    """Wait until something holds; fail with ``what`` if it does not in time."""
    until = time.monotonic() + seconds
    while not true():
        if time.monotonic() > until:
            raise AssertionError(f"not within {seconds:g} s: {what or true}")
        time.sleep(0.05)


class RedisServer:
    """A Redis on a socket of a folder, that can be stopped, killed and started again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.url = f"unix://{folder / 'redis.sock'}"
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def client(self) -> "redis.Redis":
        return redis.Redis.from_url(self.url)

    def start(self) -> None:
        self.process = subprocess.Popen(redis_command(self.folder), stdout=subprocess.DEVNULL)
        wait_for(self.answers, what="Redis answers")

    def answers(self) -> bool:
        try:
            return bool(self.client.ping())
        except redis.RedisError:
            return False

    def stop(self, with_signal: int = signal.SIGTERM) -> None:
        if self.process is not None:
            self.process.send_signal(with_signal)
            self.process.wait(timeout=20)
            self.process = None


@contextlib.contextmanager
def redis_in(folder: Path) -> Iterator[RedisServer]:
    """A running Redis in a folder."""
    server = RedisServer(folder)
    server.start()
    try:
        yield server
    finally:
        server.stop(signal.SIGKILL)


def is_alive(process: int) -> bool:
    """Whether a process runs; a dead one that nobody has collected does not."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z" and os.path.exists(f"/proc/{process}")
