"""Open-Meteo: the hour before the stamp, null tails, units, and runs that do not say when they were issued."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest_httpserver import HTTPServer

from jobs.domain.errors import OutsideFailure
from planner.forecast.models import ForecastRun
from planner.forecast.services import pull_forecast
from planner.forecast.sources.open_meteo import LEAST_LIFE, read_open_meteo
from planner.forecast.sources.source import Fetched
from planner.forecast.url_memory import DatabaseMemory
from tests.planner.forecast.recordings import recorded_open_meteo
from tests.planner.forecast.weather import MONDAY, SITE
from tests.planner.forecast.written import HOUR, open_meteo, open_meteo_reply

START = datetime(2026, 6, 1, tzinfo=UTC)


def read(payload: dict[str, Any]) -> Any:
    return read_open_meteo(payload, issued_at=START)


@settings(max_examples=40)
@given(st.lists(st.none() | st.integers(0, 200), min_size=24, max_size=24))
def test_rain_gusts_and_chances_belong_to_the_hour_before_their_stamp(tenths: list[int | None]) -> None:
    rain = [None if value is None else value / 10 for value in tenths]
    gusts = [None if value is None else value / 10 for value in tenths]
    chances = [None if value is None else value // 2 for value in tenths]
    series = read(
        open_meteo_reply(START, hours=24, precipitation=rain, wind_gusts_10m=gusts, precipitation_probability=chances)
    )
    assert series.start_at == START - HOUR
    assert list(series.rain_mm) == [pytest.approx(value) for value in rain] + [None]
    assert list(series.gust_m_s[:-1]) == [pytest.approx(value) for value in gusts]
    assert list(series.rain_chance[:-1]) == [None if value is None else value / 100 for value in chances]


def test_what_holds_at_a_stamp_is_averaged_over_the_hour_after_it() -> None:
    temps = [10.0 + at for at in range(24)]
    series = read(open_meteo_reply(START, hours=24, temperature_2m=temps))
    assert series.air_temp_c[0] is None
    assert list(series.air_temp_c[1:-1]) == pytest.approx([10.5 + at for at in range(23)])
    assert series.air_temp_c[-1] is None, "the hour after the last stamp has no end"


def test_null_tails_of_different_length_are_unknown() -> None:
    payload = open_meteo_reply(START, hours=48)
    payload["hourly"]["precipitation"][40:] = [None] * 8
    payload["hourly"]["temperature_2m"][44:] = [None] * 4
    del payload["hourly"]["cloud_cover"]
    payload["hourly"]["dew_point_2m"] = None
    series = read(payload)
    assert [at for at, value in enumerate(series.rain_mm) if value is None] == list(range(40, 49))
    assert [at for at, value in enumerate(series.air_temp_c) if value is None] == [0, *range(44, 49)]
    assert set(series.sky_cover) | set(series.dew_point_c) == {None}


def test_units_become_ours() -> None:
    payload = open_meteo_reply(START, hours=24)
    payload["hourly_units"] |= {"temperature_2m": "°F", "wind_speed_10m": "mp/h", "precipitation": "inch"}
    payload["hourly"] |= {"temperature_2m": [212 / 4] * 24, "wind_speed_10m": [10] * 24, "precipitation": [0.01] * 24}
    series = read(payload)
    assert series.air_temp_c[5] == pytest.approx((53 - 32) * 5 / 9)
    assert series.wind_m_s[5] == pytest.approx(10 * 1609.344 / 3600)
    assert series.rain_mm[5] == pytest.approx(0.254)


def test_stamps_as_seconds_read_alike() -> None:
    payload = open_meteo_reply(START, hours=24)
    expected = read(payload)
    payload["hourly"]["time"] = [int((START + at * HOUR).timestamp()) for at in range(24)]
    assert read(payload) == expected


def test_a_storm_code_is_a_chance_of_thunder_on_both_sides_of_its_stamp() -> None:
    codes = [1] * 24
    codes[6] = 95
    series = read(open_meteo_reply(START, hours=24, weather_code=codes))
    assert series.thunder_chance[5:9] == (None, 0.25, 0.25, None)


@pytest.mark.parametrize("name", ["statham_multimodel_2026-07-30T1208Z", "ecmwf_nj_2026-09-01.excerpt_pop"])
def test_recorded_replies_in_a_local_zone_are_refused(name: str) -> None:
    """One offset on both sides of a clock change makes hours that do not exist; we never ask for a local zone."""
    with pytest.raises(OutsideFailure) as caught:
        read(recorded_open_meteo(name))
    assert (caught.value.code, caught.value.field) == ("forecast.bad_value", "utc_offset_seconds")


def test_a_recorded_column_reads_as_it_is_written() -> None:
    """Source: recorded reply of 2026-08-03, one model's columns under their plain names, zone moved to GMT."""
    payload = recorded_open_meteo("statham_multimodel_2026-08-03T1321Z")
    series = read(as_one_model(payload, "ncep_nbm_conus"))
    first = datetime.fromisoformat(payload["hourly"]["time"][0] + "-04:00")
    inches = payload["hourly"]["precipitation_ncep_nbm_conus"]
    for at, inch in enumerate(inches):
        assert series.value("rain_mm", first + (at - 1) * HOUR) == pytest.approx(inch * 25.4)


def as_one_model(payload: dict[str, Any], model: str) -> dict[str, Any]:
    names = ("temperature_2m", "precipitation", "precipitation_probability")
    moved = timedelta(seconds=-payload["utc_offset_seconds"])
    times = [(datetime.fromisoformat(text) + moved).isoformat(timespec="minutes") for text in payload["hourly"]["time"]]
    return {
        "utc_offset_seconds": 0,
        "hourly_units": {name: payload["hourly_units"][f"{name}_{model}"] for name in names},
        "hourly": {"time": times} | {name: payload["hourly"][f"{name}_{model}"] for name in names},
    }


def with_hourly(**columns: Any) -> dict[str, Any]:
    payload = open_meteo_reply(START, hours=24)
    payload["hourly"] |= columns
    return payload


@pytest.mark.parametrize(
    ("payload", "code", "field"),
    [
        (with_hourly(time=None), "forecast.bad_value", "time"),
        (with_hourly(time=[]), "forecast.no_values", ""),
        (with_hourly(time=["2026-06-01T00:00"] * 24), "forecast.bad_time", "time"),
        (with_hourly(time=["soon"] * 24), "forecast.bad_time", "time"),
        (with_hourly(precipitation=[0.0] * 23), "forecast.bad_value", "precipitation"),
        (with_hourly(precipitation=[-1.0] * 24), "forecast.out_of_range", "precipitation"),
        (with_hourly(temperature_2m=["20"] * 24), "forecast.bad_value", "temperature_2m"),
        (with_hourly(temperature_2m=[None] * 24), "forecast.no_values", ""),
    ],
)
def test_each_fault_is_named(payload: dict[str, Any], code: str, field: str) -> None:
    with pytest.raises(OutsideFailure) as caught:
        read(payload)
    assert (caught.value.code, caught.value.field) == (code, field)


def test_it_is_asked_in_greenwich_time_and_our_units(httpserver: HTTPServer) -> None:
    httpserver.expect_request("/v1/forecast").respond_with_json(open_meteo_reply(START))
    assert isinstance(open_meteo(httpserver).fetch_grid("40.70,-74.20", MONDAY), Fetched)
    asked = httpserver.log[0][0].args
    assert (asked["timezone"], asked["wind_speed_unit"], asked["latitude"]) == ("GMT", "ms", "40.70")
    assert "apikey" not in asked
    assert "precipitation_probability" in asked["hourly"].split(",")


def test_a_refusal_keeps_its_reason(httpserver: HTTPServer) -> None:
    payload = recorded_open_meteo("errors/400_coordinates")
    httpserver.expect_request("/v1/forecast").respond_with_json(payload, status=400)
    with pytest.raises(OutsideFailure, match="same number of elements"):
        open_meteo(httpserver).fetch_grid("40.70,-74.20", MONDAY)


@pytest.mark.django_db
def test_a_reply_with_nothing_new_is_the_old_run_and_grows_old(httpserver: HTTPServer) -> None:
    """The service does not say when a run was issued; what it says tells whether it is another."""

    def serve(start_at: datetime, **columns: Any) -> None:
        httpserver.clear()
        reply = open_meteo_reply(start_at, **columns)
        reply["generationtime_ms"] = start_at.timestamp() % 7 + len(columns)
        httpserver.expect_request("/v1/forecast").respond_with_json(reply)

    source = open_meteo(httpserver, DatabaseMemory())
    serve(START)
    first, created = pull_forecast(source=source, place=SITE, now=MONDAY)
    assert created
    assert first.issued_at == MONDAY
    pull_forecast(source=source, place=SITE, now=MONDAY + LEAST_LIFE / 2)
    assert len(httpserver.log) == 1, "not asked again at once, though it names no lifetime"

    serve(START + 24 * HOUR)
    same, created = pull_forecast(source=source, place=SITE, now=MONDAY + 20 * HOUR)
    assert (same.pk, created) == (first.pk, False)
    assert (same.issued_at, same.checked_at) == (MONDAY, MONDAY + 20 * HOUR)

    serve(START + 24 * HOUR, precipitation=[0.4] * 96)
    other, created = pull_forecast(source=source, place=SITE, now=MONDAY + 21 * HOUR)
    assert created
    assert other.issued_at == MONDAY + 21 * HOUR
    assert ForecastRun.objects.count() == 2
