"""The parts of the service on one machine: Redis where none is named, worker with timer, web server."""

import contextlib
import os
import socket
import sqlite3
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

import redis
from django.conf import settings
from django.db import connections
from redis.exceptions import RedisError

from planner.celery import queues
from planner.serving.backup import database_file
from planner.serving.redis_server import SOCKET, redis_command
from planner.serving.supervisor import Part, Supervisor
from planner.serving.web import address_of

TIMER_FILE = "timer"
# A plan under way is brought to its end; what takes longer is planned again from its request.
WORKER_STOPS_WITHIN_S = 60.0
WEB_STOPS_WITHIN_S = 10.0
REDIS_STOPS_WITHIN_S = 20.0


def worker_command(folder: Path) -> tuple[str, ...]:
    """One worker for every queue, with the timer in it."""
    return (
        *(sys.executable, "-m", "celery", "--quiet", "-A", "planner.celery", "worker"),
        *("--beat", "--schedule", str(folder / TIMER_FILE)),
        *("--queues", ",".join(queues())),
        *("--concurrency", str(settings.PLANNER_WORKERS)),
        *("--loglevel", "WARNING"),
        *("--without-gossip", "--without-mingle"),
    )


def run_service(*, listener: socket.socket, say: Callable[[str], object]) -> None:
    """Run until told to stop.

    Raises
    ------
    CannotDo
        ``serve.no_redis``, ``serve.long_folder``.
    """
    folder = Path(settings.DATA_DIR).absolute()
    own_redis = unquote(urlsplit(settings.PLANNER_REDIS_URL).path) == str(folder / SOCKET)
    parts = []
    if own_redis:
        command = redis_command(folder)
        parts.append(Part(name="Redis", command=command, stops_within_s=REDIS_STOPS_WITHIN_S, ready=redis_answers))
    parts += [
        Part(
            name="web server",
            command=(sys.executable, "-m", "planner.serving.web", str(listener.fileno())),
            files=(listener.fileno(),),
            stops_within_s=WEB_STOPS_WITHIN_S,
        ),
        Part(name="worker", command=worker_command(folder), stops_within_s=WORKER_STOPS_WITHIN_S),
    ]
    # Children open their own connections; none may be inherited.
    connections.close_all()
    environment = {**os.environ, "PLANNER_DATA_DIR": str(folder), "PYTHONUNBUFFERED": "1"}
    with _kept_readable():
        Supervisor(parts=parts, say=say, environment=environment).run(
            on_ready=lambda: say(f"Dry Window is at {address_of(listener)} (Ctrl-C stops it).")
        )


@contextlib.contextmanager
def _kept_readable() -> Iterator[None]:
    """Hold the SQLite database open for as long as the service runs.

    The last connection that closes takes the files beside the database with it; on a full disk they could not be
    made again, and no page could be read.
    """
    path = database_file()
    if path is None:
        yield
        return
    with contextlib.closing(sqlite3.connect(path)) as one:
        one.execute("SELECT count(*) FROM sqlite_master").fetchone()
        yield


def redis_answers() -> bool:
    """Whether the Redis of the settings answers."""
    try:
        with contextlib.closing(redis.Redis.from_url(settings.PLANNER_REDIS_URL, socket_timeout=2)) as one:
            return bool(one.ping())
    except (RedisError, OSError):
        return False
