"""Feet, gallons, degrees Fahrenheit: the only place where the units of the trade meet SI.

Factors are exact by definition (international yard and pound 1959; US gallon of 231 cubic inches).
"""

from collections.abc import Mapping
from typing import Any

M_PER_FT = 0.3048
M_PER_IN = 0.0254
M3_PER_GALLON = 231 * M_PER_IN**3
M3_PER_YD3 = (3 * M_PER_FT) ** 3
KG_PER_LB = 0.45359237
M_S_PER_MPH = 5280 * M_PER_FT / 3600
LBF_N = KG_PER_LB * 9.80665
MINUTES_PER_HOUR = 60


def m_from_ft(feet: float) -> float:
    """Metres from feet.

    >>> m_from_ft(10.0)
    3.048
    """
    return feet * M_PER_FT


def ft_from_m(metres: float) -> float:
    """Feet from metres."""
    return metres / M_PER_FT


def feet_and_inches_from_m(metres: float) -> tuple[int, int]:
    """Whole feet and inches from metres (not negative), to the nearest inch.

    >>> feet_and_inches_from_m(1.067)
    (3, 6)
    """
    feet, inches = divmod(round(metres / M_PER_IN), 12)
    return feet, inches


def m_from_in(inches: float) -> float:
    """Metres from inches."""
    return inches * M_PER_IN


def in_from_m(metres: float) -> float:
    """Inches from metres."""
    return metres / M_PER_IN


def mm_from_in(inches: float) -> float:
    """Millimetres (of rain) from inches."""
    return inches * M_PER_IN * 1000


def in_from_mm(millimetres: float) -> float:
    """Inches (of rain) from millimetres."""
    return millimetres / (M_PER_IN * 1000)


def m2_from_ft2(square_feet: float) -> float:
    """Square metres from square feet."""
    return square_feet * M_PER_FT**2


def ft2_from_m2(square_metres: float) -> float:
    """Square feet from square metres."""
    return square_metres / M_PER_FT**2


def m3_from_ft3(cubic_feet: float) -> float:
    """Cubic metres from cubic feet."""
    return cubic_feet * M_PER_FT**3


def ft3_from_m3(cubic_metres: float) -> float:
    """Cubic feet from cubic metres."""
    return cubic_metres / M_PER_FT**3


def m3_from_yd3(cubic_yards: float) -> float:
    """Cubic metres from cubic yards."""
    return cubic_yards * M3_PER_YD3


def yd3_from_m3(cubic_metres: float) -> float:
    """Cubic yards from cubic metres."""
    return cubic_metres / M3_PER_YD3


def m3_from_gallons(gallons: float) -> float:
    """Cubic metres from US gallons."""
    return gallons * M3_PER_GALLON


def gallons_from_m3(cubic_metres: float) -> float:
    """US gallons from cubic metres.

    >>> round(gallons_from_m3(1.0), 3)
    264.172
    """
    return cubic_metres / M3_PER_GALLON


def m3_h_from_gpm(gallons_a_minute: float) -> float:
    """Cubic metres an hour from US gallons a minute.

    >>> round(m3_h_from_gpm(12.0), 2)
    2.73
    """
    return gallons_a_minute * M3_PER_GALLON * MINUTES_PER_HOUR


def gpm_from_m3_h(cubic_metres_an_hour: float) -> float:
    """US gallons a minute from cubic metres an hour."""
    return cubic_metres_an_hour / (M3_PER_GALLON * MINUTES_PER_HOUR)


def c_from_f(degrees_f: float) -> float:
    """Degrees Celsius from Fahrenheit.

    >>> c_from_f(212.0)
    100.0
    """
    return (degrees_f - 32) * 5 / 9


def f_from_c(degrees_c: float) -> float:
    """Degrees Fahrenheit from Celsius."""
    return degrees_c * 9 / 5 + 32


def m_s_from_mph(miles_an_hour: float) -> float:
    """Metres a second from miles an hour."""
    return miles_an_hour * M_S_PER_MPH


def mph_from_m_s(metres_a_second: float) -> float:
    """Miles an hour from metres a second."""
    return metres_a_second / M_S_PER_MPH


def kg_from_lb(pounds: float) -> float:
    """Kilograms from pounds."""
    return pounds * KG_PER_LB


def lb_from_kg(kilograms: float) -> float:
    """Pounds from kilograms."""
    return kilograms / KG_PER_LB


def tons_from_t(tonnes: float) -> float:
    """Tons of 2000 lb from tonnes.

    >>> round(tons_from_t(1.0), 4)
    1.1023
    """
    return tonnes * 1000 / (2000 * KG_PER_LB)


def kpa_from_psf(pounds_a_square_foot: float) -> float:
    """Kilopascals from pounds-force a square foot."""
    return pounds_a_square_foot * LBF_N / M_PER_FT**2 / 1000


def psf_from_kpa(kilopascals: float) -> float:
    """Pounds-force a square foot from kilopascals."""
    return kilopascals * 1000 * M_PER_FT**2 / LBF_N


def mpa_from_psi(pounds_a_square_inch: float) -> float:
    """Megapascals from pounds-force a square inch."""
    return pounds_a_square_inch * LBF_N / M_PER_IN**2 / 1e6


def psi_from_mpa(megapascals: float) -> float:
    """Pounds-force a square inch from megapascals."""
    return megapascals * 1e6 * M_PER_IN**2 / LBF_N


SHORT_UNITS = {
    "ft": ("m", M_PER_FT),
    "in": ("m", M_PER_IN),
    "lb": ("kg", KG_PER_LB),
    "gal": ("m3", M3_PER_GALLON),
    "gpm": ("m3_h", M3_PER_GALLON * 60),
}


def metric(values: Any) -> Any:
    """Values of a file with every name that ends in ``_ft``, ``_in``, ``_lb``, ``_gal`` or ``_gpm`` turned into SI.

    Anything that is no number is left as it is, name and all, for whoever reads it to refuse.

    >>> metric({"length_ft": 10, "parts": [{"depth_in": 10}], "soil": "loam"})
    {'length_m': 3.048, 'parts': [{'depth_m': 0.254}], 'soil': 'loam'}
    >>> metric({"flow_gpm": 12, "load_gal": 6000, "water_gal": "much"})
    {'flow_m3_h': 2.725496, 'load_m3': 22.712471, 'water_gal': 'much'}
    """
    if isinstance(values, Mapping):
        return dict(_metric_item(name, value) for name, value in values.items())
    if isinstance(values, list | tuple):
        return [metric(value) for value in values]
    return values


def _metric_item(name: str, value: Any) -> tuple[str, Any]:
    what, _, ending = name.rpartition("_")
    unit, factor = SHORT_UNITS.get(ending, ("", 0.0))
    if what and unit and isinstance(value, int | float) and not isinstance(value, bool):
        return f"{what}_{unit}", round(value * factor, 6)
    return name, metric(value)
