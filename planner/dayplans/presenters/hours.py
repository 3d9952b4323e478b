"""The hours of a forecast as a crew reads them; an unknown value is said, never shown as dry."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from planner.dayplans.facts import SkyHour
from planner.dayplans.presenters.measures import Gettext, hour, number


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyRow:
    """One hour in US units; an unknown value is the words for not known, never empty, never zero."""

    hour: str
    temp_f: str
    rain_chance: str
    rain_in: str
    wind_mph: str
    gust_mph: str
    thunder: str
    sky: str
    night: bool
    unknown: bool


def sky_words(one: SkyHour, gettext: Gettext = str) -> str:
    """The sky of an hour in a word, by the share of it that cloud covers (eighths, as observers report)."""
    if one.sky_cover is None:
        return gettext("not known")
    # Few, scattered, broken, overcast: up to 2/8, 4/8, under 8/8 (from memory, WMO cloud amount groups).
    for limit, words in (
        (0.125, gettext("clear")),
        (0.25, gettext("few clouds")),
        (0.5, gettext("scattered")),
        (0.875, gettext("mostly cloudy")),
    ):
        if one.sky_cover <= limit:
            return words
    return gettext("overcast")


def thunder_words(one: SkyHour, gettext: Gettext = str) -> str:
    """The chance of thunder; an unknown is said."""
    if one.thunder_chance is None:
        return gettext("not known")
    return gettext("none") if one.thunder_chance < 0.005 else f"{number(one.thunder_chance, 'share')} %"


def rain_words(one: SkyHour, gettext: Gettext = str) -> str:
    """Inches in the hour; less than the last decimal is a trace, never zero."""
    if one.rain_mm is None:
        return gettext("not known")
    shown = number(one.rain_mm, "mm")
    return gettext("trace") if shown == "0" and one.rain_mm > 0 else shown


def present_hour(one: SkyHour, zone: ZoneInfo, gettext: Gettext = str) -> SkyRow:
    """One hour as words and numbers."""
    unknown = gettext("not known")
    return SkyRow(
        hour=hour(one.starts_at, zone, gettext),
        temp_f=unknown if one.air_temp_c is None else number(one.air_temp_c, "degc"),
        rain_chance=unknown if one.rain_chance is None else f"{number(one.rain_chance, 'share')} %",
        rain_in=rain_words(one, gettext),
        wind_mph=unknown if one.wind_m_s is None else number(one.wind_m_s, "m_s"),
        gust_mph=unknown if one.gust_m_s is None else number(one.gust_m_s, "m_s"),
        thunder=thunder_words(one, gettext),
        sky=sky_words(one, gettext),
        night=one.night,
        unknown=one.rain_chance is None,
    )
