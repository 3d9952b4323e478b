"""The sky of one day, hour by hour: rain chance as shade that falls from the top, unknown hours as dots."""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from planner.dayplans.facts import SkyHour
from planner.dayplans.presenters.hours import rain_words
from planner.dayplans.presenters.measures import Gettext, clock, hour, number
from planner.web.presenters.canvas import fit_words, px, words_width
from planner.web.presenters.trades import hatch_of

HOUR = timedelta(hours=1)
COLUMN = 30.0
LEFT = 36.0
RIGHT = 4.0
SKY_TOP = 18.0
SKY_HEIGHT = 104.0
ROW = 18.0
MARK_HEIGHT = 13.0
SIZE = 14.0
# A chance of thunder below this is not drawn; the table still says it (common practice, no source).
THUNDER_DRAWN_FROM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyMark:
    """Work to draw under the sky: its span, and until when weather can spoil it."""

    title: str
    trade: str
    from_at: datetime
    until_at: datetime
    safe_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HourColumn:
    """One hour's column; ``curtain`` is how far the rain shade falls from ``top``."""

    x: float
    middle: float
    width: float
    hour: str
    night: bool
    unknown: bool
    cloud: float
    curtain: float
    chance: str
    chance_y: float
    temp: str
    rain: str
    wind: str
    gust: str
    thunder: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkShape:
    """A strip of work with the tail in which weather can still spoil it."""

    hatch: str
    label: str
    label_x: float
    label_y: float
    x: float
    y: float
    width: float
    height: float
    tail_x: float
    tail_width: float
    safe: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HourSky:
    """Context ``sky`` of ``planner/drawings/hour_sky.html``."""

    width: float
    height: float
    top: float
    bottom: float
    sky_height: float
    hours_y: float
    chance_y: float
    percent_y: float
    temp_y: float
    rain_y: float
    wind_y: float
    gust_y: float
    left: float
    right: float
    columns: tuple[HourColumn, ...]
    marks: tuple[MarkShape, ...]
    summary: str


def draw_hours(
    hours: tuple[SkyHour, ...], *, zone: ZoneInfo, marks: tuple[SkyMark, ...] = (), gettext: Gettext = str
) -> HourSky | None:
    """The drawing of consecutive hours; None when there are none.

    Raises
    ------
    ValueError
        If the hours do not follow one another.
    """
    if not hours:
        return None
    for before, after in itertools.pairwise(hours):
        if after.starts_at - before.starts_at != HOUR:
            raise ValueError(f"hours must follow one another: {before.starts_at} then {after.starts_at}")
    width = LEFT + COLUMN * len(hours) + RIGHT
    bottom = SKY_TOP + SKY_HEIGHT
    first_row = bottom + ROW
    marks_top = first_row + 4 * ROW + 6
    shapes = tuple(_marks(hours, marks, zone, width, marks_top, gettext))
    height = marks_top + len(shapes) * (MARK_HEIGHT + ROW + 5) + 2
    return HourSky(
        width=px(width),
        height=px(height),
        top=SKY_TOP,
        bottom=px(bottom),
        sky_height=SKY_HEIGHT,
        hours_y=13.0,
        chance_y=SKY_TOP + 14,
        percent_y=SKY_TOP + 30,
        temp_y=px(first_row),
        rain_y=px(first_row + ROW),
        wind_y=px(first_row + 2 * ROW),
        gust_y=px(first_row + 3 * ROW),
        left=LEFT,
        right=px(width - RIGHT),
        columns=tuple(_column(one, at, zone, gettext) for at, one in enumerate(hours)),
        marks=shapes,
        summary=_summary(hours, zone, gettext),
    )


def _column(one: SkyHour, at: int, zone: ZoneInfo, gettext: Gettext) -> HourColumn:
    x = LEFT + at * COLUMN
    curtain = SKY_HEIGHT * (one.rain_chance or 0.0)
    return HourColumn(
        x=px(x),
        middle=px(x + COLUMN / 2),
        width=COLUMN,
        hour=_short_hour(one, zone),
        night=one.night,
        unknown=one.rain_chance is None,
        cloud=px(9 * (one.sky_cover or 0.0)),
        curtain=px(curtain),
        chance="?" if one.rain_chance is None else number(one.rain_chance, "share"),
        chance_y=px(SKY_TOP + (curtain + 14 if curtain + 18 < SKY_HEIGHT else curtain - 6)),
        temp="?" if one.air_temp_c is None else number(one.air_temp_c, "degc"),
        rain="?" if one.rain_mm is None else _short_rain(one, gettext),
        wind="?" if one.wind_m_s is None else number(one.wind_m_s, "m_s"),
        gust="?" if one.gust_m_s is None else number(one.gust_m_s, "m_s"),
        thunder=one.thunder_chance is not None and one.thunder_chance >= THUNDER_DRAWN_FROM,
    )


def _short_hour(one: SkyHour, zone: ZoneInfo) -> str:
    """The hour with a letter for its half of the day, short enough for a column."""
    local = one.starts_at.astimezone(zone)
    return f"{local.hour % 12 or 12}{'a' if local.hour < 12 else 'p'}"


def _short_rain(one: SkyHour, gettext: Gettext) -> str:
    words = rain_words(one, gettext)
    if words == gettext("trace"):
        return "tr"
    return words.removeprefix("0") or "0"


def _marks(
    hours: tuple[SkyHour, ...], marks: tuple[SkyMark, ...], zone: ZoneInfo, width: float, top: float, gettext: Gettext
) -> Iterator[MarkShape]:
    first, last = hours[0].starts_at, hours[-1].starts_at + HOUR

    def across(moment: datetime) -> float:
        return LEFT + COLUMN * (min(max(moment, first), last) - first) / HOUR

    y = top
    for mark in marks:
        if mark.until_at <= first or mark.from_at >= last:
            continue
        x, end = across(mark.from_at), across(mark.until_at)
        tail = across(mark.safe_at) if mark.safe_at else end
        said = f"{mark.title}, {clock(mark.from_at, zone, gettext)} to {clock(mark.until_at, zone, gettext)}"
        label = fit_words(mark.title, width - LEFT - RIGHT, SIZE)
        yield MarkShape(
            hatch=hatch_of(mark.trade),
            label=label,
            label_x=px(min(x, _start_of(label, width))),
            label_y=px(y + 12),
            x=px(x),
            y=px(y + ROW),
            width=px(max(end - x, 3.0)),
            height=MARK_HEIGHT,
            tail_x=px(end),
            tail_width=px(tail - end),
            safe=clock(mark.safe_at, zone, gettext) if mark.safe_at else "",
            said=said,
        )
        y += MARK_HEIGHT + ROW + 5


def _start_of(label: str, width: float) -> float:
    """The rightmost start at which a label still ends inside the drawing."""
    return max(LEFT, width - RIGHT - words_width(label, SIZE))


def _summary(hours: tuple[SkyHour, ...], zone: ZoneInfo, gettext: Gettext) -> str:
    """One sentence for people who do not see the drawing, and for the caption."""
    known = [one for one in hours if one.rain_chance is not None]
    if not known:
        return gettext("Nothing is known of the rain in these hours.")
    worst = max(known, key=lambda one: (one.rain_chance or 0.0, -one.starts_at.timestamp()))
    said = gettext("Highest rain chance {chance} percent, from {hour}.").format(
        chance=number(worst.rain_chance or 0.0, "share"), hour=hour(worst.starts_at, zone, gettext)
    )
    temps = [one.air_temp_c for one in hours if one.air_temp_c is not None]
    if temps:
        said += " " + gettext("{low} to {high} °F.").format(
            low=number(min(temps), "degc"), high=number(max(temps), "degc")
        )
    gusts = [one.gust_m_s for one in hours if one.gust_m_s is not None]
    if gusts:
        said += " " + gettext("Gusts up to {gust} mph.").format(gust=number(max(gusts), "m_s"))
    missing = len(hours) - len(known)
    if missing:
        said += " " + gettext("Hours not known: {hours}.").format(hours=missing)
    return said
