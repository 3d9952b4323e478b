"""Units a crew may type, each with its way into SI and back."""

from collections.abc import Callable
from dataclasses import dataclass

from jobs.domain import units

KG_M3_PER_LB_FT3 = units.KG_PER_LB / units.M_PER_FT**3


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit.

    Attributes
    ----------
    symbol : as it is shown.
    words : other ways to write it, in lower case.
    to_si, from_si : between this unit and the SI unit of its kind.
    """

    symbol: str
    words: tuple[str, ...] = ()
    to_si: Callable[[float], float]
    from_si: Callable[[float], float]

    def is_meant_by(self, written: str) -> bool:
        """Whether somebody wrote this unit.

        >>> DEGREES_F.is_meant_by("f"), DEGREES_F.is_meant_by("°F"), DEGREES_F.is_meant_by("ft")
        (True, True, False)
        """
        plain = written.strip().rstrip(".").lower()
        return plain in {self.symbol.lower(), *self.words}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What is measured: its name for a sentence, and its units, the crew's own first."""

    name: str
    units: tuple[Unit, ...]
    may_be_negative: bool = False

    def unit(self, written: str) -> Unit | None:
        """The unit somebody wrote, if it is one of this kind."""
        return next((unit for unit in self.units if unit.is_meant_by(written)), None)

    @property
    def symbols(self) -> tuple[str, ...]:
        """The units as shown."""
        return tuple(unit.symbol for unit in self.units)


def _by(symbol: str, factor: float, *words: str) -> Unit:
    return Unit(symbol=symbol, words=words, to_si=lambda value: value * factor, from_si=lambda value: value / factor)


DEGREES_F = Unit(symbol="°F", words=("f", "degf", "deg f", "fahrenheit"), to_si=units.c_from_f, from_si=units.f_from_c)
DEGREES_C = Unit(symbol="°C", words=("c", "degc", "deg c", "celsius"), to_si=float, from_si=float)

FEET = _by("ft", units.M_PER_FT, "foot", "feet", "'")
INCHES = _by("in", units.M_PER_IN, "inch", "inches", '"', "''")
METRES = _by("m", 1.0, "metre", "metres", "meter", "meters")
CENTIMETRES = _by("cm", 0.01)
MILLIMETRES = _by("mm", 0.001)
GALLONS = _by("gal", units.M3_PER_GALLON, "gallon", "gallons", "gals")
CUBIC_FEET = _by("ft³", units.M_PER_FT**3, "ft3", "cu ft", "cubic feet")
CUBIC_YARDS = _by("yd³", units.M3_PER_YD3, "yd3", "yd", "yds", "cu yd", "yard", "yards", "cubic yards")
CUBIC_METRES = _by("m³", 1.0, "m3", "cubic metres", "cubic meters")
LITRES = _by("L", 0.001, "l", "litre", "litres", "liter", "liters")
GALLONS_A_MINUTE = _by("gpm", units.m3_h_from_gpm(1.0), "gal/min", "gallons a minute")

LENGTH = Kind(name="length", units=(FEET, INCHES, METRES, CENTIMETRES))
THICKNESS = Kind(name="thickness", units=(INCHES, FEET, MILLIMETRES, CENTIMETRES, METRES))
AREA = Kind(
    name="area",
    units=(
        _by("ft²", units.M_PER_FT**2, "ft2", "sq ft", "sqft", "square feet"),
        _by("m²", 1.0, "m2", "sq m", "square metres", "square meters"),
    ),
)
WATER = Kind(name="water", units=(GALLONS, CUBIC_FEET, CUBIC_METRES, LITRES))
CONCRETE = Kind(name="concrete", units=(CUBIC_YARDS, CUBIC_FEET, CUBIC_METRES))
SOIL = Kind(name="soil", units=CONCRETE.units)
FLOW = Kind(
    name="flow of water",
    units=(
        GALLONS_A_MINUTE,
        _by("gph", units.M3_PER_GALLON, "gal/h", "gallons an hour"),
        _by("L/min", 0.06, "l/min", "lpm"),
        _by("m³/h", 1.0, "m3/h"),
    ),
)
PLACING = Kind(
    name="rate of placing",
    units=(_by("yd³/h", units.M3_PER_YD3, "yd3/h", "yd/h", "yards an hour"), _by("m³/h", 1.0, "m3/h")),
)
TEMPERATURE = Kind(name="temperature", units=(DEGREES_F, DEGREES_C), may_be_negative=True)
WIND = Kind(
    name="wind",
    units=(_by("mph", units.M_S_PER_MPH, "mi/h"), _by("km/h", 1 / 3.6, "kmh", "kph"), _by("m/s", 1.0, "mps")),
)
# kPa inside.
FORM_PRESSURE = Kind(
    name="pressure",
    units=(
        _by("psf", units.kpa_from_psf(1.0), "lb/ft2", "lb/ft²"),
        _by("psi", units.mpa_from_psi(1000.0), "lb/in2"),
        _by("kPa", 1.0, "kpa"),
    ),
)
TAP_PRESSURE = Kind(
    name="pressure",
    units=(_by("psi", units.mpa_from_psi(1000.0), "lb/in2"), _by("kPa", 1.0), _by("bar", 100.0)),
)
ENERGY = Kind(name="energy of a mole", units=(_by("kJ/mol", 1000.0), _by("J/mol", 1.0)))
STRENGTH = Kind(name="strength", units=(_by("psi", units.mpa_from_psi(1.0), "lb/in2"), _by("MPa", 1.0)))
DENSITY = Kind(
    name="weight of concrete",
    units=(_by("lb/ft³", KG_M3_PER_LB_FT3, "lb/ft3", "pcf"), _by("kg/m³", 1.0, "kg/m3")),
)
HOURS = Kind(name="time", units=(_by("h", 1.0, "hr", "hrs", "hour", "hours"), _by("d", 24.0, "day", "days")))
# Hours inside.
MINUTES = Kind(
    name="time", units=(_by("min", 1 / 60, "minute", "minutes"), _by("h", 1.0, "hr", "hrs", "hour", "hours"))
)
DAYS = Kind(name="time", units=(_by("d", 24.0, "day", "days"), _by("h", 1.0, "hr", "hrs", "hour", "hours")))
SECONDS = Kind(name="time", units=(_by("s", 1.0, "sec", "second", "seconds"), _by("min", 60.0, "minute", "minutes")))
# Millimetres of water inside.
RAIN = Kind(name="rain", units=(_by("in", 25.4, "inch", "inches", '"'), _by("mm", 1.0)))
RAIN_A_DAY = Kind(
    name="water a day",
    units=(_by("in/day", 25.4, "in/d", "in", "inches a day"), _by("mm/day", 1.0, "mm/d", "mm")),
)
WEIGHT = Kind(name="weight", units=(_by("lb", units.KG_PER_LB, "lbs", "pound", "pounds"), _by("kg", 1.0, "kilograms")))
# Tonnes inside; a ton is 2000 lb.
HAULED = Kind(name="load", units=(_by("ton", 2000 * units.KG_PER_LB / 1000, "tons"), _by("t", 1.0, "tonne", "tonnes")))
# Tonnes a cubic metre inside.
LOOSE = Kind(
    name="weight of loose stone",
    units=(
        _by("ton/yd³", 2000 * units.KG_PER_LB / 1000 / units.M3_PER_YD3, "ton/yd3", "tons a yard"),
        _by("lb/ft³", KG_M3_PER_LB_FT3 / 1000, "lb/ft3", "pcf"),
        _by("t/m³", 1.0, "t/m3"),
    ),
)
PERCENT = Kind(name="share", units=(_by("%", 1.0, "percent", "pct"),))
PPM = Kind(name="concentration", units=(_by("ppm", 1.0, "mg/l"),))
PH = Kind(name="pH", units=(_by("", 1.0, "ph"),))
COUNT = Kind(name="count", units=(_by("", 1.0),))
DOLLARS = Kind(name="money", units=(_by("$", 1.0, "dollars", "usd"),))
# Hours for each 25 mm of rain inside.
WAIT_PER_RAIN = Kind(
    name="wait after rain",
    units=(_by("h/in", 25.0 / 25.4, "h per in", "h"), _by("h/25 mm", 1.0)),
)

# What a formula's own refusal speaks of, in the crew's unit: (unit of the formula, unit shown, conversion).
SHOWN: dict[str, tuple[str, Callable[[float], float]]] = {
    "degC": ("°F", units.f_from_c),
    "°C": ("°F", units.f_from_c),
    "m": ("ft", units.ft_from_m),
    "m/s": ("mph", units.mph_from_m_s),
    "m/h": ("ft/h", units.ft_from_m),
    "kPa": ("psf", units.psf_from_kpa),
    "MPa": ("psi", units.psi_from_mpa),
    "mm": ("in", units.in_from_mm),
    "m2": ("ft²", units.ft2_from_m2),
    "m3": ("gal", units.gallons_from_m3),
    "m3/h": ("gpm", units.gpm_from_m3_h),
    "kg/m3": ("lb/ft³", lambda value: value / KG_M3_PER_LB_FT3),
}
