"""SI numbers, moments and spans as a crew in the United States reads them aloud."""

import re
from collections.abc import Callable
from datetime import date, datetime
from typing import cast, get_args
from zoneinfo import ZoneInfo

from jobs.domain import units
from planner.dayplans.facts import UnitCode

Gettext = Callable[[str], str]


# A value in the data's sentences, with the unit it is stored in: {3.048 m}.
VALUE = re.compile(r"\{(?P<value>-?[0-9.]+) (?P<unit>[a-z0-9_]+)\}")


def gettext_noop(words: str) -> str:
    """Mark words for the translators; they are translated where they are shown."""
    return words


# SI unit -> (conversion, unit in words, decimals).
_SHOWN: dict[UnitCode, tuple[Callable[[float], float], str, int]] = {
    "m": (units.ft_from_m, gettext_noop("feet"), 1),
    "m_long": (units.ft_from_m, gettext_noop("feet"), 0),
    "m_small": (lambda metres: units.in_from_mm(1000 * metres), gettext_noop("inches"), 0),
    "m2": (units.ft2_from_m2, gettext_noop("square feet"), 0),
    "m3": (units.yd3_from_m3, gettext_noop("cubic yards"), 1),
    # Plants sell by the quarter yard: a decimal less would order too little.
    "m3_ordered": (units.yd3_from_m3, gettext_noop("cubic yards"), 2),
    "l": (lambda litres: units.gallons_from_m3(litres / 1000), gettext_noop("gallons"), 0),
    "kg": (units.lb_from_kg, gettext_noop("pounds"), 0),
    "mpa": (units.psi_from_mpa, gettext_noop("psi"), 0),
    "m_per_h": (units.ft_from_m, gettext_noop("feet per hour"), 1),
    "m3_per_h": (units.yd3_from_m3, gettext_noop("cubic yards per hour"), 1),
    "degc": (units.f_from_c, "°F", 0),
    "m_s": (units.mph_from_m_s, gettext_noop("mph"), 0),
    "mm": (units.in_from_mm, gettext_noop("inches"), 2),
    "mm_h": (units.in_from_mm, gettext_noop("inches an hour"), 2),
    "kg_m2_h": (
        lambda rate: units.lb_from_kg(rate) * units.M_PER_FT**2,
        gettext_noop("pounds per square foot an hour"),
        2,
    ),
    "share": (lambda share: 100 * share, gettext_noop("percent"), 0),
    "h": (float, gettext_noop("hours"), 1),
    "count": (float, "", 0),
}

_ONE_OF: dict[str, str] = {
    "feet": gettext_noop("foot"),
    "square feet": gettext_noop("square foot"),
    "cubic yards": gettext_noop("cubic yard"),
    "gallons": gettext_noop("gallon"),
    "pounds": gettext_noop("pound"),
    "feet per hour": gettext_noop("foot per hour"),
    "cubic yards per hour": gettext_noop("cubic yard per hour"),
    "inches": gettext_noop("inch"),
    "inches an hour": gettext_noop("inch an hour"),
    "hours": gettext_noop("hour"),
}

_WEEKDAYS = (
    gettext_noop("Monday"),
    gettext_noop("Tuesday"),
    gettext_noop("Wednesday"),
    gettext_noop("Thursday"),
    gettext_noop("Friday"),
    gettext_noop("Saturday"),
    gettext_noop("Sunday"),
)
_MONTHS = (
    gettext_noop("January"),
    gettext_noop("February"),
    gettext_noop("March"),
    gettext_noop("April"),
    gettext_noop("May"),
    gettext_noop("June"),
    gettext_noop("July"),
    gettext_noop("August"),
    gettext_noop("September"),
    gettext_noop("October"),
    gettext_noop("November"),
    gettext_noop("December"),
)


def number(value: float, unit: UnitCode) -> str:
    """The converted number alone, for a column whose head names the unit.

    >>> number(1.0, "m3"), number(35.0, "degc"), number(0.0, "mm")
    ('1.3', '95', '0')
    """
    convert, _, decimals = _SHOWN[unit]
    rounded = f"{convert(value):,.{decimals}f}"
    if decimals:
        rounded = rounded.rstrip("0").rstrip(".")
    return "0" if rounded == "-0" else rounded


def measure(value: float, unit: UnitCode, gettext: Gettext = str) -> str:
    """The converted number with its unit in words.

    >>> measure(14.1, "m3"), measure(5.0, "m_s")
    ('18.4 cubic yards', '11 mph')
    """
    shown, words = number(value, unit), _SHOWN[unit][1]
    if shown == "1":
        words = _ONE_OF.get(words, words)
    return f"{shown} {gettext(words)}" if words else shown


def worded(sentence: str, gettext: Gettext = str) -> str:
    """A sentence of the data with its SI values, written as ``{3.048 m}``, in the crew's units.

    Raises
    ------
    KeyError
        A unit nobody knows: that is a bug in the data.

    >>> worded("Stay {3.048 m} away."), worded("Two people over {22.68 kg}.")
    ('Stay 10 feet away.', 'Two people over 50 pounds.')
    """

    def shown(found: re.Match[str]) -> str:
        unit = found["unit"]
        if unit not in get_args(UnitCode):
            raise KeyError(unit)
        return measure(float(found["value"]), cast(UnitCode, unit), gettext)

    return VALUE.sub(shown, sentence)


def measure_beside(value: float, limit: float | None, unit: UnitCode, gettext: Gettext = str) -> str:
    """A number beside its limit; where both round to the same, the side it lies on is said.

    >>> measure_beside(0.2, 0.254, "mm"), measure_beside(4.1, 2.5, "mm_h")
    ('just under 0.01 inches', '0.16 inches an hour')
    """
    shown = measure(value, unit, gettext)
    if limit is None or value == limit or shown != measure(limit, unit, gettext):
        return shown
    words = gettext("just under {value}") if value < limit else gettext("just over {value}")
    return words.format(value=shown)


def clock(moment: datetime, zone: ZoneInfo, gettext: Gettext = str) -> str:
    """A moment on the site's clock; twelve o'clock is noon or midnight, never am or pm.

    >>> clock(datetime.fromisoformat("2026-06-16T17:30+00:00"), ZoneInfo("America/New_York"))
    '1:30 pm'
    """
    local = moment.astimezone(zone)
    if local.minute == 0 and local.hour % 12 == 0:
        return gettext("noon") if local.hour else gettext("midnight")
    return f"{local.hour % 12 or 12}:{local.minute:02d} {'am' if local.hour < 12 else 'pm'}"


def hour(moment: datetime, zone: ZoneInfo, gettext: Gettext = str) -> str:
    """A full hour, short."""
    local = moment.astimezone(zone)
    if local.hour % 12 == 0:
        return gettext("noon") if local.hour else gettext("midnight")
    return f"{local.hour % 12} {'am' if local.hour < 12 else 'pm'}"


def day(on: date, gettext: Gettext = str, *, year: bool = False) -> str:
    """A date with its weekday.

    >>> day(date(2026, 6, 16))
    'Tuesday, June 16'
    """
    words = f"{gettext(_WEEKDAYS[on.weekday()])}, {gettext(_MONTHS[on.month - 1])} {on.day}"
    return f"{words}, {on.year}" if year else words


def clock_on(moment: datetime, zone: ZoneInfo, today: date, gettext: Gettext = str) -> str:
    """A moment on the site's clock, with the day unless it is ``today``."""
    on, at = moment.astimezone(zone).date(), clock(moment, zone, gettext)
    return at if on == today else f"{at} {day(on, gettext)}"


def minutes(count: int) -> str:
    """A stretch of time.

    >>> minutes(25), minutes(60), minutes(95)
    ('25 min', '1 h', '1 h 35 min')
    """
    whole, rest = divmod(count, 60)
    return " ".join(
        part for part in (f"{whole} h" if whole else "", f"{rest} min" if rest or not whole else "") if part
    )


def miles(distance_m: float, gettext: Gettext = str) -> str:
    """A drive: tenths of a mile below ten."""
    value = units.ft_from_m(distance_m) / 5280
    shown = f"{value:.1f}" if value < 9.95 else f"{value:.0f}"
    return f"{shown} {gettext('miles')}"
