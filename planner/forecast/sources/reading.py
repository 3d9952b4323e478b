"""Reads single values of replies: numbers, moments and units, each fault with the field's name."""

import math
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import Any

import isodate

from jobs.domain.errors import OutsideFailure

Convert = Callable[[float], float]
Units = Mapping[str, Convert]


def _same(value: float) -> float:
    return value


# The services' own unit names side by side; a unit that is not here is refused, never guessed.
CELSIUS: Units = {
    "degC": _same,
    "celsius": _same,
    "°C": _same,
    "degF": lambda v: (v - 32.0) / 1.8,
    "F": lambda v: (v - 32.0) / 1.8,
    "°F": lambda v: (v - 32.0) / 1.8,
    "C": _same,
}
M_S: Units = {
    "m/s": _same,
    "m_s-1": _same,
    "km/h": lambda v: v / 3.6,
    "km_h-1": lambda v: v / 3.6,
    "mph": lambda v: v * 0.44704,
    # How one service abbreviates miles an hour.
    "mp/h": lambda v: v * 0.44704,
    "kn": lambda v: v * 1852 / 3600,
    "kt": lambda v: v * 1852 / 3600,
}
SHARE: Units = {"percent": lambda v: v / 100.0, "%": lambda v: v / 100.0}
MM: Units = {"mm": _same, "inch": lambda v: v * 25.4, "m": lambda v: v * 1000.0}


def unit_of(stated: object, units: Units, field: str) -> Convert:
    """How a stated unit becomes ours; a prefix as in ``wmoUnit:degC`` is ignored.

    Raises
    ------
    OutsideFailure
        ``forecast.unknown_unit``.
    """
    unit = str(stated).rpartition(":")[2]
    if unit not in units:
        raise OutsideFailure("forecast.unknown_unit", field=field, unit=stated or "no unit", known=", ".join(units))
    return units[unit]


def number(raw: object, field: str) -> float:
    """A finite number.

    Raises
    ------
    OutsideFailure
        ``forecast.bad_value``.
    """
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not math.isfinite(raw):
        raise OutsideFailure("forecast.bad_value", field=field, value=repr(raw)[:40])
    return float(raw)


def within(value: float, low: float, high: float, field: str) -> float:
    """A value inside what physics allows.

    Raises
    ------
    OutsideFailure
        ``forecast.out_of_range``.
    """
    if not low <= value <= high:
        raise OutsideFailure("forecast.out_of_range", field=field, value=round(value, 3), low=low, high=round(high, 1))
    return value


def moment(raw: object, field: str) -> datetime:
    """An ISO 8601 moment with its offset [UTC].

    Raises
    ------
    OutsideFailure
        ``forecast.bad_time``.
    """
    try:
        read: datetime = isodate.parse_datetime(raw)
        if read.tzinfo is None:
            raise ValueError("no offset from UTC")
    except (ValueError, TypeError, AttributeError, OverflowError) as error:
        raise OutsideFailure("forecast.bad_time", field=field, text=repr(raw)[:80]) from error
    return read.astimezone(UTC)


def mapping(raw: object, field: str) -> dict[str, Any]:
    """A JSON object.

    Raises
    ------
    OutsideFailure
        ``forecast.bad_value``.
    """
    if not isinstance(raw, dict):
        raise OutsideFailure("forecast.bad_value", field=field, value=repr(raw)[:40])
    return raw


def sequence(raw: object, field: str) -> list[Any]:
    """A JSON list.

    Raises
    ------
    OutsideFailure
        ``forecast.bad_value``.
    """
    if not isinstance(raw, list):
        raise OutsideFailure("forecast.bad_value", field=field, value=repr(raw)[:40])
    return raw
