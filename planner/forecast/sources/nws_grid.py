"""Reads a raw grid reply of the US National Weather Service into one hourly series.

Field names and units: api.weather.gov, OpenAPI specification and general questions; quirks: recorded replies.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.intervals import (
    Piece,
    ceil_hour,
    floor_hour,
    highest_of,
    hourly_amounts,
    hourly_chances,
    hourly_levels,
    read_valid_time,
)
from planner.forecast.domain.series import HourlySeries, Values
from planner.forecast.sources.reading import moment, number

SOURCE = "nws"
LONGEST_REPLY = timedelta(days=21)

_TO_CELSIUS: Mapping[str, Callable[[float], float]] = {"degC": lambda v: v, "degF": lambda v: (v - 32.0) / 1.8}
_TO_M_S: Mapping[str, Callable[[float], float]] = {"km_h-1": lambda v: v / 3.6, "m_s-1": lambda v: v}
_TO_SHARE: Mapping[str, Callable[[float], float]] = {"percent": lambda v: v / 100.0}
_TO_MM: Mapping[str, Callable[[float], float]] = {"mm": lambda v: v}

# Low end of the chance a coverage word stands for, from memory (forecast terms of the service); an unheard-of
# word counts as the lowest.
_THUNDER_BY_COVERAGE: Mapping[str | None, float] = {
    "slight_chance": 0.15,
    "isolated": 0.15,
    "chance": 0.25,
    "scattered": 0.25,
    "likely": 0.55,
    "numerous": 0.55,
    "definite": 0.75,
    "widespread": 0.75,
    None: 0.75,
}
_LEAST_THUNDER = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layer:
    """How one layer is read: conversion by unit, spread over hours, and the range physics allows."""

    name: str
    units: Mapping[str, Callable[[float], float]]
    spread: Callable[..., Values]
    low: float
    high: float
    unit_if_absent: str = ""
    per_hour: bool = False


_LAYERS: Mapping[str, _Layer] = {
    "air_temp_c": _Layer(name="temperature", units=_TO_CELSIUS, spread=hourly_levels, low=-60, high=60),
    "dew_point_c": _Layer(name="dewpoint", units=_TO_CELSIUS, spread=hourly_levels, low=-80, high=45),
    "wind_m_s": _Layer(name="windSpeed", units=_TO_M_S, spread=hourly_levels, low=0, high=400 / 3.6),
    "gust_m_s": _Layer(name="windGust", units=_TO_M_S, spread=hourly_levels, low=0, high=400 / 3.6),
    "rain_chance": _Layer(name="probabilityOfPrecipitation", units=_TO_SHARE, spread=hourly_chances, low=0, high=1),
    "rain_mm": _Layer(
        name="quantitativePrecipitation", units=_TO_MM, spread=hourly_amounts, low=0, high=200, per_hour=True
    ),
    "thunder_chance": _Layer(
        name="probabilityOfThunder",
        units=_TO_SHARE,
        spread=hourly_chances,
        low=0,
        high=1,
        unit_if_absent="percent",
    ),
    "sky_cover": _Layer(name="skyCover", units=_TO_SHARE, spread=hourly_levels, low=0, high=1),
}


def _unit_of(raw: Mapping[str, Any], layer: _Layer) -> Callable[[float], float]:
    stated = raw.get("uom", layer.unit_if_absent)
    # Replies before 2020 say "unit:degC", later ones "wmoUnit:degC".
    unit = str(stated).rpartition(":")[2]
    if unit not in layer.units:
        raise OutsideFailure(
            "forecast.unknown_unit", field=layer.name, unit=stated or "no unit", known=", ".join(layer.units)
        )
    return layer.units[unit]


def _entries(properties: Mapping[str, Any], name: str) -> Sequence[tuple[datetime, datetime, Any]]:
    raw = properties.get(name)
    if raw is None:
        return ()
    values = raw.get("values") if isinstance(raw, dict) else None
    if not isinstance(values, list):
        raise OutsideFailure("forecast.bad_value", field=name, value=repr(raw)[:40])
    entries = []
    for entry in values:
        if not isinstance(entry, dict) or not isinstance(entry.get("validTime"), str):
            raise OutsideFailure("forecast.bad_time", field=name, text=repr(entry)[:80])
        from_at, until_at = read_valid_time(entry["validTime"])
        entries.append((from_at, until_at, entry.get("value")))
    return entries


def _pieces(properties: Mapping[str, Any], layer: _Layer) -> tuple[Piece, ...]:
    entries = _entries(properties, layer.name)
    if not entries:
        return ()
    convert = _unit_of(properties[layer.name], layer)
    pieces = []
    for from_at, until_at, raw in entries:
        value = None if raw is None else convert(number(raw, layer.name))
        if value is not None:
            hours = (until_at - from_at) / timedelta(hours=1) if layer.per_hour else 1.0
            if not layer.low <= value / max(hours, 1.0) <= layer.high:
                raise OutsideFailure(
                    "forecast.out_of_range", field=layer.name, value=raw, low=layer.low, high=round(layer.high, 1)
                )
        pieces.append(Piece(from_at=from_at, until_at=until_at, value=value))
    return tuple(pieces)


def _thunder_words(properties: Mapping[str, Any]) -> tuple[Piece, ...]:
    """Spans in which the weather text speaks of thunder, with the least chance its words mean."""
    found = []
    for from_at, until_at, raw in _entries(properties, "weather"):
        if raw is not None and not isinstance(raw, list):
            raise OutsideFailure("forecast.bad_value", field="weather", value=repr(raw)[:40])
        chances = [
            _THUNDER_BY_COVERAGE.get(word.get("coverage"), _LEAST_THUNDER)
            for word in raw or ()
            if isinstance(word, dict) and "thunder" in str(word.get("weather") or "")
        ]
        if chances:
            found.append(Piece(from_at=from_at, until_at=until_at, value=max(chances)))
    return tuple(found)


def read_gridpoint(payload: Mapping[str, Any], *, source: str = SOURCE) -> HourlySeries:
    """Read a raw grid reply.

    Parameters
    ----------
    payload : mapping
        The decoded JSON of ``/gridpoints/{office}/{x},{y}``.
    source : str
        Name the series carries.

    Returns
    -------
    HourlySeries
        From the first to the last hour any of our layers speaks of, SI units, gaps kept as ``None``. Thunder
        comes from its own layer, raised where the weather text speaks of thunderstorms; without either it is
        unknown.

    Raises
    ------
    OutsideFailure
        If the shape, a time, a unit or a value is not what the service documents: the reply is then not used at all.
    """
    properties = payload.get("properties")
    if not isinstance(properties, dict):
        raise OutsideFailure("forecast.bad_value", field="properties", value=repr(properties)[:40])
    issued_at = moment(properties.get("updateTime"), "updateTime")
    layers = {name: _pieces(properties, layer) for name, layer in _LAYERS.items()}
    words = _thunder_words(properties)
    every = [piece for pieces in layers.values() for piece in pieces]
    if not any(piece.value is not None for piece in every):
        raise OutsideFailure("forecast.no_values", source=source)
    start_at = floor_hour(min(piece.from_at for piece in every))
    end_at = ceil_hour(max(piece.until_at for piece in every))
    if end_at - start_at > LONGEST_REPLY:
        raise OutsideFailure("forecast.bad_time", field="validTime", text=f"{start_at} to {end_at}")
    hours = int((end_at - start_at) / timedelta(hours=1))
    spread = {name: _LAYERS[name].spread(pieces, start_at=start_at, hours=hours) for name, pieces in layers.items()}
    spoken = _whole_hours(words, start_at, hours)
    spread["thunder_chance"] = highest_of(spread["thunder_chance"], spoken)
    return HourlySeries(source=source, issued_at=issued_at, start_at=start_at, **spread)


def _whole_hours(words: Sequence[Piece], start_at: datetime, hours: int) -> Values:
    """Thunder words widened to full hours: a hazard in part of an hour is a hazard of the hour."""
    widened = [
        Piece(from_at=floor_hour(word.from_at), until_at=ceil_hour(word.until_at), value=word.value) for word in words
    ]
    return hourly_chances(widened, start_at=start_at, hours=hours)
