"""Station reports as hours, kept by station and day."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from jobs.domain.errors import OutsideFailure
from planner.forecast.around.observations import keep_day, measured_near, pull_observations, rain_between
from planner.forecast.domain.outside.observed import Report, filled, hours_of
from planner.forecast.models import StationDay
from planner.forecast.snapshots import observed_of
from planner.forecast.sources.nws_observations import read_reports, read_stations
from planner.forecast.sources.nws_writer import as_body, write_point
from planner.forecast.url_memory import DatabaseMemory
from tests.planner.forecast.weather import MONDAY, SITE, ZONE
from tests.planner.forecast.written import GEO, HOUR, PROBLEM, base, nws, report_feature, stations_reply

MINUTE = timedelta(minutes=1)
DRY = "KEWR 011051Z 18010KT 10SM FEW250 20/09 A3001 RMK AO2 SLP161 T02000090"


def reports(*features: dict[str, Any]) -> tuple[Report, ...]:
    return read_reports({"features": list(features)})


def hour(*features: dict[str, Any], hours: int = 1) -> Any:
    start_at = MONDAY.replace(minute=0)
    return hours_of(reports(*features), source="x", start_at=start_at, hours=hours, fetched_at=MONDAY)


@pytest.mark.parametrize(
    ("raw", "stated", "rain_mm"),
    [
        ("", 2.5, 2.5),
        ("", None, None),
        (DRY, None, 0.0),
        (DRY.replace("AO2", "AO2 P0012"), None, 12 * 0.254),
        (DRY.replace("AO2", "AO2 P0000"), None, 0.0),
        (DRY.replace("SLP161", "PNO"), None, None),
        (DRY.replace("AO2", "AO1"), None, None),
    ],
)
def test_rain_that_is_null_is_unknown_unless_the_text_tells(
    raw: str, stated: float | None, rain_mm: float | None
) -> None:
    """Source: FMH-1 remarks AO2, P-group (hundredths of an inch) and PNO, from memory."""
    found = reports(report_feature(MONDAY, rain_mm=stated, raw=raw))[0].rain_mm
    assert found == (None if rain_mm is None else pytest.approx(rain_mm))


def test_units_and_marks() -> None:
    (report,) = reports(report_feature(MONDAY, rain_mm=1.0))
    assert (report.at, report.air_temp_c, report.wind_m_s, report.gust_m_s) == (MONDAY, 20.0, 5.0, None)
    rejected = reports(report_feature(MONDAY, rain_mm=1.0, mark="qc:X"))[0]
    assert (rejected.air_temp_c, rejected.rain_mm) == (None, None)
    assert reports(report_feature(MONDAY, temp_c=-100))[0].air_temp_c is None, "no thermometer has read that"
    old = report_feature(MONDAY)
    old["properties"]["precipitationLastHour"] = {"unitCode": "unit:m", "value": 0.002, "qualityControl": "qc:C"}
    assert reports(old)[0].rain_mm == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("minute", "expected"),
    [(53, (2.0, None)), (0, (None, None)), (29, (None, None)), (30, (2.0, None)), (60, (2.0, None)), (90, (None, 2.0))],
)
def test_a_report_counts_for_the_hour_it_mostly_sums(minute: int, expected: tuple[float | None, ...]) -> None:
    """One of 10:53 sums 09:53 to 10:53, 53 minutes of which are the hour of ten; one of 11:00 sums that hour."""
    assert hour(report_feature(MONDAY + minute * MINUTE, rain_mm=2.0), hours=2).rain_mm == expected


def test_reports_between_repeat_what_has_fallen() -> None:
    series = hour(
        report_feature(MONDAY + 35 * MINUTE, rain_mm=0.5, temp_c=20.0),
        report_feature(MONDAY + 45 * MINUTE, rain_mm=1.5, temp_c=18.0),
        report_feature(MONDAY + 53 * MINUTE, rain_mm=1.8, temp_c=16.0),
    )
    assert (series.rain_mm, series.air_temp_c) == ((1.8,), (18.0,))
    assert series.rain_chance == series.sky_cover == (None,)


@given(st.lists(st.tuples(st.integers(0, 3000), st.none() | st.integers(0, 40)), max_size=30))
def test_an_hour_is_known_exactly_where_a_report_is(stated: list[tuple[int, int | None]]) -> None:
    found = [
        Report(at=MONDAY + minute * MINUTE, air_temp_c=None, dew_point_c=None, wind_m_s=None, gust_m_s=None, rain_mm=mm)
        for minute, mm in stated
    ]
    series = hours_of(found, source="x", start_at=MONDAY, hours=50, fetched_at=MONDAY)
    for at, value in enumerate(series.rain_mm):
        own = [mm for minute, mm in stated if mm is not None and (minute - 30) // 60 == at]
        assert value == (max(own) if own else None)


def test_stations_come_nearest_first_and_not_from_afar() -> None:
    payload = stations_reply(("KFAR", 42.0, -74.2), ("KTEB", 40.85, -74.06), ("KEWR", 40.68, -74.17))
    assert [station.code for station in read_stations(payload, SITE)] == ["KEWR", "KTEB"]
    for code in ("", "../x", "K" * 20):
        with pytest.raises(OutsideFailure):
            read_stations(stations_reply((code, 40.7, -74.2)), SITE)


class Service:
    """Two stations; what each reports is told by the test."""

    def __init__(self, server: HTTPServer) -> None:
        self.reports: dict[str, list[dict[str, Any]]] = {"KEWR": [], "KTEB": []}
        self.asked: list[tuple[str, str, str]] = []
        point = write_point(SITE, grid_key="PHI/85,102", zone=ZONE, base_url=base(server))
        server.expect_request(f"/points/{SITE.text}").respond_with_data(as_body(point), content_type=GEO)
        near = stations_reply(("KEWR", 40.68, -74.17), ("KTEB", 40.85, -74.06))
        server.expect_request("/gridpoints/PHI/85,102/stations").respond_with_data(json.dumps(near), content_type=GEO)
        for code in self.reports:
            server.expect_request(f"/stations/{code}/observations").respond_with_handler(self)

    def __call__(self, request: Request) -> Response:
        station = request.path.split("/")[2]
        from_at, until_at = (datetime.fromisoformat(request.args[name]) for name in ("start", "end"))
        self.asked.append((station, request.args["start"], request.args["end"]))
        inside = [
            feature
            for feature in self.reports[station]
            if from_at <= datetime.fromisoformat(feature["properties"]["timestamp"]) < until_at
        ]
        return Response(json.dumps({"features": inside}), content_type=GEO)

    def report(self, station: str, from_at: datetime, until_at: datetime, rain_mm: float | None) -> None:
        at = from_at + 53 * MINUTE
        while at < until_at:
            self.reports[station].append(report_feature(at, rain_mm=rain_mm))
            at += HOUR


@pytest.mark.django_db
def test_days_are_fetched_kept_and_not_asked_for_again(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    service.report("KEWR", MONDAY - timedelta(days=3), MONDAY, 0.5)
    assert pull_observations(source=source, place=SITE, now=MONDAY, days=2) == "KEWR"
    assert [(station, start) for station, start, _ in service.asked] == [
        ("KEWR", "2026-05-30T00:00:00Z"),
        ("KEWR", "2026-05-31T00:00:00Z"),
        ("KEWR", "2026-06-01T00:00:00Z"),
    ]
    pull_observations(source=source, place=SITE, now=MONDAY + 10 * MINUTE, days=2)
    assert len(service.asked) == 3
    service.report("KEWR", MONDAY, MONDAY + HOUR, 4.0)
    pull_observations(source=source, place=SITE, now=MONDAY + HOUR, days=2)
    assert [start for _, start, _ in service.asked[3:]] == ["2026-06-01T00:00:00Z"], "settled days stay as they are"
    assert StationDay.objects.count() == 3
    found = measured_near(source="nws", places=[SITE], from_at=MONDAY - 10 * HOUR, now=MONDAY + HOUR)[SITE]
    assert found.source == "station KEWR"
    assert rain_between(found, MONDAY - 10 * HOUR, MONDAY + HOUR) == (pytest.approx(9.0), 1.0)


@pytest.mark.django_db
def test_a_station_without_rain_reports_gives_way_to_the_next(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    service.report("KEWR", MONDAY - timedelta(days=3), MONDAY, None)
    service.report("KTEB", MONDAY - timedelta(days=3), MONDAY, 0.0)
    assert pull_observations(source=source, place=SITE, now=MONDAY, days=2) == "KTEB"
    found = measured_near(source="nws", places=[SITE], from_at=MONDAY - 10 * HOUR, now=MONDAY)[SITE]
    assert found.source == "station KTEB"
    assert rain_between(found, MONDAY - 10 * HOUR, MONDAY) == (0.0, 1.0)


@pytest.mark.django_db
def test_no_reports_are_no_dryness(httpserver: HTTPServer) -> None:
    Service(httpserver)
    source = nws(httpserver, DatabaseMemory())
    assert pull_observations(source=source, place=SITE, now=MONDAY, days=1) == ""
    found = measured_near(source="nws", places=[SITE], from_at=MONDAY - 10 * HOUR, now=MONDAY)[SITE]
    assert rain_between(found, MONDAY - 10 * HOUR, MONDAY) == (0.0, 0.0)
    assert measured_near(source="nws", places=[], from_at=MONDAY, now=MONDAY) == {}


@pytest.mark.django_db
def test_a_failing_service_is_told_and_what_was_kept_stays(httpserver: HTTPServer) -> None:
    service, source = Service(httpserver), nws(httpserver, DatabaseMemory())
    service.report("KEWR", MONDAY - timedelta(days=3), MONDAY, 0.5)
    pull_observations(source=source, place=SITE, now=MONDAY, days=1)
    httpserver.clear()
    httpserver.expect_request("/stations/KEWR/observations").respond_with_data(b"{}", status=503, content_type=PROBLEM)
    httpserver.expect_request("/stations/KTEB/observations").respond_with_data(b"{}", status=503, content_type=PROBLEM)
    with pytest.raises(OutsideFailure):
        pull_observations(source=source, place=SITE, now=MONDAY + HOUR, days=1)
    found = measured_near(source="nws", places=[SITE], from_at=MONDAY - 5 * HOUR, now=MONDAY)[SITE]
    assert rain_between(found, MONDAY - 5 * HOUR, MONDAY)[1] == 1.0


@pytest.mark.django_db
def test_a_shorter_reply_later_takes_nothing_away() -> None:
    midnight = datetime(2026, 6, 1, tzinfo=UTC)

    def day(*features: dict[str, Any], at: datetime) -> None:
        series = hours_of(reports(*features), source="KEWR", start_at=midnight, hours=24, fetched_at=at)
        keep_day(series, station="KEWR")

    day(
        report_feature(midnight + 53 * MINUTE, rain_mm=1.0),
        report_feature(midnight + 113 * MINUTE, rain_mm=2.0),
        at=MONDAY,
    )
    day(report_feature(midnight + 113 * MINUTE, rain_mm=2.5), at=MONDAY + HOUR)
    row = StationDay.objects.get()
    assert row.fetched_at == MONDAY + HOUR
    found = hours_of((), source="x", start_at=midnight, hours=24, fetched_at=MONDAY)
    assert filled(found, observed_of(row)).rain_mm[:3] == (1.0, 2.5, None)
    with pytest.raises(ValueError):
        filled(found, hours_of((), source="x", start_at=midnight, hours=23, fetched_at=MONDAY))
