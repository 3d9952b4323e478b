"""Locks and paces in Redis: one pull of a cell and one plan of a branch at a time, few requests a second to a host.

They save traffic and work, nothing more: unique keys and conditional updates of the database are the truth, so
without Redis the work goes on unlocked, and as fast as its turns come.
"""

import contextlib
import functools
import logging
import os
import socket
import threading
import time
import uuid
from collections.abc import Iterator
from datetime import timedelta

import redis
from django.conf import settings
from redis.exceptions import LockNotOwnedError, RedisError
from redis.lock import Lock

from jobs.domain.errors import OutsideFailure

log = logging.getLogger(__name__)
PREFIX = "dry-window:lock:"
PACE_PREFIX = "dry-window:pace:"
# How often a lock that could not be let go is tried again [s].
AGAIN_S = 0.5
# A bucket holds so many seconds' worth of requests that may go out at once.
BURST_S = 1.0
# Longer than any one request may take (sources.http), so that nobody else's begins while it runs.
REQUEST_LASTS = timedelta(seconds=90)
# One value a host: when the bucket will be full again, by the clock of Redis [us]. Each request takes its place in the
# line in one step and is told how long to wait for it.
TAKE = """
local now = redis.call('TIME')
now = now[1] * 1000000 + now[2]
local every, burst = tonumber(ARGV[1]), tonumber(ARGV[2])
local full = math.max(tonumber(redis.call('GET', KEYS[1]) or '0'), now) + every
redis.call('SET', KEYS[1], string.format('%.0f', full), 'PX', math.ceil((full - now) / 1000) + 1000)
return math.max(0, full - burst - now)
"""


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
    token = f"{socket.gethostname()}:{os.getpid()}:{uuid.uuid4()}"
    try:
        mine = _acquire(name, token, lasts)
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
            _release(name, token)
        except LockNotOwnedError:
            log.warning("%s took longer than its lock lasts.", name)
        except RedisError as away:
            log.warning("Redis is away (%s): the lock of %s is let go when it is back.", away, name)
            threading.Thread(target=_release_later, args=(name, token, lasts), daemon=True).start()


@contextlib.contextmanager
def paced(host: str, *, a_second: float, one_at_once: bool) -> Iterator[None]:
    """One request to a host: waits until its bucket has a token for it, and for the request before it to be over.

    Parameters
    ----------
    host : str
        Who is asked; every worker takes from the same bucket.
    a_second : float
        Requests a second that fill the bucket; 0: no limit.
    one_at_once : bool
        Whether the host wants one request after another.

    Raises
    ------
    OutsideFailure
        ``forecast.busy`` where the request before it does not end.
    """
    with contextlib.ExitStack() as ends:
        try:
            if one_at_once:
                ends.enter_context(_alone(host))
            if a_second:
                every_us = round(1_000_000 / a_second)
                burst_us = max(every_us, round(BURST_S * 1_000_000))
                wait_us = connection().eval(TAKE, 1, PACE_PREFIX + host, str(every_us), str(burst_us))
                time.sleep(float(str(wait_us)) / 1_000_000)
        except RedisError as away:
            log.info("Redis is away (%s): %s is asked without a pace.", away, host)
        yield


@contextlib.contextmanager
def _alone(host: str) -> Iterator[None]:
    until = time.monotonic() + REQUEST_LASTS.total_seconds()
    while True:
        with contextlib.ExitStack() as ends:
            if ends.enter_context(held(f"host:{host}", lasts=REQUEST_LASTS)):
                yield
                return
        if time.monotonic() > until:
            raise OutsideFailure("forecast.busy", host=host)
        time.sleep(0.1)


def _acquire(name: str, token: str, lasts: timedelta) -> bool:
    lock = Lock(connection(), PREFIX + name, timeout=lasts.total_seconds(), blocking=False, thread_local=False)
    if lock.acquire(blocking=False, token=token):
        return True
    holder = connection().get(PREFIX + name)
    if not isinstance(holder, bytes) or not _is_dead(holder.decode()):
        return False
    with contextlib.suppress(LockNotOwnedError):
        _release(name, holder.decode())
    return bool(lock.acquire(blocking=False, token=token))


def _release(name: str, token: str) -> None:
    """Compare the token and delete in one step, so that nobody else's lock is let go."""
    lock = Lock(connection(), PREFIX + name, blocking=False, thread_local=False)
    lock.local.token = token.encode()
    lock.release()


def _release_later(name: str, token: str, lasts: timedelta) -> None:
    """Let a lock go once Redis is back: kept by a Redis that keeps its keys, it would hold up whoever comes next."""
    until = time.monotonic() + lasts.total_seconds()
    while time.monotonic() < until:
        time.sleep(AGAIN_S)
        with contextlib.suppress(RedisError):
            with contextlib.suppress(LockNotOwnedError):
                _release(name, token)
            return


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
