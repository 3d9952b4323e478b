"""An address is asked no sooner than it wants, for what is new; what it said is shared through the database."""

from datetime import UTC, datetime, timedelta
from email.utils import format_datetime, parsedate_to_datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from jobs.domain.errors import OutsideFailure
from planner.forecast.models import ForecastRun, UrlState
from planner.forecast.services import pull_cell, pull_forecast
from planner.forecast.sources.conditional import LONGEST_LIFE, MARGIN, lifetime
from planner.forecast.sources.nws_writer import as_body, write_point
from planner.forecast.sources.source import Fetched
from planner.forecast.url_memory import DatabaseMemory
from tests.planner.forecast.recordings import recorded_met
from tests.planner.forecast.weather import MONDAY, SITE, ZONE, replay
from tests.planner.forecast.written import AGENT, GEO, HOUR, PROBLEM, base, body, met, met_reply, nws

GRID = "/gridpoints/PHI/85,102"
FIRST = replay().fetch(SITE, MONDAY).body
LATER = replay().fetch(SITE, MONDAY + timedelta(hours=7)).body
# The service has sent dates weeks in the future; they are compared, never subtracted.
STAMP = "Mon, 28 Sep 2026 01:02:03 GMT"
MINUTE = timedelta(minutes=1)


class Service:
    """Knows conditions as RFC 9110 wants them; counts what it was asked."""

    def __init__(self, server: HTTPServer, path: str = GRID) -> None:
        self.body = FIRST
        self.stamp = STAMP
        self.etag = ""
        self.cache_control = "public, max-age=300, s-maxage=3600"
        self.asked: list[Request] = []
        server.expect_request(path).respond_with_handler(self)

    def __call__(self, request: Request) -> Response:
        self.asked.append(request)
        headers = {"Last-Modified": self.stamp, "Cache-Control": self.cache_control}
        if self.etag:
            headers["ETag"] = self.etag
        same_date = bool(self.stamp) and request.headers.get("If-Modified-Since") == self.stamp
        same_tag = bool(self.etag) and request.headers.get("If-None-Match") == self.etag
        if same_tag or (same_date and "If-None-Match" not in request.headers):
            return Response(b"", status=304, headers=headers)
        return Response(self.body, headers=headers, content_type=GEO)


@pytest.mark.django_db
def test_a_run_is_not_asked_for_before_it_expires_and_then_only_for_what_is_new(httpserver: HTTPServer) -> None:
    service = Service(httpserver)
    source = nws(httpserver, DatabaseMemory())
    run, created = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY)
    assert created
    again, created = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + 5 * MINUTE)
    assert (again.pk, created, len(service.asked)) == (run.pk, False, 1)
    assert again.checked_at == MONDAY, "a request that was not made confirms nothing"

    later = MONDAY + 30 * MINUTE
    confirmed, created = pull_cell(source=nws(httpserver, DatabaseMemory()), grid_key="PHI/85,102", now=later)
    assert (confirmed.pk, created, len(service.asked)) == (run.pk, False, 2)
    assert service.asked[1].headers["If-Modified-Since"] == STAMP
    assert (confirmed.issued_at, confirmed.fetched_at, confirmed.checked_at) == (run.issued_at, MONDAY, later)
    state = UrlState.objects.get()
    assert (state.last_modified, state.changed_at, state.checked_at) == (STAMP, MONDAY, later)
    assert state.expires_at == later + timedelta(seconds=300) + MARGIN

    service.body, service.stamp = LATER, "Mon, 28 Sep 2026 09:00:00 GMT"
    newer, created = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + 8 * HOUR)
    assert created
    assert newer.issued_at > run.issued_at
    assert ForecastRun.objects.count() == 2
    assert UrlState.objects.get().run_id == newer.pk


@pytest.mark.django_db
def test_every_request_is_named_constant_and_packed(httpserver: HTTPServer) -> None:
    service = Service(httpserver)
    source = nws(httpserver, DatabaseMemory())
    for hours in (0, 1, 2):
        pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + hours * HOUR)
    headers = [{name: r.headers[name] for name in ("User-Agent", "Accept", "Accept-Encoding")} for r in service.asked]
    assert headers == [{"User-Agent": AGENT, "Accept": GEO, "Accept-Encoding": "gzip"}] * 3
    assert not any(request.query_string for request in service.asked)


@pytest.mark.django_db
def test_a_tag_is_sent_back_as_it_came(httpserver: HTTPServer) -> None:
    service = Service(httpserver)
    service.stamp, service.etag = "", 'W/"a b,c"'
    source = nws(httpserver, DatabaseMemory())
    pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY)
    _, created = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + HOUR)
    assert not created
    assert service.asked[1].headers["If-None-Match"] == 'W/"a b,c"'
    assert "If-Modified-Since" not in service.asked[1].headers


@pytest.mark.django_db
def test_the_same_bytes_from_a_service_without_conditions_are_the_same_run(httpserver: HTTPServer) -> None:
    service = Service(httpserver)
    service.stamp = service.cache_control = ""
    source = nws(httpserver, DatabaseMemory())
    run, _ = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY)
    same, created = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + MINUTE)
    assert (same.pk, created, same.checked_at) == (run.pk, False, MONDAY + MINUTE)
    assert len(service.asked) == 2, "without a lifetime the address may be asked at once"


@pytest.mark.django_db
def test_a_body_that_cannot_be_read_is_not_remembered(httpserver: HTTPServer) -> None:
    service = Service(httpserver)
    service.body = FIRST.replace(b"wmoUnit:degC", b"wmoUnit:K")
    source = nws(httpserver, DatabaseMemory())
    with pytest.raises(OutsideFailure, match="known are degC"):
        pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY)
    assert not UrlState.objects.exists(), "a condition would hide the corrected body for ever"
    service.body = FIRST
    _, created = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + MINUTE)
    assert created


@pytest.mark.django_db
def test_an_error_is_never_kept_by_its_headers(httpserver: HTTPServer) -> None:
    """The service has marked a 500 as good for a day; it was gone minutes later."""
    bad = Response(b"{}", status=500, headers={"Cache-Control": "max-age=86400"}, content_type=PROBLEM)
    httpserver.expect_request(GRID).respond_with_response(bad)
    source = nws(httpserver, DatabaseMemory())
    for minutes in (0, 1):
        with pytest.raises(OutsideFailure):
            pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + minutes * MINUTE)
    assert not UrlState.objects.exists()
    httpserver.clear()
    Service(httpserver)
    assert pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + 2 * MINUTE)[1]


@pytest.mark.django_db
def test_a_cell_that_is_gone_is_asked_for_again_after_six_hours(httpserver: HTTPServer) -> None:
    httpserver.expect_request(GRID).respond_with_data(
        b'{"type": "https://api.weather.gov/problems/NotFound"}', status=404, content_type=PROBLEM
    )
    source = nws(httpserver, DatabaseMemory())
    for hours in (0, 1, 5, 6.1):
        with pytest.raises(OutsideFailure) as caught:
            pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + hours * HOUR)
        assert caught.value.code == "forecast.grid_moved"
    assert len(httpserver.log) == 2


@pytest.mark.django_db
def test_a_run_that_is_deleted_is_asked_for_whole(httpserver: HTTPServer) -> None:
    service = Service(httpserver)
    source = nws(httpserver, DatabaseMemory())
    pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY)
    ForecastRun.objects.all().delete()
    _, created = pull_cell(source=source, grid_key="PHI/85,102", now=MONDAY + MINUTE)
    assert created
    assert "If-Modified-Since" not in service.asked[1].headers


def test_a_stale_body_is_asked_for_once_more_under_another_name(httpserver: HTTPServer) -> None:
    """Caches of the service have held bodies days old for one Accept while another got the new one."""
    accepts = []

    def answer(request: Request) -> Response:
        accepts.append(request.headers["Accept"])
        return Response(FIRST if request.headers["Accept"] == GEO else LATER, content_type=GEO)

    httpserver.expect_request(GRID).respond_with_handler(answer)
    fetched = nws(httpserver).fetch_grid("PHI/85,102", MONDAY + 26 * HOUR)
    assert isinstance(fetched, Fetched)
    assert accepts == [GEO, "application/ld+json"]
    assert fetched.body == LATER
    assert fetched.known is None, "a condition from one Accept means nothing under another"
    assert isinstance(nws(httpserver).fetch_grid("PHI/85,102", MONDAY + HOUR), Fetched)
    assert accepts[2:] == [GEO]


@pytest.mark.django_db
def test_an_older_copy_from_a_cache_does_not_take_the_place_of_the_newer(httpserver: HTTPServer) -> None:
    service = Service(httpserver)
    service.body = LATER
    httpserver.expect_request("/points/40.7,-74.2").respond_with_data(
        as_body(write_point(SITE, grid_key="PHI/85,102", zone=ZONE, base_url=base(httpserver))), content_type=GEO
    )
    source = nws(httpserver, DatabaseMemory())
    newer, _ = pull_forecast(source=source, place=SITE, now=MONDAY + 8 * HOUR)
    service.body, service.stamp = FIRST, "Mon, 28 Sep 2026 11:00:00 GMT"
    older, created = pull_forecast(source=source, place=SITE, now=MONDAY + 9 * HOUR)
    assert created
    assert older.issued_at < newer.issued_at
    assert ForecastRun.objects.order_by("-issued_at")[0].pk == newer.pk


@pytest.mark.django_db
def test_the_other_service_waits_for_its_expiry_too(httpserver: HTTPServer) -> None:
    """Source: headers of a recorded reply, July 2020: half an hour between Date and Expires."""
    headers = recorded_met("lat40.7lon-74.0altitude10_compact")["headers"]
    life = parsedate_to_datetime(headers["Expires"]) - parsedate_to_datetime(headers["Date"])
    asked = []

    def answer(request: Request) -> Response:
        asked.append(request)
        # The test server writes a Date of its own.
        expires = format_datetime(datetime.now(UTC) + life, usegmt=True)
        sent = {"Last-Modified": headers["Last-Modified"], "Expires": expires, "Age": headers["Age"]}
        if request.headers.get("If-Modified-Since") == headers["Last-Modified"]:
            return Response(b"", status=304, headers=sent)
        return Response(body(met_reply(MONDAY)), headers=sent, content_type="application/json")

    httpserver.expect_request("/complete").respond_with_handler(answer)
    source = met(httpserver, DatabaseMemory())
    for minutes in (0, 15, 30, 32):
        pull_forecast(source=source, place=SITE, now=MONDAY + minutes * MINUTE)
    assert len(asked) == 2
    assert asked[1].headers["If-Modified-Since"] == headers["Last-Modified"]
    assert ForecastRun.objects.get().checked_at == MONDAY + 32 * MINUTE


def test_lifetimes_follow_the_standard() -> None:
    """Source: RFC 9111, sections 4.2.1, 4.2.3 and 5.2.2."""
    date = {"Date": "Mon, 20 Jul 2020 11:44:31 GMT", "Expires": "Mon, 20 Jul 2020 12:14:53 GMT"}
    half_hour = timedelta(minutes=30, seconds=22)
    assert lifetime(date) == half_hour + MARGIN
    assert lifetime(date | {"cache-control": "max-age=60"}) == timedelta(seconds=60) + MARGIN
    assert lifetime(date | {"Age": "600"}) == half_hour - timedelta(minutes=10) + MARGIN
    assert lifetime({"Cache-Control": "max-age=86400"}) == LONGEST_LIFE + MARGIN
    nothing = timedelta(0)
    assert lifetime({"Cache-Control": "no-store, max-age=60"}) == nothing
    assert lifetime({"Cache-Control": "max-age=60", "Age": "61"}) == nothing
    assert lifetime({"Expires": "0", "Date": date["Date"]}) == nothing
    assert lifetime({"Expires": date["Date"], "Date": date["Expires"]}) == nothing


@given(st.dictionaries(st.sampled_from(["Cache-Control", "Expires", "Date", "Age"]), st.text(max_size=40)))
def test_no_header_breaks_a_lifetime(headers: dict[str, str]) -> None:
    assert timedelta(0) <= lifetime(headers) <= LONGEST_LIFE + MARGIN


@given(st.integers(-(10**6), 10**6))
def test_an_expiry_counts_from_the_date_of_the_reply(seconds: int) -> None:
    expires = format_datetime(MONDAY + timedelta(seconds=seconds), usegmt=True)
    life = lifetime({"Date": format_datetime(MONDAY, usegmt=True), "Expires": expires})
    assert life == (min(timedelta(seconds=seconds), LONGEST_LIFE) + MARGIN if seconds > 0 else timedelta(0))
