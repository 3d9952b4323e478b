"""The hourly text forecast of the US service, read where its raw grid fails: no amounts of rain, often no gusts.

Field names and units: api.weather.gov, OpenAPI specification; quirks: recorded replies.
"""

import re
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.intervals import Piece, ceil_hour, floor_hour, hourly_chances, hourly_levels
from planner.forecast.domain.outside.providers import NWS_HOURLY
from planner.forecast.domain.series import HOUR, HourlySeries, Values
from planner.forecast.sources.nws import NwsSource
from planner.forecast.sources.nws_grid import LONGEST_REPLY
from planner.forecast.sources.reading import (
    CELSIUS,
    M_S,
    SHARE,
    Units,
    mapping,
    moment,
    number,
    sequence,
    unit_of,
    within,
)

_MOST_PERIODS = 400
_WIND = re.compile(r"(?:(\d+(?:\.\d+)?)\s+to\s+)?(\d+(?:\.\d+)?)\s*(mph|km/h|kt|kn|m/s)", re.IGNORECASE)
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
# Words of the icon's address; the least chance each stands for, as of the coverage words of the raw grid.
_THUNDER_ICONS = ("tsra", "tsra_sct", "tsra_hi")
_THUNDER_WORDS = (("slight chance", 0.15), ("isolated", 0.15), ("chance", 0.25), ("scattered", 0.25), ("likely", 0.55))
_STATED_THUNDER = 0.75


def read_wind(raw: object, field: str) -> float | None:
    """Wind [m/s] from "5 to 10 mph", "0 mph", a quantity or nothing; of a range the upper end.

    Raises
    ------
    OutsideFailure
        ``forecast.bad_value`` or ``forecast.unknown_unit``.

    >>> f"{read_wind('5 to 10 mph', 'windSpeed'):.3f}"
    '4.470'
    """
    if raw is None or raw == "":
        return None
    if isinstance(raw, str):
        found = _WIND.fullmatch(raw.strip())
        if found is None:
            raise OutsideFailure("forecast.bad_value", field=field, value=raw[:40])
        ends = [float(end) for end in found.group(1, 2) if end is not None]
        return within(M_S[found.group(3).lower()](max(ends)), 0.0, 400 / 3.6, field)
    quantity = mapping(raw, field)
    highest = quantity.get("maxValue") if quantity.get("value") is None else quantity.get("value")
    if highest is None:
        return None
    value = unit_of(quantity.get("unitCode"), M_S, field)(number(highest, field))
    return within(value, 0.0, 400 / 3.6, field)


def _temperature(period: Mapping[str, Any]) -> float | None:
    """Temperature [degC]: a number or its text with a unit beside it (2019: text), or a quantity."""
    raw = period.get("temperature")
    if raw is None:
        return None
    if isinstance(raw, dict):
        return _quantity(raw, CELSIUS, -60.0, 60.0, "temperature")
    if isinstance(raw, str) and _NUMBER.fullmatch(raw.strip()):
        raw = float(raw)
    convert = unit_of(period.get("temperatureUnit"), CELSIUS, "temperature")
    return within(convert(number(raw, "temperature")), -60.0, 60.0, "temperature")


def _quantity(raw: object, units: Units, low: float, high: float, field: str) -> float | None:
    if raw is None:
        return None
    quantity = mapping(raw, field)
    if quantity.get("value") is None:
        return None
    value = unit_of(quantity.get("unitCode"), units, field)(number(quantity["value"], field))
    return within(value, low, high, field)


def _thunder(period: Mapping[str, Any]) -> float | None:
    """The least chance of thunder the words of an hour mean; none where they do not speak of it."""
    text = str(period.get("shortForecast") or "").lower()
    spoken = next((part for part in text.split(" then ") if "thunder" in part), "")
    if not spoken:
        icon = str(period.get("icon") or "")
        named = any(f"/{name}" in icon for name in _THUNDER_ICONS)
        return _THUNDER_WORDS[0][1] if named else None
    return next((chance for word, chance in _THUNDER_WORDS if word in spoken), _STATED_THUNDER)


_READERS = {
    "air_temp_c": _temperature,
    "dew_point_c": lambda p: _quantity(p.get("dewpoint"), CELSIUS, -80.0, 45.0, "dewpoint"),
    "wind_m_s": lambda p: read_wind(p.get("windSpeed"), "windSpeed"),
    "gust_m_s": lambda p: read_wind(p.get("windGust"), "windGust"),
    "rain_chance": lambda p: _quantity(
        p.get("probabilityOfPrecipitation"), SHARE, 0.0, 1.0, "probabilityOfPrecipitation"
    ),
    "thunder_chance": _thunder,
}
_CHANCES = frozenset({"rain_chance", "thunder_chance"})


def read_hourly(payload: Mapping[str, Any]) -> HourlySeries:
    """Read an hourly forecast reply.

    Parameters
    ----------
    payload : mapping
        The decoded JSON of ``/gridpoints/{office}/{x},{y}/forecast/hourly``.

    Returns
    -------
    HourlySeries
        SI units; amounts of rain and sky cover are unknown throughout, thunder is known where the words speak of it.

    Raises
    ------
    OutsideFailure
        If the shape, a time, a unit or a value is not what the service documents.
    """
    properties = mapping(payload.get("properties"), "properties")
    stated = properties.get("updateTime")
    issued_at = moment(properties.get("updated") if stated is None else stated, "updateTime")
    periods = sequence(properties.get("periods"), "periods")
    if not 0 < len(periods) <= _MOST_PERIODS:
        raise OutsideFailure("forecast.no_values", source=NWS_HOURLY.key)
    pieces: dict[str, list[Piece]] = {name: [] for name in _READERS}
    for raw in periods:
        period = mapping(raw, "periods")
        from_at, until_at = moment(period.get("startTime"), "startTime"), moment(period.get("endTime"), "endTime")
        if not timedelta(0) < until_at - from_at <= timedelta(hours=1):
            raise OutsideFailure("forecast.bad_time", field="endTime", text=f"{from_at} to {until_at}")
        for name, read in _READERS.items():
            pieces[name].append(Piece(from_at=from_at, until_at=until_at, value=read(period)))
    start_at = floor_hour(min(piece.from_at for piece in pieces["air_temp_c"]))
    end_at = ceil_hour(max(piece.until_at for piece in pieces["air_temp_c"]))
    if end_at - start_at > LONGEST_REPLY:
        raise OutsideFailure("forecast.bad_time", field="startTime", text=f"{start_at} to {end_at}")
    hours = int((end_at - start_at) / HOUR)
    unknown: Values = (None,) * hours
    columns = {
        name: (hourly_chances if name in _CHANCES else hourly_levels)(found, start_at=start_at, hours=hours)
        for name, found in pieces.items()
    }
    if all(value is None for value in columns["air_temp_c"]):
        raise OutsideFailure("forecast.no_values", source=NWS_HOURLY.key)
    return HourlySeries(
        source=NWS_HOURLY.key, issued_at=issued_at, start_at=start_at, rain_mm=unknown, sky_cover=unknown, **columns
    )


class NwsHourlySource(NwsSource):
    """The same service and cells as the raw grid, by the page that often still answers when the grid does not."""

    name = NWS_HOURLY.key

    def _grid_url(self, grid_key: str) -> str:
        return f"{super()._grid_url(grid_key)}/forecast/hourly"

    def _read(self, payload: Mapping[str, Any]) -> HourlySeries:
        return read_hourly(payload)
