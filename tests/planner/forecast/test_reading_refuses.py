"""A grid reply that is not what the service documents is set aside whole, with the field named."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from jobs.domain.errors import OutsideFailure
from planner.forecast.sources.nws_grid import read_gridpoint

POP, QPF = "probabilityOfPrecipitation", "quantitativePrecipitation"
WRONG_WEATHER = {"values": [{"validTime": "2026-07-15T14:00:00+00:00/PT2H", "value": 3}]}


def reply() -> dict[str, Any]:
    def layer(unit: str, value: float) -> dict[str, Any]:
        return {"uom": unit, "values": [{"validTime": "2026-07-15T12:00:00+00:00/PT6H", "value": value}]}

    return {
        "properties": {
            "updateTime": "2026-07-15T18:36:46+00:00",
            "temperature": layer("wmoUnit:degC", 20),
            "windSpeed": layer("wmoUnit:km_h-1", 36),
            "probabilityOfPrecipitation": layer("wmoUnit:percent", 40),
            "quantitativePrecipitation": layer("wmoUnit:mm", 6),
            "probabilityOfThunder": {"values": []},
        }
    }


def test_units_become_ours() -> None:
    series = read_gridpoint(reply())
    assert series.wind_m_s == pytest.approx((10.0,) * 6)
    assert series.rain_chance == (0.4,) * 6
    assert series.rain_mm == pytest.approx((1.0,) * 6)
    assert series.thunder_chance == (None,) * 6
    assert series.issued_at == datetime(2026, 7, 15, 18, 36, 46, tzinfo=UTC)


@pytest.mark.parametrize(
    ("layer", "unit", "stated", "read"),
    [
        ("windSpeed", "unit:m_s-1", 10, 10.0),
        ("temperature", "unit:degC", 20, 20.0),
        ("temperature", "wmoUnit:degF", 212 / 4, (212 / 4 - 32) * 5 / 9),
    ],
)
def test_units_written_before_2020_and_fahrenheit(layer: str, unit: str, stated: float, read: float) -> None:
    payload = reply()
    payload["properties"][layer]["uom"] = unit
    payload["properties"][layer]["values"][0]["value"] = stated
    series = read_gridpoint(payload)
    found = series.wind_m_s if layer == "windSpeed" else series.air_temp_c
    assert found == pytest.approx((read,) * 6)


def test_a_null_is_unknown_and_not_zero() -> None:
    payload = reply()
    payload["properties"]["quantitativePrecipitation"]["values"][0]["value"] = None
    assert read_gridpoint(payload).rain_mm == (None,) * 6


@pytest.mark.parametrize(
    ("coverage", "least"), [("isolated", 0.15), ("scattered", 0.25), ("likely", 0.55), ("unheard_of", 0.15)]
)
def test_weather_words_raise_thunder(coverage: str, least: float) -> None:
    payload = reply()
    word = {"coverage": coverage, "weather": "thunderstorms", "intensity": None, "visibility": None, "attributes": None}
    payload["properties"]["weather"] = {"values": [{"validTime": "2026-07-15T14:00:00+00:00/PT2H", "value": [word]}]}
    assert read_gridpoint(payload).thunder_chance == (None, None, least, least, None, None)
    payload["properties"]["probabilityOfThunder"]["values"] = [
        {"validTime": "2026-07-15T12:00:00+00:00/PT3H", "value": 60}
    ]
    assert read_gridpoint(payload).thunder_chance == (0.6, 0.6, 0.6, least, None, None)


@pytest.mark.parametrize(
    ("path", "value", "code", "field"),
    [
        (("updateTime",), None, "forecast.bad_time", "updateTime"),
        (("updateTime",), "2026-07-15T18:36:46", "forecast.bad_time", "updateTime"),
        (("updateTime",), 5, "forecast.bad_time", "updateTime"),
        (("temperature",), [], "forecast.bad_value", "temperature"),
        (("temperature", "uom"), "wmoUnit:K", "forecast.unknown_unit", "temperature"),
        (("windSpeed", "uom"), "wmoUnit:kt", "forecast.unknown_unit", "windSpeed"),
        (("temperature", "values"), {}, "forecast.bad_value", "temperature"),
        (("temperature", "values", 0), 5, "forecast.bad_time", "temperature"),
        (("temperature", "values", 0, "value"), "20", "forecast.bad_value", "temperature"),
        (("temperature", "values", 0, "value"), True, "forecast.bad_value", "temperature"),
        (("temperature", "values", 0, "value"), float("nan"), "forecast.bad_value", "temperature"),
        (("temperature", "values", 0, "value"), 61, "forecast.out_of_range", "temperature"),
        (("windSpeed", "values", 0, "value"), 1687, "forecast.out_of_range", "windSpeed"),
        (("windSpeed", "values", 0, "value"), -1, "forecast.out_of_range", "windSpeed"),
        ((POP, "values", 0, "value"), 101, "forecast.out_of_range", POP),
        ((QPF, "values", 0, "value"), 1201, "forecast.out_of_range", QPF),
        ((QPF, "values", 0, "value"), -0.1, "forecast.out_of_range", QPF),
        (("temperature", "values", 0, "validTime"), "NOW/PT6H", "forecast.bad_time", "validTime"),
        (("weather",), WRONG_WEATHER, "forecast.bad_value", "weather"),
    ],
)  # fmt: skip
def test_each_fault_is_named(path: tuple[str | int, ...], value: Any, code: str, field: str) -> None:
    payload = reply()
    at: Any = payload["properties"]
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    with pytest.raises(OutsideFailure) as caught:
        read_gridpoint(payload)
    assert (caught.value.code, caught.value.field) == (code, field)
    assert caught.value.remedy


def test_a_reply_that_spans_a_month_is_refused() -> None:
    payload = reply()
    later = (datetime(2026, 7, 15, 12, tzinfo=UTC) + timedelta(days=30)).isoformat()
    payload["properties"]["windSpeed"]["values"].append({"validTime": f"{later}/PT6H", "value": 10})
    with pytest.raises(OutsideFailure, match="not a usable time"):
        read_gridpoint(payload)


@pytest.mark.parametrize("payload", [{}, {"properties": None}, {"properties": []}])
def test_a_reply_without_properties_is_refused(payload: dict[str, Any]) -> None:
    with pytest.raises(OutsideFailure) as caught:
        read_gridpoint(payload)
    assert caught.value.code == "forecast.bad_value"


def test_a_reply_without_values_is_refused() -> None:
    payload = json.loads(json.dumps(reply()))
    for name in ("temperature", "windSpeed", "probabilityOfPrecipitation", "quantitativePrecipitation"):
        payload["properties"][name]["values"] = []
    with pytest.raises(OutsideFailure) as caught:
        read_gridpoint(payload)
    assert caught.value.code == "forecast.no_values"
