"""Locks in Redis: one pull of a cell and one plan of a branch at a time.

They save traffic and work, nothing more: unique keys and conditional updates of the database are the truth, so
without Redis the work goes on unlocked.
"""

import contextlib
import functools
import logging
import os
import socket
import uuid
from collections.abc import Iterator
from datetime import timedelta

import redis
from django.conf import settings
from redis.exceptions import LockNotOwnedError, RedisError
from redis.lock import Lock

log = logging.getLogger(__name__)
PREFIX = "dry-window:lock:"


@functools.lru_cache(maxsize=4)
def _connect(url: str, process: int) -> "redis.Redis":
    return redis.Redis.from_url(url, socket_timeout=5, socket_connect_timeout=5)


def connection() -> "redis.Redis":
    """The Redis of the settings; each process has a connection of its own."""
    return _connect(settings.PLANNER_REDIS_URL, os.getpid())


@contextlib.contextmanager
def held(name: str, *, lasts: timedelta) -> Iterator[bool]:
    """Hold a lock; gives false where somebody else holds it, at once.

    ``lasts`` must be longer than the work can take. The token names the machine and process that holds it: a lock
    whose process on this machine has died is taken over, so that a kill costs no wait.
    """
    lock = Lock(connection(), PREFIX + name, timeout=lasts.total_seconds(), blocking=False, thread_local=False)
    try:
        mine = _acquire(lock, name)
    except RedisError as away:
        log.warning("Redis is away (%s): %s goes on without a lock.", away, name)
        yield True
        return
    if not mine:
        yield False
        return
    try:
        yield True
    finally:
        try:
            # Compares the token and deletes in one step, so that nobody else's lock is let go.
            lock.release()
        except LockNotOwnedError:
            log.warning("%s took longer than its lock lasts.", name)
        except RedisError as away:
            log.warning("Redis is away (%s): the lock of %s ends by itself.", away, name)


def _acquire(lock: Lock, name: str) -> bool:
    token = f"{socket.gethostname()}:{os.getpid()}:{uuid.uuid4()}"
    if lock.acquire(blocking=False, token=token):
        return True
    holder = connection().get(PREFIX + name)
    if not isinstance(holder, bytes) or not _is_dead(holder.decode()):
        return False
    left_behind = Lock(connection(), PREFIX + name, blocking=False, thread_local=False)
    left_behind.local.token = holder
    with contextlib.suppress(LockNotOwnedError):
        left_behind.release()
    return bool(lock.acquire(blocking=False, token=token))


def _is_dead(token: str) -> bool:
    host, _, rest = token.partition(":")
    process = rest.partition(":")[0]
    if host != socket.gethostname() or not process.isdecimal():
        return False
    try:
        os.kill(int(process), 0)
    except ProcessLookupError:
        return True
    except PermissionError:
        return False
    return False
