"""The client of the US service against a real server that misbehaves."""

import json
import time
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
import requests
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from jobs.domain.errors import CannotDo, DryWindowError, OutsideFailure
from planner.forecast.domain.place import Place
from planner.forecast.models import ForecastRun, GridPlace
from planner.forecast.selectors import find_grid_place
from planner.forecast.services import pull_forecast
from planner.forecast.sources.client import Patience
from planner.forecast.sources.http import Limits
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.nws_writer import as_body, write_point
from planner.forecast.sources.source import Fetched
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast.weather import MONDAY, SITE, ZONE, replay

GEO = "application/geo+json"
PROBLEM = "application/problem+json"
POINT_PATH = "/points/40.7,-74.2"
GRID_PATH = "/gridpoints/PHI/85,102"
GOOD_GRID = replay().fetch(SITE, MONDAY).body
LIMITS = Limits(connect_read_s=(1.0, 0.3), total_s=0.6, size_bytes=300_000)


@pytest.fixture(autouse=True)
def nothing_is_under_way(httpserver: HTTPServer) -> Iterator[None]:
    """The server answers one after another and is shared by all tests: a reply nobody waited for ends in its own."""
    yield
    with requests.Session() as session:
        session.trust_env = False
        session.get(httpserver.url_for("/the-last"), timeout=60)


def base(server: HTTPServer) -> str:
    return server.url_for("").rstrip("/")


def source_on(server: HTTPServer) -> NwsSource:
    session = requests.Session()
    session.trust_env = False
    return NwsSource(
        base_url=base(server),
        user_agent="tests (office@example.org)",
        session=session,
        limits=LIMITS,
        patience=Patience(tries=0),
    )


def good_point(server: HTTPServer) -> bytes:
    return as_body(write_point(SITE, grid_key="PHI/85,102", zone=ZONE, base_url=base(server)))


def serve(server: HTTPServer, path: str, body: bytes, status: int = 200, content_type: str = GEO) -> None:
    server.expect_request(path).respond_with_data(body, status=status, content_type=content_type)


def test_a_good_reply_is_fetched_with_two_polite_requests(httpserver: HTTPServer) -> None:
    serve(httpserver, POINT_PATH, good_point(httpserver))
    serve(httpserver, GRID_PATH, GOOD_GRID)
    source = source_on(httpserver)
    fetched = source.fetch_grid(source.locate(Place(latitude=40.70001, longitude=-74.2), MONDAY).grid_key, MONDAY)
    assert isinstance(fetched, Fetched)
    assert (fetched.source, fetched.grid_key, fetched.fetched_at) == ("nws", "PHI/85,102", MONDAY)
    assert fetched.body == GOOD_GRID
    assert fetched.issued_at == fetched.series.issued_at
    asked = [request for request, _ in httpserver.log]
    assert [request.path for request in asked] == [POINT_PATH, GRID_PATH]
    assert not any(request.query_string for request in asked), "unknown parameters make the service answer 400"
    for request in asked:
        assert request.headers["User-Agent"] == "tests (office@example.org)"
        assert request.headers["Accept"] == GEO


def test_the_points_reply_of_the_service_is_understood(httpserver: HTTPServer) -> None:
    """Source: a recorded reply of July 2026, its links moved to the local server."""
    payload = recorded("points", "41.967_-71.189")
    body = json.dumps(payload).replace("https://api.weather.gov", base(httpserver)).encode()
    serve(httpserver, "/points/41.967,-71.189", body)
    cell = source_on(httpserver).locate(Place(latitude=41.967, longitude=-71.189), MONDAY)
    assert (cell.grid_key, cell.zones) == ("BOX/70,82", ("MAC005", "MAZ017"))


def test_a_caller_without_a_name_is_told(httpserver: HTTPServer) -> None:
    with pytest.raises(CannotDo) as caught:
        NwsSource(base_url=base(httpserver), user_agent=" ")
    assert caught.value.field == "PLANNER_USER_AGENT"


def truncated(_: Request) -> Response:
    # Bytes would have their length put right; a generator keeps what the header claims.
    return Response(
        (part for part in (GOOD_GRID[:2000],)), headers={"Content-Length": str(len(GOOD_GRID))}, content_type=GEO
    )


def bad_gzip(_: Request) -> Response:
    return Response(b"\x1f\x8b not gzip", headers={"Content-Encoding": "gzip"}, content_type=GEO)


def slow(_: Request) -> Response:
    time.sleep(0.6)
    return Response(GOOD_GRID, content_type=GEO)


def dripping(_: Request) -> Response:
    def drops() -> Iterator[bytes]:
        for at in range(0, 2000, 200):
            time.sleep(0.1)
            yield GOOD_GRID[at : at + 200]

    return Response(drops(), content_type=GEO)


def endless(_: Request) -> Response:
    return Response((b" " * 50_000 for _ in range(10)), content_type=GEO)


def big_by_its_own_word(_: Request) -> Response:
    return Response(b" " * 300_001, content_type=GEO)


def stale_grid() -> bytes:
    return replay().fetch(SITE, MONDAY - timedelta(days=12)).body


def with_unit(unit: str) -> bytes:
    return GOOD_GRID.replace(b"wmoUnit:degC", unit.encode())


FAULTS: dict[str, tuple[Any, int, str, str]] = {
    "empty": (b"", 200, GEO, "forecast.empty"),
    "blocked by the network": (b"<html>Access denied</html>", 403, "text/html", "forecast.refused_html"),
    "a web page with status 200": (b"<html>hello</html>", 200, "text/html", "forecast.refused_html"),
    "another content type": (b"{}", 200, "text/plain", "forecast.wrong_type"),
    "JSON cut short": (GOOD_GRID[:5000], 200, GEO, "forecast.not_json"),
    "a JSON list": (b"[]", 200, GEO, "forecast.not_json"),
    "an empty object": (b"{}", 200, GEO, "forecast.bad_value"),
    "not text": (b"\xff\xfe\x00", 200, GEO, "forecast.not_json"),
    "throttled": (b"{}", 429, PROBLEM, "forecast.throttled"),
    "a redirect": (b"", 301, GEO, "forecast.http_status"),
    "an unknown unit": (with_unit("wmoUnit:K"), 200, GEO, "forecast.unknown_unit"),
    "a reply twelve days old": (stale_grid(), 200, GEO, "forecast.no_future"),
    "a broken connection": (truncated, 200, GEO, "forecast.truncated"),
    "packing that is none": (bad_gzip, 200, GEO, "forecast.truncated"),
    "a slow answer": (slow, 200, GEO, "forecast.timeout"),
    "an answer drop by drop": (dripping, 200, GEO, "forecast.timeout"),
    "more than is allowed": (endless, 200, GEO, "forecast.too_large"),
    "more than is allowed, by its own word": (big_by_its_own_word, 200, GEO, "forecast.too_large"),
}
PROBLEMS = {
    "500_UnexpectedProblem_2023": (500, "forecast.http_status"),
    "503_ForecastGridExpired_2020": (503, "forecast.grid_expired"),
    "503_ForecastMissingData_2021": (503, "forecast.grid_expired"),
    "503_ServiceUnavailable": (503, "forecast.http_status"),
}


def stored() -> list[tuple[Any, ...]]:
    runs = ForecastRun.objects.values_list("pk", "source", "grid_key", "issued_at", "checked_at", "content_hash")
    return [*runs.order_by("pk"), *GridPlace.objects.values_list("pk", "grid_key", "resolved_at").order_by("pk")]


def pull_fails(server: HTTPServer, place: Place = SITE) -> DryWindowError:
    """Pull an hour after a good pull; what was stored must stay."""
    before = stored()
    with pytest.raises(DryWindowError) as caught:
        pull_forecast(source=source_on(server), place=place, now=MONDAY + timedelta(hours=1))
    assert stored() == before
    assert caught.value.remedy
    return caught.value


@pytest.fixture
def good_run(httpserver: HTTPServer) -> HTTPServer:
    """A server that answered well once, with its run stored."""
    serve(httpserver, POINT_PATH, good_point(httpserver))
    serve(httpserver, GRID_PATH, GOOD_GRID)
    run, created = pull_forecast(source=source_on(httpserver), place=SITE, now=MONDAY)
    assert created
    assert run.grid_key == "PHI/85,102"
    httpserver.clear()
    return httpserver


@pytest.mark.django_db
@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_has_a_name_and_changes_nothing(good_run: HTTPServer, fault: str) -> None:
    body, status, content_type, code = FAULTS[fault]
    if callable(body):
        good_run.expect_request(GRID_PATH).respond_with_handler(body)
    else:
        serve(good_run, GRID_PATH, body, status, content_type)
    failure = pull_fails(good_run)
    assert isinstance(failure, OutsideFailure)
    assert failure.code == code


@pytest.mark.django_db
@pytest.mark.parametrize("name", PROBLEMS)
def test_each_recorded_problem_has_a_name(good_run: HTTPServer, name: str) -> None:
    status, code = PROBLEMS[name]
    serve(good_run, GRID_PATH, json.dumps(recorded("errors", name)).encode(), status, PROBLEM)
    failure = pull_fails(good_run)
    assert isinstance(failure, OutsideFailure)
    assert failure.code == code


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "status", "code"),
    [
        ("404_InvalidPoint_outside_us", 404, "forecast.outside_coverage"),
        ("400_InvalidParameter_point", 400, "forecast.outside_coverage"),
        ("404_MarineForecastNotSupported", 404, "forecast.marine"),
    ],
)
def test_a_place_without_a_forecast_is_for_a_person(httpserver: HTTPServer, name: str, status: int, code: str) -> None:
    reunion = Place(latitude=-20.9512, longitude=55.3085)
    body = json.dumps(recorded("errors", name)).encode()
    serve(httpserver, "/points/-20.9512,55.3085", body, status, PROBLEM)
    failure = pull_fails(httpserver, reunion)
    assert isinstance(failure, CannotDo)
    assert (failure.code, failure.field) == (code, "place")


@pytest.mark.django_db
@pytest.mark.parametrize(
    "link",
    ["http://elsewhere.example/gridpoints/PHI/85,102", "http://localhost:1/gridpoints/PHI/85,102", "file:///etc"],
)
def test_a_link_to_another_host_is_not_followed(httpserver: HTTPServer, link: str) -> None:
    point = write_point(SITE, grid_key="PHI/85,102", zone=ZONE, base_url=base(httpserver))
    point["properties"]["forecastGridData"] = link
    serve(httpserver, POINT_PATH, as_body(point))
    assert pull_fails(httpserver).code == "forecast.other_host"
    assert len(httpserver.log) == 1


@pytest.mark.django_db
def test_a_redirect_is_not_followed_even_to_a_good_reply(good_run: HTTPServer) -> None:
    elsewhere = Response(b"", status=301, headers={"Location": good_run.url_for("/other")}, content_type=GEO)
    good_run.expect_request(GRID_PATH).respond_with_response(elsewhere)
    serve(good_run, "/other", GOOD_GRID)
    assert pull_fails(good_run).code == "forecast.http_status"
    assert [request.path for request, _ in good_run.log] == [GRID_PATH]


@pytest.mark.django_db
def test_a_link_to_no_grid_is_refused(httpserver: HTTPServer) -> None:
    serve(httpserver, POINT_PATH, as_body({"properties": {"forecastGridData": f"{base(httpserver)}/admin"}}))
    assert pull_fails(httpserver).code == "forecast.bad_value"


@pytest.mark.django_db
def test_a_server_that_is_gone_is_unreachable(good_run: HTTPServer) -> None:
    session = requests.Session()
    session.trust_env = False
    closed = NwsSource(
        base_url="http://127.0.0.1:9", user_agent="tests", session=session, limits=LIMITS, patience=Patience(tries=0)
    )
    before = stored()
    with pytest.raises(OutsideFailure) as caught:
        pull_forecast(source=closed, place=SITE, now=MONDAY)
    assert caught.value.code == "forecast.unreachable"
    assert stored() == before


@pytest.mark.django_db
def test_a_cell_that_moved_is_looked_up_again(good_run: HTTPServer) -> None:
    gone = json.dumps(recorded("errors", "404_MarineForecastNotSupported")).encode()
    serve(good_run, GRID_PATH, gone, 404, PROBLEM)
    moved = write_point(SITE, grid_key="PHI/86,102", zone=ZONE, base_url=base(good_run))
    serve(good_run, POINT_PATH, as_body(moved))
    serve(good_run, "/gridpoints/PHI/86,102", GOOD_GRID)
    run, created = pull_forecast(source=source_on(good_run), place=SITE, now=MONDAY)
    assert (run.grid_key, created) == ("PHI/86,102", True)
    cell = find_grid_place(source="nws", place=SITE)
    assert cell is not None
    assert cell.grid_key == "PHI/86,102"


@pytest.mark.django_db
def test_a_cell_gone_for_good_stays_a_failure(good_run: HTTPServer) -> None:
    serve(good_run, GRID_PATH, b"{}", 404, PROBLEM)
    serve(good_run, POINT_PATH, b"{}", 500, PROBLEM)
    assert pull_fails(good_run).code == "forecast.http_status"
