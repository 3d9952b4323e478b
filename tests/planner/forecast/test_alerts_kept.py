"""Warnings kept message by message, shared by the sites they cover, and gone when no longer listed."""

from datetime import timedelta
from typing import Any

import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.forecast.around.alerts import PlaceAlerts, alerts_at, pull_alerts
from planner.forecast.domain.place import Place
from planner.forecast.models import OfficialAlert
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.nws_writer import as_body, write_point
from planner.forecast.url_memory import DatabaseMemory
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast.weather import MONDAY, SITE, ZONE
from tests.planner.forecast.written import GEO, HOUR, PROBLEM, alert_feature, alerts_reply, base, body, nws

NEAR = Place(latitude=40.72, longitude=-74.21)
STAMP = "Mon, 01 Jun 2026 10:00:00 GMT"


class Service:
    """Lists what it is told to, by place, and knows conditions."""

    def __init__(self, server: HTTPServer) -> None:
        self.listed: dict[str, list[dict[str, Any]]] = {}
        self.unchanged = False
        self.asked = 0
        for place in (SITE, NEAR):
            point = write_point(place, grid_key="PHI/85,102", zone=ZONE, base_url=base(server))
            point["properties"] |= {"forecastZone": f"{base(server)}/zones/forecast/NJZ106"}
            server.expect_request(f"/points/{place.text}").respond_with_data(as_body(point), content_type=GEO)
        server.expect_request("/alerts/active").respond_with_handler(self)

    def __call__(self, request: Request) -> Response:
        self.asked += 1
        if self.unchanged and request.headers.get("If-Modified-Since") == STAMP:
            return Response(b"", status=304)
        listed = alerts_reply(*self.listed.get(request.args["point"], []))
        return Response(body(listed), headers={"Last-Modified": STAMP}, content_type=GEO)


def at(source: NwsSource, place: Place, hours: float) -> PlaceAlerts:
    return alerts_at(base_url=source.client.base_url, places=[place], now=MONDAY + hours * HOUR)[place]


def names(found: PlaceAlerts) -> list[str]:
    return [alert.message_id.rpartition(":")[2] for alert in found.alerts]


@pytest.mark.django_db
def test_a_message_is_kept_once_and_each_update_beside_it(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    first = alert_feature("first", sent_at=MONDAY, hours=9)
    service.listed = {SITE.text: [first], NEAR.text: [first]}
    assert pull_alerts(source=source, place=SITE, now=MONDAY) == 1
    assert pull_alerts(source=source, place=NEAR, now=MONDAY) == 0
    assert names(at(source, SITE, 0)) == names(at(source, NEAR, 0)) == ["first"]
    update = alert_feature("second", sent_at=MONDAY + HOUR, hours=5, kind="Update", references=["first"])
    service.listed[SITE.text] = [update]
    assert pull_alerts(source=source, place=SITE, now=MONDAY + HOUR) == 1
    assert names(at(source, SITE, 1)) == ["second"]
    assert OfficialAlert.objects.count() == 2
    assert OfficialAlert.objects.get(message_id="urn:oid:first").first_seen_at == MONDAY


@pytest.mark.django_db
def test_one_no_longer_listed_is_over_whatever_it_said(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    service.listed = {SITE.text: [alert_feature("gone", sent_at=MONDAY, hours=30)]}
    pull_alerts(source=source, place=SITE, now=MONDAY)
    service.listed = {}
    pull_alerts(source=source, place=SITE, now=MONDAY + HOUR)
    assert at(source, SITE, 1) == PlaceAlerts(alerts=(), checked_at=MONDAY + HOUR)


@pytest.mark.django_db
def test_nothing_new_leaves_warnings_in_force_and_says_when_it_was_asked(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    service.listed = {SITE.text: [alert_feature("still", sent_at=MONDAY, hours=9)]}
    pull_alerts(source=source, place=SITE, now=MONDAY)
    service.unchanged = True
    assert pull_alerts(source=source, place=SITE, now=MONDAY + 2 * HOUR) == 0
    found = at(source, SITE, 2)
    assert (names(found), found.checked_at) == (["still"], MONDAY + 2 * HOUR)
    assert names(at(source, SITE, 9)) == []


@pytest.mark.django_db
def test_it_is_not_asked_twice_within_a_minute(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    for seconds in (0, 30, 59, 60):
        pull_alerts(source=source, place=SITE, now=MONDAY + timedelta(seconds=seconds))
    assert service.asked == 2


@pytest.mark.django_db
def test_a_failure_keeps_what_was_known_with_its_age(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    service.listed = {SITE.text: [alert_feature("kept", sent_at=MONDAY, hours=9)]}
    pull_alerts(source=source, place=SITE, now=MONDAY)
    httpserver.clear()
    httpserver.expect_request("/alerts/active").respond_with_data(b"{}", status=503, content_type=PROBLEM)
    with pytest.raises(OutsideFailure):
        pull_alerts(source=source, place=SITE, now=MONDAY + HOUR)
    found = at(source, SITE, 1)
    assert (names(found), found.checked_at) == (["kept"], MONDAY)


@pytest.mark.django_db
def test_never_asked_is_not_the_same_as_no_warning(httpserver: HTTPServer) -> None:
    Service(httpserver)
    assert at(nws(httpserver, DatabaseMemory()), SITE, 0).checked_at is None


@pytest.mark.django_db
def test_out_of_bounds_is_told_as_no_coverage(httpserver: HTTPServer) -> None:
    """Source: recorded; a place out of bounds is 404 for points and 400 for warnings."""
    Service(httpserver)
    source = nws(httpserver, DatabaseMemory())
    pull_alerts(source=source, place=SITE, now=MONDAY)
    httpserver.clear()
    problem = body(recorded("errors", "400_InvalidParameter_point"))
    httpserver.expect_request("/alerts/active").respond_with_data(problem, status=400, content_type=PROBLEM)
    with pytest.raises(CannotDo) as caught:
        pull_alerts(source=source, place=SITE, now=MONDAY + HOUR)
    assert caught.value.code == "forecast.outside_coverage"


@pytest.mark.django_db
def test_a_recorded_afternoon_is_kept_and_read_back(httpserver: HTTPServer) -> None:
    """Source: recorded reply for the whole country; what is kept equals what was read."""
    payload = recorded("alerts", "us_2026-07-15_thunder_flood.recon")
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    service.listed = {SITE.text: payload["features"]}
    now = MONDAY.replace(month=7, day=15, hour=20, minute=1)
    assert pull_alerts(source=source, place=SITE, now=now) == 44
    assert alerts_at(base_url=source.client.base_url, places=[SITE], now=now)[SITE].alerts == (), (
        "none of them is in New Jersey"
    )
