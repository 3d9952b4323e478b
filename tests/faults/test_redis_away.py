"""Redis stopped in the middle of the work and started again, with what it kept and with nothing."""

import shutil
import signal

import pytest

from tests.faults.conftest import Yard
from tests.faults.processes import worker
from tests.faults.servers import wait_for
from tests.faults.story import due_now, make_it_wet, nothing_is_half, runs, ticking, wait_until_told


@pytest.mark.fault("Redis stopped and started")
@pytest.mark.parametrize("loses_all", [False, True], ids=["keeps its messages", "loses every message"])
def test_redis_away(yard: Yard, loses_all: bool) -> None:
    before = runs(yard.rows)
    with worker(yard.env, yard.log) as one, ticking(yard):
        wait_for(lambda: yard.rows.one("select count(*) from serving_turn where kind = 'tick'") == 1)
        yard.redis.stop(signal.SIGKILL if loses_all else signal.SIGTERM)
        if loses_all:
            shutil.rmtree(yard.folder / "redis")
        make_it_wet(yard)
        wait_for(lambda: "onnection" in one.said and "lost" in one.said, what="the worker notices")
        assert runs(yard.rows) == before
        assert one.process.poll() is None
        yard.redis.start()
        due_now(yard.rows)
        wait_until_told(yard)
    assert runs(yard.rows) == before + 1
    nothing_is_half(yard)
