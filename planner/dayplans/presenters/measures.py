"""SI numbers, moments and spans as a crew in the United States reads them aloud."""

from collections.abc import Callable
from datetime import date, datetime
from zoneinfo import ZoneInfo

from planner.dayplans.facts import UnitCode

Gettext = Callable[[str], str]


def gettext_noop(words: str) -> str:
    """Mark words for the translators; they are translated where they are shown."""
    return words


# SI unit -> (factor, offset, unit in words, decimals). Factors: exact definitions of the international foot
# (0.3048 m), the US gallon (231 cubic inches), the pound (0.45359237 kg) and the mile (5280 ft).
_SHOWN: dict[UnitCode, tuple[float, float, str, int]] = {
    "m": (1 / 0.3048, 0.0, gettext_noop("feet"), 1),
    "m2": (1 / 0.3048**2, 0.0, gettext_noop("square feet"), 0),
    "m3": (1 / 0.9144**3, 0.0, gettext_noop("cubic yards"), 1),
    "l": (1 / 3.785411784, 0.0, gettext_noop("gallons"), 0),
    "kg": (1 / 0.45359237, 0.0, gettext_noop("pounds"), 0),
    "mpa": (145.0377377, 0.0, gettext_noop("psi"), 0),
    "m_per_h": (1 / 0.3048, 0.0, gettext_noop("feet per hour"), 1),
    "m3_per_h": (1 / 0.9144**3, 0.0, gettext_noop("cubic yards per hour"), 1),
    "degc": (1.8, 32.0, "°F", 0),
    "m_s": (3600 / 1609.344, 0.0, gettext_noop("mph"), 0),
    "mm": (1 / 25.4, 0.0, gettext_noop("inches"), 2),
    "mm_h": (1 / 25.4, 0.0, gettext_noop("inches an hour"), 2),
    "kg_m2_h": (0.2048161436, 0.0, gettext_noop("pounds per square foot an hour"), 2),
    "share": (100.0, 0.0, gettext_noop("percent"), 0),
    "h": (1.0, 0.0, gettext_noop("hours"), 1),
    "count": (1.0, 0.0, "", 0),
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
    factor, offset, _, decimals = _SHOWN[unit]
    shown = value * factor + offset
    rounded = f"{shown:,.{decimals}f}"
    if decimals:
        rounded = rounded.rstrip("0").rstrip(".")
    return "0" if rounded == "-0" else rounded


def measure(value: float, unit: UnitCode, gettext: Gettext = str) -> str:
    """The converted number with its unit in words.

    >>> measure(14.1, "m3"), measure(5.0, "m_s")
    ('18.4 cubic yards', '11 mph')
    """
    shown, words = number(value, unit), _SHOWN[unit][2]
    if shown == "1":
        words = _ONE_OF.get(words, words)
    return f"{shown} {gettext(words)}" if words else shown


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
    value = distance_m / 1609.344
    shown = f"{value:.1f}" if value < 9.95 else f"{value:.0f}"
    return f"{shown} {gettext('miles')}"
