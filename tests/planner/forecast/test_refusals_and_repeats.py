"""Failed requests are repeated a little, refusing hosts are left alone, and nothing sleeps for long."""

import logging
import time
from datetime import timedelta
from typing import Any

import pytest
import requests
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from jobs.domain.errors import DryWindowError, OutsideFailure
from planner.forecast.models import HostPause
from planner.forecast.sources.client import Client, Patience, problem_of
from planner.forecast.sources.http import Reply
from planner.forecast.sources.source import Fetched
from planner.forecast.url_memory import LONGEST_PAUSE, DatabaseMemory
from tests.planner.forecast.recordings import recorded_open_meteo
from tests.planner.forecast.weather import MONDAY, SITE, replay
from tests.planner.forecast.written import GEO, LIMITS, PROBLEM, body, met, met_reply, nws, open_meteo, open_meteo_reply

GRID = "/gridpoints/PHI/85,102"
GOOD = replay().fetch(SITE, MONDAY).body
MINUTE = timedelta(minutes=1)
PAGE = b"<html><title>Access Denied</title></html>"


def fails(source: Any, at: Any, key: str = "PHI/85,102") -> DryWindowError:
    with pytest.raises(DryWindowError) as caught:
        source.fetch_grid(key, at)
    assert caught.value.remedy
    return caught.value


@pytest.mark.parametrize("status", [500, 502, 504])
def test_a_passing_failure_is_asked_again(httpserver: HTTPServer, status: int) -> None:
    for _ in range(2):
        httpserver.expect_ordered_request(GRID).respond_with_data(b"{}", status=status, content_type=PROBLEM)
    httpserver.expect_ordered_request(GRID).respond_with_data(GOOD, content_type=GEO)
    assert isinstance(nws(httpserver).fetch_grid("PHI/85,102", MONDAY), Fetched)
    assert len(httpserver.log) == 3


def test_a_lasting_failure_keeps_its_reason(httpserver: HTTPServer) -> None:
    httpserver.expect_request(GRID).respond_with_data(b"{}", status=500, content_type=PROBLEM)
    assert fails(nws(httpserver), MONDAY).code == "forecast.http_status"
    assert len(httpserver.log) == 3


@pytest.mark.parametrize(("status", "code"), [(503, "http_status"), (404, "grid_moved"), (400, "http_status")])
def test_what_waiting_seconds_cannot_cure_is_asked_once(httpserver: HTTPServer, status: int, code: str) -> None:
    httpserver.expect_request(GRID).respond_with_data(b"{}", status=status, content_type=PROBLEM)
    assert fails(nws(httpserver), MONDAY).code == f"forecast.{code}"
    assert len(httpserver.log) == 1


def test_repeats_wait_longer_each_time_and_never_at_the_same_moment() -> None:
    """Source: urllib3 manual, Retry: the pause before a repeat is factor * 2^(n-1) plus up to the jitter, capped."""
    retry = Patience().retry()
    pauses = []
    for _ in range(40):
        again = retry
        for _ in range(2):
            again = again.increment("GET", "/", response=None, error=requests.ConnectionError())
        pauses.append(again.get_backoff_time())
    assert all(1.0 <= pause <= 1.5 for pause in pauses)
    assert len({round(pause, 6) for pause in pauses}) > 30
    assert (retry.raise_on_status, retry.respect_retry_after_header, retry.redirect) == (False, False, 0)


@pytest.mark.django_db
@pytest.mark.parametrize("status", [429, 503])
def test_a_wait_the_service_names_is_kept_without_sleeping(httpserver: HTTPServer, status: int) -> None:
    httpserver.expect_request(GRID).respond_with_data(
        b"{}", status=status, content_type=PROBLEM, headers={"Retry-After": "1200"}
    )
    source = nws(httpserver, DatabaseMemory())
    began = time.monotonic()
    fails(source, MONDAY)
    assert time.monotonic() - began < 1.0
    assert fails(source, MONDAY + 19 * MINUTE).code == "forecast.paused"
    assert len(httpserver.log) == 1
    fails(source, MONDAY + 21 * MINUTE)
    assert len(httpserver.log) == 2


@pytest.mark.django_db
def test_a_web_page_breaks_the_circuit_for_every_worker_and_longer_each_time(httpserver: HTTPServer) -> None:
    """A throttled caller of the service gets an HTML page of its network; the block clears in about five seconds."""
    httpserver.expect_request(GRID).respond_with_data(PAGE, status=403, content_type="text/html")
    assert fails(nws(httpserver, DatabaseMemory()), MONDAY).code == "forecast.refused_html"
    other = nws(httpserver, DatabaseMemory())
    paused = fails(other, MONDAY + timedelta(seconds=4))
    assert paused.code == "forecast.paused"
    assert isinstance(paused, OutsideFailure)
    with pytest.raises(OutsideFailure, match="left alone"):
        other.locate(SITE, MONDAY + timedelta(seconds=4))
    assert len(httpserver.log) == 1
    now, pauses = MONDAY, []
    for _ in range(8):
        now = HostPause.objects.get().until
        fails(other, now)
        pauses.append(HostPause.objects.get().until - now)
    assert pauses[:3] == [1 * MINUTE, 2 * MINUTE, 4 * MINUTE]
    assert pauses[-1] == LONGEST_PAUSE
    httpserver.clear()
    httpserver.expect_request(GRID).respond_with_data(GOOD, content_type=GEO)
    assert isinstance(other.fetch_grid("PHI/85,102", HostPause.objects.get().until), Fetched)
    assert not HostPause.objects.exists(), "after a good answer the next pause is a short one"


@pytest.mark.django_db
def test_one_host_refusing_leaves_the_others_alone(httpserver: HTTPServer) -> None:
    httpserver.expect_request(GRID).respond_with_data(PAGE, status=403, content_type="text/html")
    fails(nws(httpserver, DatabaseMemory()), MONDAY)
    with HTTPServer() as other:
        other.expect_request("/complete").respond_with_data(body(met_reply(MONDAY)), content_type="application/json")
        assert isinstance(met(other, DatabaseMemory()).fetch_grid("40.70,-74.20", MONDAY), Fetched)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "wait"), [("429_minutely", timedelta(minutes=1)), ("429_daily", timedelta(hours=14, minutes=5))]
)
def test_limits_of_a_free_service_are_met_by_their_length(httpserver: HTTPServer, name: str, wait: timedelta) -> None:
    """Source: recorded replies; MONDAY is at 10:00 UTC, and days of the service end at midnight UTC."""
    httpserver.expect_request("/v1/forecast").respond_with_json(recorded_open_meteo(f"errors/{name}"), status=429)
    assert fails(open_meteo(httpserver, DatabaseMemory()), MONDAY, "40.70,-74.20").code == "forecast.throttled"
    assert HostPause.objects.get().until == MONDAY + wait


def test_redirects_are_followed_on_the_same_host_where_terms_want_it(httpserver: HTTPServer) -> None:
    moved = Response(b"", status=301, headers={"Location": "/2.1/complete?lat=40.70&lon=-74.20"})
    httpserver.expect_request("/complete").respond_with_response(moved)
    httpserver.expect_request("/2.1/complete").respond_with_json(met_reply(MONDAY))
    assert isinstance(met(httpserver).fetch_grid("40.70,-74.20", MONDAY), Fetched)


@pytest.mark.parametrize("target", ["http://elsewhere.example/complete", "file:///etc/passwd", "//elsewhere.example/x"])
def test_redirects_elsewhere_are_not(httpserver: HTTPServer, target: str) -> None:
    moved = Response(b"", status=302, headers={"Location": target})
    httpserver.expect_request("/complete").respond_with_response(moved)
    assert fails(met(httpserver), MONDAY, "40.70,-74.20").code == "forecast.other_host"


def test_redirects_in_a_circle_end(httpserver: HTTPServer) -> None:
    moved = Response(b"", status=302, headers={"Location": "/complete?lat=40.70&lon=-74.20"})
    httpserver.expect_request("/complete").respond_with_response(moved)
    assert fails(met(httpserver), MONDAY, "40.70,-74.20").code == "forecast.http_status"
    assert len(httpserver.log) == 4


@pytest.mark.django_db
def test_a_key_is_sent_and_appears_nowhere_else(httpserver: HTTPServer, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG, logger="urllib3.util.retry")
    caplog.set_level(logging.WARNING, logger="urllib3.connectionpool")
    caplog.set_level(logging.WARNING, logger="werkzeug")
    keys = []

    def answer(request: Request) -> Response:
        keys.append(request.args["apikey"])
        return Response(body(open_meteo_reply(MONDAY.replace(hour=0))), content_type="application/json")

    httpserver.expect_request("/v1/forecast").respond_with_handler(answer)
    fetched = open_meteo(httpserver, DatabaseMemory(), api_key="hush-1234").fetch_grid("40.70,-74.20", MONDAY)
    assert isinstance(fetched, Fetched)
    assert fetched.known is not None
    assert keys == ["hush-1234"]
    assert "hush" not in repr(fetched.known)
    source = open_meteo(httpserver, api_key="hush-1234")
    httpserver.stop()
    failure = fails(source, MONDAY, "40.70,-74.20")
    assert failure.code == "forecast.unreachable"
    assert failure.__cause__ is None
    assert "hush" not in str(failure) + caplog.text
    httpserver.start()


def test_a_caller_says_who_it_is() -> None:
    with pytest.raises(DryWindowError) as caught:
        Client(base_url="http://127.0.0.1", user_agent="", accept=GEO, limits=LIMITS)
    assert caught.value.field == "PLANNER_USER_AGENT"


@pytest.mark.parametrize(
    ("raw", "problem"),
    [
        (b'{"type": "https://api.weather.gov/problems/InvalidPoint"}', "InvalidPoint"),
        (b'{"type": "urn:x/InvalidPoint/"}', "InvalidPoint"),
        (b'{"type": 3}', ""),
        (b"[]", ""),
        (b"{", ""),
        (b"", ""),
    ],
)
def test_a_problem_is_named_by_the_end_of_its_type(raw: bytes, problem: str) -> None:
    assert problem_of(Reply(url="", status=404, content_type=PROBLEM, body=raw)) == problem
    assert problem_of(Reply(url="", status=404, content_type=GEO, body=raw)) == ""
