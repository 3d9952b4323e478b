"""Amounts of an order in the units a supplier in the United States sells in."""

from collections.abc import Callable

from jobs.domain import units

# Unit code of the list -> (conversion, words, words for one, decimals).
SOLD: dict[str, tuple[Callable[[float], float], str, str, int]] = {
    "m": (units.ft_from_m, "feet", "foot", 1),
    "cm": (units.in_from_m, "inches", "inch", 0),
    "m2": (units.ft2_from_m2, "square feet", "square foot", 0),
    "m3": (units.yd3_from_m3, "cubic yards", "cubic yard", 2),
    "kg": (units.lb_from_kg, "pounds", "pound", 0),
    "t": (units.tons_from_t, "tons", "ton", 1),
    "t_m3": (
        lambda dense: units.tons_from_t(dense) * units.M3_PER_YD3,
        "tons a cubic yard",
        "ton a cubic yard",
        2,
    ),
    "dollars_m3": (
        lambda dear: dear * units.M3_PER_YD3,
        "dollars a cubic yard",
        "dollar a cubic yard",
        0,
    ),
    "each": (float, "pieces", "piece", 0),
}


def sold_in_us(value: float, unit: str) -> str:
    """A number with its unit in words; a unit that is no code stands as it is.

    >>> sold_in_us(0.764555, "m3"), sold_in_us(6.096, "m"), sold_in_us(209.0, "dollars_m3"), sold_in_us(2.5, "boxes")
    ('1 cubic yard', '20 feet', '160 dollars a cubic yard', '2.5 boxes')
    """
    if unit == "size":
        feet, inches = units.feet_and_inches_from_m(value)
        return f"{feet} feet {inches} inches" if inches else f"{feet} feet"
    if unit not in SOLD:
        return f"{_trimmed(value, 2)} {unit}"
    convert, many, one, decimals = SOLD[unit]
    shown = _trimmed(convert(value), decimals)
    return f"{shown} {one if shown == '1' else many}"


def _trimmed(value: float, decimals: int) -> str:
    shown = f"{value:,.{decimals}f}"
    return shown.rstrip("0").rstrip(".") if decimals else shown
