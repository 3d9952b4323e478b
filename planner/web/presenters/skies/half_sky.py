"""The sky behind a calendar, half-day by half-day."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from planner.dayplans.presenters.measures import Gettext, clock, number
from planner.web.presenters.canvas import px, words_width
from planner.web.presenters.day_scale import DAY_FROM_H, DAY_UNTIL_H, DayScale, short_day

FROST_C = 0.0
# Where hot-weather care for concrete and people begins (90 °F; common practice, no source).
HOT_C = 32.2
# 25 mph: where light forms and sheets begin to lift (common practice, no source).
WINDY_M_S = 11.2
NUMBER_SIZE = 12.0
DAY_FROM, NIGHT_FROM = time(int(DAY_FROM_H)), time(int(DAY_UNTIL_H))

Reach = Literal["forecast", "climate", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfDay:
    """One half-day of sky. ``climate`` marks what past years say, beyond the forecast's reach."""

    from_at: datetime
    until_at: datetime
    rain_chance: float | None = None
    low_c: float | None = None
    high_c: float | None = None
    wind_m_s: float | None = None
    climate: bool = False
    night: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyCell:
    x: float
    width: float
    middle: float
    reach: Reach
    night: bool
    curtain: float
    chance: str
    high: str
    frost: bool
    hot: bool
    windy: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyLine:
    """One half-day as a row of the table."""

    when: str
    span: str
    chance: str
    low: str
    high: str
    wind: str
    reach: Reach


def reach_of(half: HalfDay) -> Reach:
    """Where the rain chance comes from; an unknown one is unknown whatever else is known."""
    if half.rain_chance is None:
        return "unknown"
    return "climate" if half.climate else "forecast"


def chance_words(half: HalfDay) -> str:
    """The chance of rain as a drawing says it: ``68%``, ``~22%`` where past years say it, ``?`` where nobody knows.

    >>> at = datetime(2026, 6, 15, 6)
    >>> chance_words(HalfDay(from_at=at, until_at=at, rain_chance=0.22, climate=True))
    '~22%'
    """
    if half.rain_chance is None:
        return "?"
    return f"{'~' if half.climate else ''}{number(half.rain_chance, 'share')}%"


def without_gaps(halves: tuple[HalfDay, ...], scale: DayScale) -> tuple[HalfDay, ...]:
    """The half-days with an unknown one wherever the scale has none: a missing sky must not look dry."""
    missing = []
    for at in range(-1, scale.days):
        on = scale.from_on + timedelta(days=at)
        day_from = datetime.combine(on, DAY_FROM, tzinfo=scale.zone)
        night_from = datetime.combine(on, NIGHT_FROM, tzinfo=scale.zone)
        next_day = datetime.combine(on + timedelta(days=1), DAY_FROM, tzinfo=scale.zone)
        for start, end, night in ((day_from, night_from, False), (night_from, next_day, True)):
            if not any(half.from_at < end and start < half.until_at for half in halves):
                missing.append(HalfDay(from_at=start, until_at=end, night=night))
    return tuple(sorted((*halves, *missing), key=lambda half: half.from_at))


def draw_half_days(halves: tuple[HalfDay, ...], scale: DayScale, height: float) -> Iterator[SkyCell]:
    """Cells whose shade falls from the top as far as the chance of rain, at most ``height``."""
    for half in without_gaps(halves, scale):
        if not scale.shows(half.from_at, half.until_at):
            continue
        x, end = scale.x(half.from_at), scale.x(half.until_at)
        chance = "?" if half.rain_chance is None else number(half.rain_chance, "share")
        high = "" if half.high_c is None else number(half.high_c, "degc")
        yield SkyCell(
            x=px(x),
            width=px(end - x),
            middle=px((x + end) / 2),
            reach=reach_of(half),
            night=half.night,
            curtain=px(height * (half.rain_chance or 0.0)),
            chance=chance if words_width(chance, NUMBER_SIZE) <= end - x else "",
            high=high if words_width(high, NUMBER_SIZE) <= end - x else "",
            frost=half.low_c is not None and half.low_c <= FROST_C,
            hot=half.high_c is not None and half.high_c >= HOT_C,
            windy=half.wind_m_s is not None and half.wind_m_s >= WINDY_M_S,
        )


def list_half_days(halves: tuple[HalfDay, ...], scale: DayScale, gettext: Gettext = str) -> Iterator[SkyLine]:
    """The half-days of a scale as rows; an unknown value is said."""
    shown = (half for half in without_gaps(halves, scale) if scale.shows(half.from_at, half.until_at))
    return lines_of(shown, scale.zone, gettext)


def lines_of(halves: Iterable[HalfDay], zone: ZoneInfo, gettext: Gettext = str) -> Iterator[SkyLine]:
    """Half-days as rows; an unknown value is said."""
    unknown = gettext("not known")
    for half in halves:
        yield SkyLine(
            when=short_day(half.from_at.astimezone(zone).date(), gettext),
            span=f"{clock(half.from_at, zone, gettext)} – {clock(half.until_at, zone, gettext)}",
            chance=unknown if half.rain_chance is None else f"{number(half.rain_chance, 'share')} %",
            low=unknown if half.low_c is None else number(half.low_c, "degc"),
            high=unknown if half.high_c is None else number(half.high_c, "degc"),
            wind=unknown if half.wind_m_s is None else number(half.wind_m_s, "m_s"),
            reach=reach_of(half),
        )
