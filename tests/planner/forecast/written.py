"""Replies of our own in the services' shapes, and sources that ask a local server."""

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

import requests
from pytest_httpserver import HTTPServer

from planner.forecast.sources.client import Patience
from planner.forecast.sources.conditional import Memory
from planner.forecast.sources.http import Limits
from planner.forecast.sources.met import MetSource
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.nws_hourly import NwsHourlySource
from planner.forecast.sources.open_meteo import OpenMeteoSource

GEO = "application/geo+json"
JSON = "application/json"
PROBLEM = "application/problem+json"
AGENT = "tests (office@example.org)"
LIMITS = Limits(connect_read_s=(1.0, 1.0), total_s=2.0, size_bytes=5_000_000)
AT_ONCE = Patience(tries=3, backoff_s=0.0, backoff_max_s=0.0, jitter_s=0.0)
HOUR = timedelta(hours=1)


def base(server: HTTPServer) -> str:
    return server.url_for("").rstrip("/")


def arguments(server: HTTPServer, memory: Memory | None) -> dict[str, Any]:
    session = requests.Session()
    session.trust_env = False
    return {
        "base_url": base(server),
        "user_agent": AGENT,
        "session": session,
        "limits": LIMITS,
        "patience": AT_ONCE,
        "memory": memory,
    }


def nws(server: HTTPServer, memory: Memory | None = None) -> NwsSource:
    return NwsSource(**arguments(server, memory))


def nws_hourly(server: HTTPServer, memory: Memory | None = None) -> NwsHourlySource:
    return NwsHourlySource(**arguments(server, memory))


def met(server: HTTPServer, memory: Memory | None = None) -> MetSource:
    return MetSource(**arguments(server, memory))


def open_meteo(server: HTTPServer, memory: Memory | None = None, *, api_key: str = "") -> OpenMeteoSource:
    return OpenMeteoSource(api_key=api_key, **arguments(server, memory))


def z(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def steady(_: datetime) -> float:
    return 0.0


def met_reply(
    start_at: datetime,
    *,
    updated_at: datetime | None = None,
    hourly: int = 60,
    six_hourly: int = 28,
    rain: Callable[[datetime], float] = steady,
    chance: float | None = None,
) -> dict[str, Any]:
    """A complete location forecast: hourly steps, then six-hourly ones, the last with its instant alone."""
    times = [start_at + at * HOUR for at in range(hourly)]
    times += [start_at + (hourly + 6 * at) * HOUR for at in range(six_hourly)]
    steps: list[dict[str, Any]] = []
    for at in times:
        data: dict[str, Any] = {
            "instant": {
                "details": {
                    "air_temperature": 20.0,
                    "relative_humidity": 50.0,
                    "dew_point_temperature": 9.0,
                    "wind_speed": 4.0,
                    "cloud_area_fraction": 25.0,
                }
            }
        }
        if at < start_at + hourly * HOUR:
            data["next_1_hours"] = {
                "summary": {"symbol_code": "cloudy"},
                "details": {"precipitation_amount": rain(at)},
            }
        six = sum(rain(at + later * HOUR) for later in range(6))
        stated: dict[str, float] = {} if chance is None else {"probability_of_precipitation": chance}
        data["next_6_hours"] = {
            "summary": {"symbol_code": "cloudy"},
            "details": {"precipitation_amount": six} | stated,
        }
        steps.append({"time": z(at), "data": data})
    steps[-1]["data"] = {"instant": steps[-1]["data"]["instant"]}
    units = {
        "air_temperature": "celsius",
        "relative_humidity": "%",
        "dew_point_temperature": "celsius",
        "wind_speed": "m/s",
        "cloud_area_fraction": "%",
        "precipitation_amount": "mm",
        "probability_of_precipitation": "%",
    }
    meta = {"updated_at": z(updated_at or start_at), "units": units}
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-74.2, 40.7, 5]},
        "properties": {"meta": meta, "timeseries": steps},
    }


UNITS = {
    "time": "iso8601",
    "temperature_2m": "°C",
    "dew_point_2m": "°C",
    "wind_speed_10m": "m/s",
    "wind_gusts_10m": "m/s",
    "precipitation": "mm",
    "precipitation_probability": "%",
    "cloud_cover": "%",
    "weather_code": "wmo code",
}


def open_meteo_reply(start_at: datetime, *, hours: int = 96, **columns: Sequence[float | None]) -> dict[str, Any]:
    """An hourly reply in GMT; a column not given is steady."""
    usual: dict[str, float] = {
        "temperature_2m": 20.0,
        "dew_point_2m": 9.0,
        "wind_speed_10m": 4.0,
        "wind_gusts_10m": 7.0,
        "precipitation": 0.0,
        "precipitation_probability": 5,
        "cloud_cover": 25,
        "weather_code": 1,
    }
    times = [(start_at + at * HOUR).strftime("%Y-%m-%dT%H:%M") for at in range(hours)]
    hourly: dict[str, Any] = {"time": times} | {name: [value] * hours for name, value in usual.items()}
    return {
        "latitude": 40.71,
        "longitude": -74.19,
        "generationtime_ms": 0.31,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
        "elevation": 5.0,
        "hourly_units": dict(UNITS),
        "hourly": hourly | {name: list(values) for name, values in columns.items()},
    }


def alert_feature(
    name: str,
    *,
    sent_at: datetime,
    hours: float = 6,
    begins_in_hours: float = 0,
    ends: bool = True,
    kind: str = "Alert",
    status: str = "Actual",
    vtec: str = "",
    zones: Sequence[str] = ("NJZ106",),
    geometry: Mapping[str, Any] | None = None,
    references: Sequence[str] = (),
    **more: Any,
) -> dict[str, Any]:
    """One message of a warning."""
    until = sent_at + timedelta(hours=hours)
    properties: dict[str, Any] = {
        "id": f"urn:oid:{name}",
        "areaDesc": "Essex",
        "geocode": {"SAME": [], "UGC": list(zones)},
        "affectedZones": [],
        "references": [
            {"identifier": f"urn:oid:{reference}", "sent": z(sent_at - timedelta(hours=len(references) - at))}
            for at, reference in enumerate(references)
        ],
        "sent": z(sent_at),
        "effective": z(sent_at),
        "onset": z(sent_at + timedelta(hours=begins_in_hours)),
        "expires": z(sent_at + timedelta(hours=1) if ends else until),
        "ends": z(until) if ends else None,
        "status": status,
        "messageType": kind,
        "severity": "Moderate",
        "certainty": "Likely",
        "urgency": "Expected",
        "event": "Flood Watch",
        "senderName": "An office",
        "headline": f"{name} headline",
        "instruction": None,
        "parameters": {"VTEC": [vtec]} if vtec else {},
    }
    return {"id": name, "type": "Feature", "geometry": geometry, "properties": properties | more}


def alerts_reply(*features: dict[str, Any]) -> dict[str, Any]:
    return {"type": "FeatureCollection", "features": list(features), "title": "Current warnings"}


def report_feature(
    at: datetime, *, rain_mm: float | None = None, raw: str = "", temp_c: float | None = 20.0, mark: str = "qc:V"
) -> dict[str, Any]:
    """One station report."""

    def quantity(value: float | None, unit: str) -> dict[str, Any]:
        return {"unitCode": f"wmoUnit:{unit}", "value": value, "qualityControl": mark}

    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-74.17, 40.68]},
        "properties": {
            "timestamp": at.isoformat(),
            "rawMessage": raw,
            "temperature": quantity(temp_c, "degC"),
            "dewpoint": quantity(9.0, "degC"),
            "windSpeed": quantity(18.0, "km_h-1"),
            "windGust": quantity(None, "km_h-1"),
            "precipitationLastHour": quantity(rain_mm, "mm"),
        },
    }


def stations_reply(*stations: tuple[str, float, float]) -> dict[str, Any]:
    return {
        "type": "FeatureCollection",
        "features": [
            {
                "geometry": {"type": "Point", "coordinates": [longitude, latitude]},
                "properties": {"stationIdentifier": code, "name": f"{code} field"},
            }
            for code, latitude, longitude in stations
        ],
    }


def body(payload: object) -> bytes:
    return json.dumps(payload).encode()
