"""MET Norway's location forecast: recorded replies, hour conventions, and what is refused."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest_httpserver import HTTPServer

from jobs.domain.errors import CannotDo, OutsideFailure
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import VARIABLES
from planner.forecast.sources.met import read_locationforecast
from planner.forecast.sources.source import Fetched
from tests.planner.forecast.recordings import recorded_met
from tests.planner.forecast.weather import MONDAY, SITE
from tests.planner.forecast.written import HOUR, body, met, met_reply

START = datetime(2026, 6, 1, 10, tzinfo=UTC)
RECORDED = ("lat40.7lon-74.0altitude10_compact", "lat51.5lon-0.1altitude25_complete")


def unwrapped(name: str) -> dict[str, Any]:
    payload = recorded_met(name)
    inner: dict[str, Any] = payload.get("data", payload)
    return inner


@pytest.mark.parametrize("name", RECORDED)
def test_recorded_replies_read_as_they_are_written(name: str) -> None:
    payload = unwrapped(name)
    steps = payload["properties"]["timeseries"]
    series = read_locationforecast(payload)
    assert series.start_at == datetime.fromisoformat(steps[0]["time"])
    assert series.end_at == datetime.fromisoformat(steps[-1]["time"])
    for first, second in pairwise(steps[:55]):
        at = datetime.fromisoformat(first["time"])
        ends = [step["data"]["instant"]["details"]["air_temperature"] for step in (first, second)]
        assert series.value("air_temp_c", at) == pytest.approx(sum(ends) / 2)
        assert series.value("rain_mm", at) == first["data"]["next_1_hours"]["details"]["precipitation_amount"]
    for step in steps[55:-1]:
        at = datetime.fromisoformat(step["time"])
        block = series.between("rain_mm", at, at + 6 * HOUR)
        stated = step["data"]["next_6_hours"]["details"]["precipitation_amount"]
        assert sum(value for value in block if value is not None) == pytest.approx(stated)
        assert None not in block
    assert set(series.gust_m_s) == {None}, "stated in the Nordic countries alone"
    assert None not in series.rain_chance


def test_spans_of_one_step_are_not_added() -> None:
    """Source: the recording's own amounts; the hours and the six hours of a step overlap."""
    payload = unwrapped("lat40.347lon-74.064_complete_2026-08-24.excerpt5h")
    series = read_locationforecast(payload)
    assert [round(v, 1) for v in series.rain_mm[:5] if v is not None] == [0.0, 0.2, 0.3, 0.0, 0.0]


def test_the_dew_point_of_the_short_reply_is_made_from_humidity() -> None:
    """Source: the long reply states both; ours from its humidity must agree with the service's own."""
    payload = unwrapped("lat51.5lon-0.1altitude25_complete")
    stated = read_locationforecast(payload).dew_point_c
    for step in payload["properties"]["timeseries"]:
        del step["data"]["instant"]["details"]["dew_point_temperature"]
    made = read_locationforecast(payload).dew_point_c
    pairs = [(a, b) for a, b in zip(stated, made, strict=True) if a is not None and b is not None]
    assert len(pairs) == sum(value is not None for value in stated)
    assert max(abs(a - b) for a, b in pairs) < 0.25


@settings(max_examples=40)
@given(st.lists(st.integers(0, 80), min_size=36, max_size=36), st.integers(0, 30))
def test_rain_is_conserved_and_falls_in_its_own_hours(tenths: list[int], hourly: int) -> None:
    def rain(at: datetime) -> float:
        hours = int((at - START) / HOUR)
        return tenths[hours] / 10 if 0 <= hours < len(tenths) else 0.0

    payload = met_reply(START, hourly=hourly, six_hourly=9, rain=rain)
    series = read_locationforecast(payload)
    known = [value for value in series.rain_mm if value is not None]
    total = sum(rain(START + at * HOUR) for at in range(hourly + 6 * 8))
    assert sum(known) == pytest.approx(total)
    assert series.rain_mm[:hourly] == pytest.approx([rain(START + at * HOUR) for at in range(hourly)])


def test_stated_chances_count_before_made_ones() -> None:
    series = read_locationforecast(met_reply(START, chance=80.0))
    assert set(series.rain_chance) == {0.8}
    made = read_locationforecast(met_reply(START)).rain_chance
    assert {value for value in made if value is not None} == {0.07, 0.18}, "a dry model is no dry day"


def test_a_wet_model_gives_a_chance_in_the_hours_around() -> None:
    wet_at = START + 20 * HOUR
    series = read_locationforecast(met_reply(START, rain=lambda at: 6.0 if at == wet_at else 0.0))
    assert series.value("rain_chance", wet_at) == pytest.approx(0.57)
    assert series.value("rain_chance", wet_at - 5 * HOUR) == pytest.approx(0.07)


def test_thunder_in_a_symbol_is_a_chance_of_thunder() -> None:
    payload = met_reply(START)
    payload["properties"]["timeseries"][3]["data"]["next_1_hours"]["summary"]["symbol_code"] = "rainandthunder"
    series = read_locationforecast(payload)
    assert series.thunder_chance[2:5] == (None, 0.25, None)


def test_the_last_step_ends_what_is_known() -> None:
    series = read_locationforecast(met_reply(START, hourly=3, six_hourly=2))
    assert series.end_at == START + 9 * HOUR
    assert None not in series.air_temp_c


def broken(path: list[str | int], value: Any) -> dict[str, Any]:
    payload = met_reply(START)
    at: Any = payload["properties"]
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    return payload


INSTANT = ["timeseries", 0, "data", "instant", "details"]


@pytest.mark.parametrize(
    ("path", "value", "code", "field"),
    [
        (["meta", "updated_at"], "yesterday", "forecast.bad_time", "updated_at"),
        (["meta", "units"], None, "forecast.bad_value", "units"),
        (["meta", "units", "wind_speed"], "furlongs", "forecast.unknown_unit", "wind_speed"),
        (["timeseries"], None, "forecast.bad_value", "timeseries"),
        (["timeseries", 0, "time"], "2026-06-01T10:00:00", "forecast.bad_time", "time"),
        (["timeseries", 0, "time"], "2026-06-01T12:00:00Z", "forecast.bad_time", "time"),
        ([*INSTANT, "air_temperature"], "20", "forecast.bad_value", "air_temperature"),
        ([*INSTANT, "air_temperature"], 99.0, "forecast.out_of_range", "air_temperature"),
        ([*INSTANT, "cloud_area_fraction"], 101.0, "forecast.out_of_range", "cloud_area_fraction"),
        (["timeseries", 0, "data", "instant"], [], "forecast.no_values", ""),
    ],
)
def test_each_fault_is_named(path: list[str | int], value: Any, code: str, field: str) -> None:
    payload = broken(path, value)
    if code == "forecast.no_values":
        payload["properties"]["timeseries"] = payload["properties"]["timeseries"][:1]
    with pytest.raises(OutsideFailure) as caught:
        read_locationforecast(payload)
    assert (caught.value.code, caught.value.field) == (code, field)


def test_an_absent_value_is_unknown() -> None:
    payload = met_reply(START)
    for step in payload["properties"]["timeseries"]:
        del step["data"]["instant"]["details"]["wind_speed"]
        step["data"].get("next_1_hours", {}).pop("details", None)
        step["data"].get("next_6_hours", {}).pop("details", None)
    series = read_locationforecast(payload)
    assert set(series.wind_m_s) | set(series.rain_mm) | set(series.rain_chance) == {None}
    assert {name for name in VARIABLES if set(getattr(series, name)) != {None}} == {
        "air_temp_c",
        "dew_point_c",
        "sky_cover",
    }


def test_it_is_asked_with_altitude_and_no_more_decimals_than_allowed(httpserver: HTTPServer) -> None:
    httpserver.expect_request("/complete").respond_with_data(body(met_reply(MONDAY)), content_type="application/json")
    source = met(httpserver)
    high = Place(latitude=40.71234, longitude=-74.0, altitude_m=12.4)
    cell = source.locate(high, MONDAY)
    assert cell.grid_key == "40.71,-74.00,12"
    assert source.locate(SITE, MONDAY).grid_key == "40.70,-74.20"
    assert isinstance(source.fetch_grid(cell.grid_key, MONDAY), Fetched)
    assert httpserver.log[0][0].query_string == b"lat=40.71&lon=-74.00&altitude=12"


@pytest.mark.parametrize("key", ["", "40.70", "40.701,-74.20", "40.70,-74.20,1.5", "40.70,-74.20&x=1"])
def test_a_key_of_another_source_is_refused(httpserver: HTTPServer, key: str) -> None:
    with pytest.raises(CannotDo, match=r"40\.70,-74\.20,12"):
        met(httpserver).fetch_grid(key, MONDAY)
    assert not httpserver.log


def test_a_place_it_does_not_cover_is_for_a_person(httpserver: HTTPServer) -> None:
    httpserver.expect_request("/complete").respond_with_data(b"", status=422, content_type="text/plain")
    with pytest.raises(CannotDo) as caught:
        met(httpserver).fetch_grid("40.70,-74.20", MONDAY)
    assert caught.value.code == "forecast.no_such_place"


def test_a_version_about_to_go_is_logged(httpserver: HTTPServer, caplog: pytest.LogCaptureFixture) -> None:
    httpserver.expect_request("/complete").respond_with_data(
        body(met_reply(MONDAY)), status=203, content_type="application/json"
    )
    assert isinstance(met(httpserver).fetch_grid("40.70,-74.20", MONDAY), Fetched)
    assert "withdrawn" in caplog.text


def test_a_run_counts_its_age_from_its_own_stamp(httpserver: HTTPServer) -> None:
    reply = met_reply(MONDAY, updated_at=MONDAY - timedelta(hours=3))
    httpserver.expect_request("/complete").respond_with_data(body(reply), content_type="application/json")
    fetched = met(httpserver).fetch_grid("40.70,-74.20", MONDAY)
    assert isinstance(fetched, Fetched)
    assert fetched.issued_at == MONDAY - timedelta(hours=3)
