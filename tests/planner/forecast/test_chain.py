"""Which services are asked, in which order, once a cell, and whose run then counts."""

import json
from datetime import timedelta
from typing import Any

import pytest
from pytest_httpserver import HTTPServer

from jobs.domain.errors import CannotDo, DryWindowError, OutsideFailure
from jobs.models import Branch
from planner.forecast.chain import nws_of, sources_of
from planner.forecast.domain.outside.providers import PROVIDERS, order_for
from planner.forecast.domain.place import Place
from planner.forecast.models import ForecastRun, GridPlace, RecordedSky
from planner.forecast.pulling import pull_chain
from planner.forecast.sources.nws_writer import as_body, write_point
from planner.forecast.sources.source import ForecastSource
from planner.forecast.url_memory import DatabaseMemory
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast.weather import MONDAY, SITE, ZONE, replay
from tests.planner.forecast.written import GEO, PROBLEM, base, body, met, met_reply, nws

NEAR = Place(latitude=40.7101, longitude=-74.2101)
FAR = Place(latitude=40.5, longitude=-74.6)
GOOD = replay().fetch(SITE, MONDAY).body
CELLS = {SITE: "PHI/85,102", NEAR: "PHI/85,102", FAR: "PHI/70,90"}


def places_are_known(server: HTTPServer) -> None:
    for place, key in CELLS.items():
        point = write_point(place, grid_key=key, zone=ZONE, base_url=base(server))
        server.expect_request(f"/points/{place.text}").respond_with_data(as_body(point), content_type=GEO)


def paths(server: HTTPServer) -> list[str]:
    return [request.path for request, _ in server.log]


@pytest.mark.parametrize(
    ("country", "open_meteo", "expected"),
    [
        ("US", False, ["nws", "nws_hourly", "met"]),
        ("US", True, ["nws", "nws_hourly", "met", "open_meteo"]),
        ("pr", False, ["nws", "nws_hourly", "met"]),
        ("NO", False, ["met"]),
        ("DE", True, ["met", "open_meteo"]),
    ],
)
def test_the_order_follows_the_country(country: str, open_meteo: bool, expected: list[str]) -> None:
    order = order_for(country, open_meteo=open_meteo)
    assert [provider.key for provider in order] == expected
    assert all(provider.credit and PROVIDERS[provider.key] == provider for provider in order)


def a_branch(country: str = "US") -> Branch:
    return Branch.objects.create(
        name=country,
        slug=country.lower(),
        company="B",
        zone=ZONE,
        country=country,
        opens="07:00",
        closes="15:00",
        yard_latitude=40.7,
        yard_longitude=-74.2,
    )


@pytest.mark.django_db
def test_open_meteo_is_asked_only_with_a_key_or_a_server_of_ones_own(settings: Any) -> None:
    branch = a_branch("DE")
    assert [source.name for source in sources_of(branch=branch)] == ["met"]
    settings.PLANNER_OPEN_METEO_KEY = "k"
    assert [source.name for source in sources_of(branch=branch)] == ["met", "open_meteo"]
    settings.PLANNER_OPEN_METEO_KEY, settings.PLANNER_OPEN_METEO_URL = "", "http://127.0.0.1:9"
    assert [source.name for source in sources_of(branch=branch)] == ["met", "open_meteo"]
    assert nws_of(branch=branch) is None


@pytest.mark.django_db
def test_nobody_is_asked_without_a_contact(settings: Any) -> None:
    settings.PLANNER_USER_AGENT = "Our pools"
    for country in ("US", "DE"):
        with pytest.raises(CannotDo, match="PLANNER_USER_AGENT"):
            sources_of(branch=a_branch(country))


@pytest.mark.django_db
def test_a_recorded_sky_has_nothing_to_stand_in_for_it() -> None:
    branch = a_branch()
    RecordedSky.objects.create(branch=branch, record="ewr_2013_hourly.csv.gz", shift_days=4774, seed=4)
    assert [source.name for source in sources_of(branch=branch)] == ["replay"]
    assert nws_of(branch=branch) is None


@pytest.mark.django_db
def test_sites_of_one_cell_share_one_request(httpserver: HTTPServer) -> None:
    places_are_known(httpserver)
    for key in set(CELLS.values()):
        httpserver.expect_request(f"/gridpoints/{key}").respond_with_data(GOOD, content_type=GEO)
    pull = pull_chain(sources=[nws(httpserver, DatabaseMemory())], places=list(CELLS), now=MONDAY)
    grids = [path for path in paths(httpserver) if path.startswith("/gridpoints")]
    assert sorted(grids) == ["/gridpoints/PHI/70,90", "/gridpoints/PHI/85,102"]
    assert pull.runs[SITE].pk == pull.runs[NEAR].pk != pull.runs[FAR].pk
    assert (len(pull.new), pull.failed, pull.notes) == (2, {}, {})


@pytest.mark.django_db
def test_one_bad_cell_leaves_the_others_and_gets_a_stand_in(httpserver: HTTPServer) -> None:
    places_are_known(httpserver)
    httpserver.expect_request("/gridpoints/PHI/85,102").respond_with_data(GOOD, content_type=GEO)
    expired = json.dumps(recorded("errors", "503_ForecastGridExpired_2020"))
    httpserver.expect_request("/gridpoints/PHI/70,90").respond_with_data(expired, status=503, content_type=PROBLEM)
    with HTTPServer() as second:
        second.expect_request("/complete").respond_with_data(body(met_reply(MONDAY)), content_type="application/json")
        sources: list[ForecastSource] = [nws(httpserver, DatabaseMemory()), met(second, DatabaseMemory())]
        pull = pull_chain(sources=sources, places=list(CELLS), now=MONDAY)
        assert {place: run.source for place, run in pull.runs.items()} == {SITE: "nws", NEAR: "nws", FAR: "met"}
        assert pull.failed == {}
        assert list(pull.notes) == [FAR]
        assert "has not sent a current forecast" in pull.notes[FAR][0]
        assert len(second.log) == 1


@pytest.mark.django_db
def test_a_host_that_refuses_is_not_asked_for_the_next_cell(httpserver: HTTPServer) -> None:
    places_are_known(httpserver)
    for key in set(CELLS.values()):
        httpserver.expect_request(f"/gridpoints/{key}").respond_with_data(
            b"<html></html>", status=403, content_type="text/html"
        )
    pull = pull_chain(sources=[nws(httpserver)], places=list(CELLS), now=MONDAY)
    assert len([path for path in paths(httpserver) if path.startswith("/gridpoints")]) == 1
    assert {failure.code for failure in pull.failed.values()} == {"forecast.refused_html"}
    assert pull.runs == {}


@pytest.mark.django_db
def test_a_cell_that_became_sea_is_looked_up_and_then_stood_in_for(httpserver: HTTPServer) -> None:
    """Source: recorded problem body; shoreline cells were re-aligned into the sea in 2026."""
    places_are_known(httpserver)
    httpserver.expect_request("/gridpoints/PHI/85,102").respond_with_data(GOOD, content_type=GEO)
    memory = DatabaseMemory()
    pull_chain(sources=[nws(httpserver, memory)], places=[SITE], now=MONDAY)
    httpserver.clear()
    marine = json.dumps(recorded("errors", "404_MarineForecastNotSupported"))
    for path in ("/gridpoints/PHI/85,102", f"/points/{SITE.text}"):
        httpserver.expect_request(path).respond_with_data(marine, status=404, content_type=PROBLEM)
    later = MONDAY + timedelta(hours=2)
    with HTTPServer() as second:
        second.expect_request("/complete").respond_with_data(body(met_reply(later)), content_type="application/json")
        pull = pull_chain(sources=[nws(httpserver, memory), met(second, memory)], places=[SITE], now=later)
    assert pull.runs[SITE].source == "met"
    assert "open water" in pull.notes[SITE][0]
    assert paths(httpserver) == ["/gridpoints/PHI/85,102", f"/points/{SITE.text}"]


@pytest.mark.django_db
def test_a_place_nobody_covers_is_for_a_person(httpserver: HTTPServer) -> None:
    problem = json.dumps(recorded("errors", "404_InvalidPoint_outside_us"))
    httpserver.expect_request(f"/points/{SITE.text}").respond_with_data(problem, status=404, content_type=PROBLEM)
    httpserver.expect_request("/complete").respond_with_data(b"", status=422)
    with pytest.raises(CannotDo):
        pull_chain(sources=[nws(httpserver), met(httpserver)], places=[SITE], now=MONDAY)


@pytest.mark.django_db
def test_a_service_that_is_down_says_more_than_one_without_coverage(httpserver: HTTPServer) -> None:
    problem = json.dumps(recorded("errors", "404_InvalidPoint_outside_us"))
    httpserver.expect_request(f"/points/{SITE.text}").respond_with_data(problem, status=404, content_type=PROBLEM)
    httpserver.expect_request("/complete").respond_with_data(b"", status=503)
    pull = pull_chain(sources=[nws(httpserver), met(httpserver)], places=[SITE], now=MONDAY)
    failure: DryWindowError = pull.failed[SITE]
    assert isinstance(failure, OutsideFailure)
    assert len(pull.notes[SITE]) == 2


@pytest.mark.django_db
def test_a_run_too_old_to_use_is_kept_and_stood_in_for(httpserver: HTTPServer) -> None:
    places_are_known(httpserver)
    httpserver.expect_request("/gridpoints/PHI/85,102").respond_with_data(GOOD, content_type=GEO)
    later = MONDAY + timedelta(hours=30)
    with HTTPServer() as second:
        second.expect_request("/complete").respond_with_data(body(met_reply(later)), content_type="application/json")
        sources: list[ForecastSource] = [nws(httpserver, DatabaseMemory()), met(second, DatabaseMemory())]
        pull = pull_chain(sources=sources, places=[SITE], now=later)
    assert pull.runs[SITE].source == "met"
    assert set(ForecastRun.objects.values_list("source", flat=True)) == {"nws", "met"}
    assert "its newest forecast is of" in pull.notes[SITE][0]


@pytest.mark.django_db
def test_a_place_is_looked_up_again_each_week_and_the_old_cell_serves_meanwhile(httpserver: HTTPServer) -> None:
    places_are_known(httpserver)
    httpserver.expect_request("/gridpoints/PHI/85,102").respond_with_data(GOOD, content_type=GEO)
    source = nws(httpserver, DatabaseMemory())
    pull_chain(sources=[source], places=[SITE], now=MONDAY)
    pull_chain(sources=[source], places=[SITE], now=MONDAY + timedelta(days=6))
    assert len([path for path in paths(httpserver) if path.startswith("/points")]) == 1
    httpserver.clear()
    httpserver.expect_request(f"/points/{SITE.text}").respond_with_data(b"{}", status=503, content_type=PROBLEM)
    newer = replay().fetch(SITE, MONDAY + timedelta(days=8)).body
    httpserver.expect_request("/gridpoints/PHI/85,102").respond_with_data(newer, content_type=GEO)
    pull = pull_chain(sources=[source], places=[SITE], now=MONDAY + timedelta(days=8))
    assert pull.new
    assert len(paths(httpserver)) == 2


@pytest.mark.django_db
def test_what_one_service_says_of_the_altitude_is_told_to_the_next(httpserver: HTTPServer) -> None:
    places_are_known(httpserver)
    grid = json.loads(GOOD)
    grid["properties"]["elevation"] = {"unitCode": "wmoUnit:m", "value": 61.9}
    httpserver.expect_request("/gridpoints/PHI/85,102").respond_with_data(json.dumps(grid), content_type=GEO)
    httpserver.expect_request("/complete").respond_with_data(body(met_reply(MONDAY)), content_type="application/json")
    memory = DatabaseMemory()
    pull_chain(sources=[nws(httpserver, memory)], places=[SITE], now=MONDAY)
    pull_chain(sources=[met(httpserver, memory)], places=[SITE], now=MONDAY)
    assert httpserver.log[-1][0].args["altitude"] == "62"
    assert GridPlace.objects.get(source="met").grid_key == "40.70,-74.20,62"
