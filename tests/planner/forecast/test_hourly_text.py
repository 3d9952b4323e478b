"""The hourly text of the US service: every recorded reply, and every way a period may be wrong."""

import json
import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from pytest_httpserver import HTTPServer

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.outside.providers import NWS_HOURLY
from planner.forecast.sources.nws_hourly import read_hourly, read_wind
from planner.forecast.sources.source import Fetched
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast.written import GEO, nws_hourly

CAPTURES = (
    "FFC_statham_2026-07-30T1208Z",
    "FFC_statham_2026-08-01T1137Z",
    "FFC_statham_2026-08-02T1137Z",
    "FFC_statham_2026-08-04T1221Z",
    "ALY_71_67_2026-07-15.recon",
)
MPH = 1609.344 / 3600


@pytest.mark.parametrize("name", CAPTURES)
def test_each_recorded_hour_reads_as_it_is_written(name: str) -> None:
    """Source: recorded replies; a mile is 1609.344 m, the freezing point 32 °F."""
    payload = recorded("hourly", name)
    series = read_hourly(payload)
    periods = payload["properties"]["periods"]
    assert series.hours == len(periods) == 156
    assert series.issued_at == datetime.fromisoformat(payload["properties"]["updateTime"])
    for at, period in enumerate(periods):
        moment = datetime.fromisoformat(period["startTime"])
        assert series.start_at + at * timedelta(hours=1) == moment
        assert series.value("air_temp_c", moment) == pytest.approx((period["temperature"] - 32) / 1.8)
        assert series.value("rain_chance", moment) == period["probabilityOfPrecipitation"]["value"] / 100
        assert series.value("dew_point_c", moment) == pytest.approx(period["dewpoint"]["value"])
        fastest = max(int(number) for number in re.findall(r"\d+", period["windSpeed"]))
        assert series.value("wind_m_s", moment) == pytest.approx(fastest * MPH)
        thunder = series.value("thunder_chance", moment)
        assert (thunder is not None) == ("thunder" in period["shortForecast"].lower() or "/tsra" in period["icon"])
    assert set(series.rain_mm) | set(series.sky_cover) | set(series.gust_m_s) == {None}, "not stated is not dry"


def test_the_reply_of_2019_still_reads() -> None:
    series = read_hourly(recorded("hourly", "pynws_hourly_us"))
    assert series.air_temp_c[0] == pytest.approx((78 - 32) / 1.8)
    assert series.issued_at == datetime(2019, 10, 14, 23, 16, 24, tzinfo=UTC)


def test_the_highest_hour_of_a_half_day_is_the_chance_of_the_half_day() -> None:
    """Source: recorded half-day and hourly replies of the same minute; checks the meaning of our hourly chance."""
    series = read_hourly(recorded("hourly", "FFC_statham_2026-08-02T1137Z"))
    for period in recorded("halfday", "FFC_statham_2026-08-02T1137Z")["properties"]["periods"]:
        from_at, until_at = (datetime.fromisoformat(period[name]) for name in ("startTime", "endTime"))
        inside = series.between("rain_chance", from_at, until_at)
        if None not in inside:
            stated = period["probabilityOfPrecipitation"]["value"] or 0
            assert max(value for value in inside if value is not None) == stated / 100


@pytest.mark.parametrize(
    ("raw", "m_s"),
    [
        ("5 to 10 mph", 10 * MPH),
        ("0 mph", 0.0),
        ("14 mph", 14 * MPH),
        ("10 to 15 km/h", 15 / 3.6),
        ({"unitCode": "wmoUnit:km_h-1", "value": 18}, 5.0),
        ({"unitCode": "wmoUnit:km_h-1", "minValue": 9, "maxValue": 18}, 5.0),
        ({"unitCode": "wmoUnit:km_h-1", "value": None}, None),
        ("", None),
        (None, None),
    ],
)
def test_wind_as_text_or_quantity(raw: Any, m_s: float | None) -> None:
    found = read_wind(raw, "windSpeed")
    assert found == (None if m_s is None else pytest.approx(m_s))


@pytest.mark.parametrize("raw", ["calm", "5", "5 to mph", "-5 mph", "5 furlongs", 5, ["5 mph"], "9999 mph"])
def test_wind_that_is_no_wind_is_refused(raw: Any) -> None:
    with pytest.raises(OutsideFailure) as caught:
        read_wind(raw, "windSpeed")
    assert caught.value.field == "windSpeed"


def reply() -> dict[str, Any]:
    period = {
        "startTime": "2026-07-15T16:00:00-04:00",
        "endTime": "2026-07-15T17:00:00-04:00",
        "temperature": 86,
        "temperatureUnit": "F",
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": None},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 14},
        "windSpeed": "10 mph",
        "windGust": "25 mph",
        "icon": "https://api.weather.gov/icons/land/day/few?size=small",
        "shortForecast": "Sunny",
    }
    return {"properties": {"updateTime": "2026-07-15T18:36:46+00:00", "periods": [period]}}


def test_an_hour_with_quantities_in_place_of_words() -> None:
    payload = reply()
    payload["properties"]["periods"][0] |= {
        "temperature": {"unitCode": "wmoUnit:degC", "value": 30},
        "windSpeed": {"unitCode": "wmoUnit:km_h-1", "value": 18},
    }
    series = read_hourly(payload)
    assert (series.air_temp_c, series.wind_m_s) == ((30.0,), (5.0,))
    assert series.gust_m_s == pytest.approx((25 * MPH,))
    assert series.rain_chance == (None,), "null is not zero"


@pytest.mark.parametrize(
    ("words", "icon", "chance"),
    [
        ("Sunny", "few", None),
        ("Slight Chance Showers And Thunderstorms", "tsra", 0.15),
        ("Chance Rain Showers then Chance Thunderstorms", "tsra", 0.25),
        ("Showers And Thunderstorms Likely", "tsra", 0.55),
        ("Thunderstorms", "tsra", 0.75),
        ("Chance Showers", "tsra_hi,20", 0.15),
    ],
)
def test_words_of_thunder(words: str, icon: str, chance: float | None) -> None:
    payload = reply()
    payload["properties"]["periods"][0] |= {
        "shortForecast": words,
        "icon": f"https://x/icons/land/day/{icon}?size=small",
    }
    assert read_hourly(payload).thunder_chance == (chance,)


@pytest.mark.parametrize(
    ("name", "value", "code", "field"),
    [
        ("startTime", None, "forecast.bad_time", "startTime"),
        ("startTime", "2026-07-15T16:00:00", "forecast.bad_time", "startTime"),
        ("endTime", "2026-07-15T18:00:00-04:00", "forecast.bad_time", "endTime"),
        ("endTime", "2026-07-15T15:00:00-04:00", "forecast.bad_time", "endTime"),
        ("temperature", "warm", "forecast.bad_value", "temperature"),
        ("temperature", 200, "forecast.out_of_range", "temperature"),
        ("temperatureUnit", "R", "forecast.unknown_unit", "temperature"),
        ("dewpoint", 14, "forecast.bad_value", "dewpoint"),
        ("windGust", "strong", "forecast.bad_value", "windGust"),
        (
            "probabilityOfPrecipitation",
            {"unitCode": "wmoUnit:percent", "value": 101},
            "forecast.out_of_range",
            "probabilityOfPrecipitation",
        ),
    ],
)
def test_each_fault_is_named(name: str, value: Any, code: str, field: str) -> None:
    payload = reply()
    payload["properties"]["periods"][0][name] = value
    with pytest.raises(OutsideFailure) as caught:
        read_hourly(payload)
    assert (caught.value.code, caught.value.field) == (code, field)


@pytest.mark.parametrize("periods", [[], None, {}, [3]])
def test_a_reply_without_periods_is_refused(periods: Any) -> None:
    payload = reply()
    payload["properties"]["periods"] = periods
    with pytest.raises(OutsideFailure):
        read_hourly(payload)


def test_it_is_asked_for_on_its_own_page_of_the_same_cell(httpserver: HTTPServer) -> None:
    payload = recorded("hourly", "FFC_statham_2026-08-01T1137Z")
    httpserver.expect_request("/gridpoints/FFC/83,98/forecast/hourly").respond_with_data(
        json.dumps(payload), content_type=GEO
    )
    source = nws_hourly(httpserver)
    fetched = source.fetch_grid("FFC/83,98", datetime(2026, 8, 1, 11, 38, tzinfo=UTC))
    assert isinstance(fetched, Fetched)
    assert (fetched.source, NWS_HOURLY.cells) == ("nws_hourly", "nws")
    assert fetched.altitude_m == pytest.approx(256.9464)
