"""Reads what stations of the US service measured.

Field names: api.weather.gov, OpenAPI specification; quality marks and remarks: from memory (MADIS, FMH-1).
"""

import re
from collections.abc import Mapping
from datetime import datetime, timedelta
from math import cos, radians
from typing import Any
from urllib.parse import urlencode

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.outside.observed import Report, Station
from planner.forecast.domain.place import Place
from planner.forecast.sources import http
from planner.forecast.sources.client import Client
from planner.forecast.sources.nws import refusal
from planner.forecast.sources.reading import CELSIUS, M_S, MM, Units, mapping, moment, number, sequence, unit_of

FURTHEST_KM = 50.0
# Rejected, or found wrong by a person.
_BAD_MARKS = frozenset({"X", "B"})
_STATION = re.compile(r"[A-Z0-9]{3,8}")
_HOURLY_RAIN = re.compile(r"\bP(\d{4})\b")
_Limits = tuple[str, Units, float, float]
_FIELDS: Mapping[str, _Limits] = {
    "air_temp_c": ("temperature", CELSIUS, -60.0, 60.0),
    "dew_point_c": ("dewpoint", CELSIUS, -80.0, 45.0),
    "wind_m_s": ("windSpeed", M_S, 0.0, 75.0),
    "gust_m_s": ("windGust", M_S, 0.0, 115.0),
    "rain_mm": ("precipitationLastHour", MM, 0.0, 310.0),
}


def read_stations(payload: Mapping[str, Any], place: Place) -> tuple[Station, ...]:
    """The stations of a reply within 50 km of a place, nearest first.

    Raises
    ------
    OutsideFailure
        If the reply is no list of stations.
    """
    found = []
    for feature in sequence(payload.get("features"), "features"):
        properties = mapping(mapping(feature, "features").get("properties"), "properties")
        code = str(properties.get("stationIdentifier") or "")
        if _STATION.fullmatch(code) is None:
            raise OutsideFailure("forecast.bad_value", field="stationIdentifier", value=code[:40])
        point = sequence(mapping(feature.get("geometry"), "geometry").get("coordinates"), "coordinates")
        if len(point) < 2:
            raise OutsideFailure("forecast.bad_value", field="coordinates", value=repr(point)[:40])
        longitude, latitude = number(point[0], "coordinates"), number(point[1], "coordinates")
        station = Station(
            code=code, name=str(properties.get("name") or "")[:120], latitude=latitude, longitude=longitude
        )
        found.append((distance_km(place, station), code, station))
    return tuple(station for km, _, station in sorted(found, key=lambda entry: entry[:2]) if km <= FURTHEST_KM)


def distance_km(place: Place, station: Station) -> float:
    """Distance over the ground, good to a percent within 100 km."""
    north_km = 111.2 * (station.latitude - place.latitude)
    east_km = 111.2 * (station.longitude - place.longitude) * cos(radians(place.latitude))
    return float((north_km**2 + east_km**2) ** 0.5)


def read_reports(payload: Mapping[str, Any]) -> tuple[Report, ...]:
    """The reports of a reply, oldest first.

    Parameters
    ----------
    payload : mapping
        The decoded JSON of ``/stations/{id}/observations``.

    Returns
    -------
    tuple of Report
        A value that was marked bad, or that no instrument can have read, is unknown. Rain that is null is unknown
        too, unless the report's own text tells of it.

    Raises
    ------
    OutsideFailure
        If the shape, a time or a unit is not what the service documents.
    """
    reports = []
    for feature in sequence(payload.get("features"), "features"):
        properties = mapping(mapping(feature, "features").get("properties"), "properties")
        values = {name: _value(properties, limits) for name, limits in _FIELDS.items()}
        if values["rain_mm"] is None:
            values["rain_mm"] = _remarked_rain(properties)
        reports.append(Report(at=moment(properties.get("timestamp"), "timestamp"), **values))
    return tuple(sorted(reports, key=lambda report: report.at))


def _value(properties: Mapping[str, Any], limits: _Limits) -> float | None:
    name, units, low, high = limits
    if properties.get(name) is None:
        return None
    quantity = mapping(properties[name], name)
    mark = str(quantity.get("qualityControl") or "").rpartition(":")[2]
    if quantity.get("value") is None or mark in _BAD_MARKS:
        return None
    value = unit_of(quantity.get("unitCode"), units, name)(number(quantity["value"], name))
    return value if low <= value <= high else None


def _remarked_rain(properties: Mapping[str, Any]) -> float | None:
    """Rain since the last full report by the text of this one [mm]; none if the text does not tell.

    ``P0012`` is 0.12 inch. A station with a rain sensor (AO2) leaves the group out when none fell; PNO says that
    its gauge is broken.
    """
    raw = str(properties.get("rawMessage") or "")
    if "PNO" in raw:
        return None
    stated = _HOURLY_RAIN.search(raw)
    if stated is not None:
        return int(stated.group(1)) * 0.254
    return 0.0 if " AO2" in raw else None


class NwsObservations:
    """Stations and their reports of the live service, through the client of its forecasts."""

    def __init__(self, client: Client) -> None:
        self.client = client

    def stations(self, grid_key: str, place: Place, as_of: datetime) -> tuple[Station, ...]:
        """Stations near a cell, nearest to the place first.

        Raises
        ------
        OutsideFailure
            If the service failed.
        """
        url = f"{self.client.base_url}/gridpoints/{grid_key}/stations"
        return read_stations(self._payload(url, as_of), place)

    def reports(self, station: str, from_at: datetime, until_at: datetime, as_of: datetime) -> tuple[Report, ...]:
        """Reports of a station in [from_at, until_at).

        Raises
        ------
        OutsideFailure
            If the service failed.
        """
        # A report counts for the hour half an hour before it, so the last of the span come just after it.
        end_at = min(until_at + timedelta(minutes=30), as_of)
        query = urlencode({"start": _utc(from_at), "end": _utc(end_at), "limit": 500}, safe=":")
        return read_reports(self._payload(f"{self.client.base_url}/stations/{station}/observations?{query}", as_of))

    def _payload(self, url: str, as_of: datetime) -> dict[str, Any]:
        reply = self.client.ask_whole(url, as_of).reply
        if reply.status != 200:
            raise refusal(reply, None)
        return http.json_of(reply)


def _utc(at: datetime) -> str:
    return at.strftime("%Y-%m-%dT%H:%M:%SZ")
