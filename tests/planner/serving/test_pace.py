"""Requests to one host keep to its pace over all processes, against a real Redis; without Redis nothing waits.

Paces of the services: common practice, no source.
"""

import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
import requests
from pytest_httpserver import HTTPServer

from planner.forecast.chain import pace_of
from planner.forecast.domain.outside.providers import MET, NWS, NWS_HOURLY, OPEN_METEO, REPLAY
from planner.forecast.sources.client import Client
from planner.serving.locks import PACE_PREFIX, PREFIX, paced
from tests.faults.servers import RedisServer
from tests.planner.forecast.weather import MONDAY


def moments(host: str, times: int, *, a_second: float, hands: int = 1) -> list[float]:
    """When each of so many requests went out, counted from the first [s]."""

    def one(_: int) -> float:
        with paced(host, a_second=a_second, one_at_once=False):
            return time.monotonic()

    with ThreadPoolExecutor(hands) as pool:
        found = sorted(pool.map(one, range(times)))
    return [at - found[0] for at in found]


@pytest.mark.parametrize("hands", [1, 4])
def test_a_second_worth_goes_at_once_and_the_rest_in_step(own_redis: RedisServer, hands: int) -> None:
    at = moments("weather.invalid", 14, a_second=10.0, hands=hands)
    # Ten tokens are there to begin with; each next one takes a tenth of a second. A late machine only adds to it.
    assert at[-1] >= 0.38
    left_ms = own_redis.client.pttl(PACE_PREFIX + "weather.invalid")
    assert isinstance(left_ms, int)
    assert 0 < left_ms <= 2500


def test_hosts_do_not_wait_for_each_other(own_redis: RedisServer) -> None:
    own_redis.client.set(PACE_PREFIX + "busy.invalid", str(round((time.time() + 600) * 1_000_000)))
    began = time.monotonic()
    with paced("idle.invalid", a_second=2.0, one_at_once=False):
        assert time.monotonic() - began < 30


def test_one_at_once_waits_for_the_request_before_it(own_redis: RedisServer) -> None:
    running, most = 0, 0

    def one(_: int) -> None:
        nonlocal running, most
        with paced("weather.invalid", a_second=0.0, one_at_once=True):
            running += 1
            most = max(most, running)
            time.sleep(0.05)
            running -= 1

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(one, range(8)))
    assert most == 1
    assert not own_redis.client.exists(PREFIX + "host:weather.invalid")


def test_without_redis_nothing_waits(settings: Any, tmp_path: Path) -> None:
    settings.PLANNER_REDIS_URL = f"unix://{tmp_path / 'none.sock'}"
    began = time.monotonic()
    for _ in range(5):
        with paced("weather.invalid", a_second=0.01, one_at_once=True):
            pass
    assert time.monotonic() - began < 60


def test_a_client_takes_its_turn_for_every_request(own_redis: RedisServer, httpserver: HTTPServer) -> None:
    httpserver.expect_request("/grid").respond_with_json({})
    session = requests.Session()
    session.trust_env = False
    client = Client(
        base_url=httpserver.url_for(""),
        user_agent="tests (office@example.org)",
        accept="application/json",
        session=session,
        pace=pace_of(NWS),
    )
    client.ask_whole(httpserver.url_for("/grid"), MONDAY)
    assert own_redis.client.exists(PACE_PREFIX + client.host)


def test_the_paces_of_the_services() -> None:
    assert [(one.a_second, one.one_at_once) for one in (NWS, NWS_HOURLY, MET, OPEN_METEO, REPLAY)] == [
        (2.0, False),
        (2.0, False),
        (5.0, False),
        (0.0, True),
        (0.0, False),
    ]
    assert pace_of(REPLAY) is None
