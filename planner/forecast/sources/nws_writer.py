"""Writes replies in the shapes the US National Weather Service sends: for replay, and for tests of the reader.

Levels and chances are merged where neighbours are equal, amounts never are; layers without values are there, empty.
"""

import json
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

import isodate

from planner.forecast.domain.intervals import Piece
from planner.forecast.domain.made.degrade import DegradedForecast
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR, Values

BASE_URL = "https://api.weather.gov"
_CONTEXT = [
    "https://geojson.org/geojson-ld/geojson-context.jsonld",
    {
        "@version": "1.1",
        "wmoUnit": "https://codes.wmo.int/common/unit/",
        "nwsUnit": "https://api.weather.gov/ontology/unit/",
    },
]
_EMPTY_LAYERS = (
    "maxTemperature",
    "minTemperature",
    "relativeHumidity",
    "apparentTemperature",
    "heatIndex",
    "windChill",
    "windDirection",
    "hazards",
    "snowLevel",
    "iceAccumulation",
    "snowfallAmount",
    "ceilingHeight",
    "visibility",
    "transportWindSpeed",
    "transportWindDirection",
    "mixingHeight",
    "hainesIndex",
    "lightningActivityLevel",
    "waveHeight",
    "pressure",
    "stability",
)
# Terms by chance, highest first; from memory (forecast terms of the service).
_COVERAGE = ((0.75, "definite"), (0.55, "likely"), (0.25, "chance"), (0.15, "slight_chance"))
# A cell is about 2.5 km wide.
_HALF_CELL_DEG = 0.0125


def _time(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="seconds")


def _interval(from_at: datetime, until_at: datetime) -> str:
    return f"{_time(from_at)}/{isodate.duration_isoformat(until_at - from_at)}"


def _runs(values: Sequence[Any], start_at: datetime) -> list[dict[str, Any]]:
    """Equal neighbours as one interval; hours without a value are left out."""
    entries: list[dict[str, Any]] = []
    first = 0
    for at in range(1, len(values) + 1):
        if at < len(values) and values[at] == values[first]:
            continue
        if values[first] is not None:
            valid = _interval(start_at + first * HOUR, start_at + at * HOUR)
            entries.append({"validTime": valid, "value": values[first]})
        first = at
    return entries


def _level(
    values: Values, start_at: datetime, unit: str, convert: Callable[[float], float] = lambda value: value
) -> dict[str, Any]:
    written = [None if value is None else convert(value) for value in values]
    layer: dict[str, Any] = {"uom": unit} if unit else {}
    return layer | {"values": _runs(written, start_at)}


def _percent(share: float) -> int:
    return round(share * 100)


def _km_h(speed_m_s: float) -> float:
    return round(speed_m_s * 3.6, 3)


def _amounts(blocks: Sequence[Piece]) -> dict[str, Any]:
    return {
        "uom": "wmoUnit:mm",
        "values": [{"validTime": _interval(b.from_at, b.until_at), "value": b.value} for b in blocks],
    }


def _word(chance: float | None, weather: str) -> dict[str, Any] | None:
    coverage = next((term for least, term in _COVERAGE if chance is not None and chance >= least), None)
    if coverage is None:
        return None
    return _phrase(coverage, weather, "light" if weather == "rain_showers" else None)


def _phrase(coverage: str | None, weather: str | None, intensity: str | None) -> dict[str, Any]:
    return {
        "coverage": coverage,
        "weather": weather,
        "intensity": intensity,
        "visibility": {"unitCode": "wmoUnit:km", "value": None},
        "attributes": [],
    }


def _weather(forecast: DegradedForecast) -> dict[str, Any]:
    hours = []
    for rain, thunder in zip(forecast.rain_chance, forecast.thunder_chance, strict=True):
        words = [word for word in (_word(rain, "rain_showers"), _word(thunder, "thunderstorms")) if word]
        hours.append(words or [_phrase(None, None, None)])
    return {"values": _runs(hours, forecast.start_at)}


def write_gridpoint(
    forecast: DegradedForecast, *, grid_key: str, place: Place, base_url: str = BASE_URL
) -> dict[str, Any]:
    """A raw grid reply.

    Parameters
    ----------
    forecast : DegradedForecast
        What it says.
    grid_key : str
        ``office/x,y``.
    place : Place
        Middle of the cell.
    base_url : str
        Address the links carry.

    Returns
    -------
    dict
        Ready for ``json.dumps``.
    """
    office, _, cell = grid_key.partition("/")
    x, _, y = cell.partition(",")
    start_at = forecast.start_at
    url = f"{base_url}/gridpoints/{grid_key}"
    properties: dict[str, Any] = {
        "@id": url,
        "@type": "wx:Gridpoint",
        "updateTime": _time(forecast.issued_at),
        "validTimes": _interval(start_at, start_at + timedelta(hours=forecast.hours)),
        "elevation": {"unitCode": "wmoUnit:m", "value": 0},
        "forecastOffice": f"{base_url}/offices/{office}",
        "gridId": office,
        "gridX": int(x),
        "gridY": int(y),
        "temperature": _level(forecast.air_temp_c, start_at, "wmoUnit:degC"),
        "dewpoint": _level(forecast.dew_point_c, start_at, "wmoUnit:degC"),
        "skyCover": _level(forecast.sky_cover, start_at, "wmoUnit:percent", _percent),
        "windSpeed": _level(forecast.wind_m_s, start_at, "wmoUnit:km_h-1", _km_h),
        "windGust": _level(forecast.gust_m_s, start_at, "wmoUnit:km_h-1", _km_h),
        "weather": _weather(forecast),
        "probabilityOfPrecipitation": _level(forecast.rain_chance, start_at, "wmoUnit:percent", _percent),
        "quantitativePrecipitation": _amounts(forecast.rain_blocks),
        "probabilityOfThunder": _level(forecast.thunder_chance, start_at, "", _percent),
    }
    properties |= {name: {"values": []} for name in _EMPTY_LAYERS}
    return {"@context": _CONTEXT, "id": url, "type": "Feature", "geometry": _cell(place), "properties": properties}


def _cell(place: Place) -> dict[str, Any]:
    corners = [(-1, -1), (-1, 1), (1, 1), (1, -1), (-1, -1)]
    ring = [
        [round(place.longitude + x * _HALF_CELL_DEG, 4), round(place.latitude + y * _HALF_CELL_DEG, 4)]
        for x, y in corners
    ]
    return {"type": "Polygon", "coordinates": [ring]}


def write_point(place: Place, *, grid_key: str, zone: str, base_url: str = BASE_URL) -> dict[str, Any]:
    """A points reply that leads to ``grid_key``."""
    office, _, cell = grid_key.partition("/")
    x, _, y = cell.partition(",")
    url, grid = f"{base_url}/points/{place.text}", f"{base_url}/gridpoints/{grid_key}"
    return {
        "@context": _CONTEXT,
        "id": url,
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [place.longitude, place.latitude]},
        "properties": {
            "@id": url,
            "@type": "wx:Point",
            "cwa": office,
            "type": "land",
            "forecastOffice": f"{base_url}/offices/{office}",
            "gridId": office,
            "gridX": int(x),
            "gridY": int(y),
            "forecast": f"{grid}/forecast",
            "forecastHourly": f"{grid}/forecast/hourly",
            "forecastGridData": grid,
            "observationStations": f"{grid}/stations",
            "timeZone": zone,
        },
    }


def as_body(reply: dict[str, Any]) -> bytes:
    """The bytes of a reply."""
    return json.dumps(reply, indent=1).encode()
