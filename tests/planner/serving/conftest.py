"""A real Redis for tests of locks."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.faults.servers import RedisServer, redis_in


@pytest.fixture(scope="module")
def redis_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RedisServer]:
    with redis_in(Path(tmp_path_factory.mktemp("r"))) as server:
        yield server


@pytest.fixture
def own_redis(redis_server: RedisServer, settings: Any) -> RedisServer:
    settings.PLANNER_REDIS_URL = redis_server.url
    redis_server.client.flushall()
    return redis_server
