"""Locks against a real Redis: one holder, nobody else's key deleted, the dead and the absent do not stop work."""

import os
import socket
import subprocess
from datetime import timedelta
from pathlib import Path
from typing import Any

from planner.serving.locks import PREFIX, held
from tests.faults.servers import RedisServer, wait_for

MINUTE = timedelta(minutes=1)


def test_one_holds_it_and_the_next_gets_it_afterwards(own_redis: RedisServer) -> None:
    with held("cell", lasts=MINUTE) as first:
        with held("cell", lasts=MINUTE) as second, held("other cell", lasts=MINUTE) as other:
            assert (first, second, other) == (True, False, True)
        assert own_redis.client.exists(PREFIX + "cell"), "who did not get it must not let it go"
    assert not own_redis.client.exists(PREFIX + "cell")
    with held("cell", lasts=MINUTE) as again:
        assert again


def test_it_ends_by_itself_if_nobody_lets_it_go(own_redis: RedisServer) -> None:
    with held("cell", lasts=MINUTE):
        left_ms = own_redis.client.pttl(PREFIX + "cell")
        assert isinstance(left_ms, int)
        assert 50_000 < left_ms <= 60_000


def test_who_overstays_does_not_delete_the_lock_of_the_next(own_redis: RedisServer) -> None:
    with held("cell", lasts=MINUTE):
        own_redis.client.set(PREFIX + "cell", "elsewhere:1:token")
    assert own_redis.client.get(PREFIX + "cell") == b"elsewhere:1:token"


def test_the_lock_of_a_dead_process_of_this_machine_is_taken_over(own_redis: RedisServer) -> None:
    dead = subprocess.Popen(["true"])
    dead.wait()
    own_redis.client.set(PREFIX + "cell", f"{socket.gethostname()}:{dead.pid}:token")
    with held("cell", lasts=MINUTE) as mine:
        assert mine
    assert not own_redis.client.exists(PREFIX + "cell")


def test_of_a_living_process_or_another_machine_it_is_not(own_redis: RedisServer) -> None:
    for holder in (f"{socket.gethostname()}:{os.getppid()}:token", "elsewhere:999999999:token", "no token of ours"):
        own_redis.client.set(PREFIX + "cell", holder)
        with held("cell", lasts=MINUTE) as mine:
            assert not mine
        assert own_redis.client.get(PREFIX + "cell") == holder.encode()


def test_a_lock_that_could_not_be_let_go_is_once_redis_is_back(own_redis: RedisServer) -> None:
    with held("cell", lasts=MINUTE) as first:
        assert first
        own_redis.stop()
    own_redis.start()
    wait_for(lambda: not own_redis.client.exists(PREFIX + "cell"), seconds=20, what="the lock is let go")
    with held("cell", lasts=MINUTE) as second:
        assert second


def test_without_redis_the_work_goes_on(settings: Any, tmp_path: Path) -> None:
    settings.PLANNER_REDIS_URL = f"unix://{tmp_path / 'none.sock'}"
    with held("cell", lasts=MINUTE) as mine:
        assert mine
