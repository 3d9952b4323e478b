"""Checks of numbers a person entered; each names the field and the remedy."""

import math

from jobs.domain.errors import CannotDo

UNITS = {"_m3_h": "m³/h", "_m3": "m³", "_m2": "m²", "_kg": "kg", "_each": "pieces", "_m": "m"}


def spoken(field: str) -> str:
    """The field as a person says it.

    >>> spoken("deep_depth_m")
    'deep depth'
    """
    for ending in UNITS:
        field = field.removesuffix(ending)
    return field.replace("_", " ")


def amount_of(field: str, value: float) -> str:
    """The value with the unit at the end of its field's name.

    >>> amount_of("flow_m3_h", 2.73), amount_of("dig_slope", 0.5)
    ('2.73 m³/h', '0.5')
    """
    unit = next((unit for ending, unit in UNITS.items() if field.endswith(ending)), "")
    return f"{value:g} {unit}".strip()


def check_number(field: str, value: object) -> None:
    """Refuse anything but a finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise CannotDo("basin.not_a_number", field=field, what=spoken(field), value=value)


def check_not_negative(field: str, value: float) -> None:
    """Refuse anything but a finite number of zero or more."""
    check_number(field, value)
    if value < 0:
        raise CannotDo("basin.negative", field=field, what=spoken(field), amount=amount_of(field, value))


def check_positive(field: str, value: float) -> None:
    """Refuse anything but a finite number above zero."""
    check_number(field, value)
    if value <= 0:
        raise CannotDo("basin.not_positive", field=field, what=spoken(field), amount=amount_of(field, value))


def check_at_most(field: str, value: float, limit: float) -> None:
    """Refuse a number above what any pool of this trade has: feet entered as metres, a slipped decimal."""
    if value > limit:
        raise CannotDo(
            "basin.too_large",
            field=field,
            what=spoken(field),
            amount=amount_of(field, value),
            limit=amount_of(field, limit),
        )
