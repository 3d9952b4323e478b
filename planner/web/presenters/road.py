"""A crew as a winding road: a stone for every day, hatched where it works, a gap where it drives."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from planner.dayplans.presenters.measures import Gettext, clock, miles, minutes
from planner.dayplans.presenters.words import STATE_WORDS
from planner.web.presenters.canvas import px
from planner.web.presenters.day_scale import SHORT_DAYS, short_day
from planner.web.presenters.skies.half_sky import HalfDay, Reach, chance_words, reach_of
from planner.web.presenters.trades import LegendEntry, hatch_of, legend

HEIGHT = 96.0
# The road's middle where it crosses from piece to piece, and how far it swings between.
MIDDLE, SWING = 70.0, 11.0
GROUND = 58.0
STONE_WIDTH, DRIVE_WIDTH = 96.0, 74.0
STOP_LEAST, STOP_MOST, STOP_HOUR = 140.0, 236.0, 25.0
LAY_BY = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RoadStop:
    """One stay at a site on one day. ``travel_minutes`` and ``travel_m`` lead here from the stop before."""

    site: str
    title: str
    trade: str
    trade_title: str
    from_at: datetime
    until_at: datetime
    state: str
    travel_minutes: int = 0
    travel_m: float = 0.0
    where: str = ""
    with_crews: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RoadDay:
    """One day of a road: whether the crew is due, the sky of its daylight hours, and where its day plan is."""

    on: date
    due: bool
    sky: HalfDay | None = None
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoadPiece:
    """One stretch of the road with its words. A stop is a lay-by of a shape ``body``, hatched by trade.

    ``line`` is the road's middle; a drive is a gap, so its line is broken.
    """

    kind: Literal["stone", "drive", "stop"]
    width: float
    reach: Reach
    curtain: float
    chance: str
    rest: bool
    line: str
    body: str = ""
    hatch: str = ""
    state: str = ""
    weekday: str = ""
    number: str = ""
    now: bool = False
    title: str = ""
    words: str = ""
    more: str = ""
    where: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoadRow:
    day: str
    span: str
    site: str
    title: str
    where: str
    travel: str
    state: str
    state_word: str
    with_crews: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Road:
    """Context ``road`` of ``planner/drawings/road.html`` and ``road_table.html``."""

    crew: str
    height: float
    ground: float
    pieces: tuple[RoadPiece, ...]
    rows: tuple[RoadRow, ...]
    legend: tuple[LegendEntry, ...]
    summary: str

    @property
    def stretches(self) -> tuple[tuple[RoadPiece, ...], ...]:
        """The pieces of each day, from its stone on: a day stays whole where the road turns into another row."""
        days: list[list[RoadPiece]] = []
        for piece in self.pieces:
            if piece.kind == "stone":
                days.append([])
            days[-1].append(piece)
        return tuple(tuple(day) for day in days)


def draw_road(
    crew: str,
    days: Sequence[RoadDay],
    stops: Sequence[RoadStop],
    *,
    zone: ZoneInfo,
    today: date | None = None,
    gettext: Gettext = str,
) -> Road:
    """One crew's road over the days given; stops on other days are left out."""
    dates = {day.on for day in days}
    shown = sorted(
        (one for one in stops if _on(one, zone) in dates), key=lambda one: (one.from_at, one.site, one.title)
    )
    by_day: Mapping[date, list[RoadStop]] = {on: [one for one in shown if _on(one, zone) == on] for on in dates}
    return Road(
        crew=crew,
        height=HEIGHT,
        ground=GROUND,
        pieces=tuple(piece for day in days for piece in _day(day, by_day[day.on], zone, today, gettext)),
        rows=tuple(_row(one, zone, gettext) for one in shown),
        legend=legend((one.trade, one.trade_title) for one in shown),
        summary=_summary(crew, shown, len(days), gettext),
    )


def _on(one: RoadStop, zone: ZoneInfo) -> date:
    return one.from_at.astimezone(zone).date()


def _day(
    day: RoadDay, stops: Sequence[RoadStop], zone: ZoneInfo, today: date | None, gettext: Gettext
) -> Iterator[RoadPiece]:
    yield _stone(day, bool(stops), today, gettext)
    for one in stops:
        if one.travel_minutes > 0:
            yield _drive(day, one, gettext)
        yield _stop(day, one, zone, gettext)


def _stone(day: RoadDay, works: bool, today: date | None, gettext: Gettext) -> RoadPiece:
    free = gettext("nothing planned") if day.due else gettext("free day")
    said = short_day(day.on, gettext)
    return _piece(
        day,
        "stone",
        STONE_WIDTH,
        -SWING,
        weekday=gettext(SHORT_DAYS[day.on.weekday()]),
        number=str(day.on.day),
        now=day.on == today,
        title=gettext("Today") if day.on == today else said,
        words="" if works else free,
        where=day.where,
        said=said,
    )


def _drive(day: RoadDay, one: RoadStop, gettext: Gettext) -> RoadPiece:
    far = miles(one.travel_m, gettext) if one.travel_m > 0 else ""
    lasts = minutes(one.travel_minutes)
    said = gettext("Drive to {site}, {lasts}").format(site=one.site, lasts=lasts)
    return _piece(day, "drive", DRIVE_WIDTH, SWING, words=lasts, more=far, said=said)


def _stop(day: RoadDay, one: RoadStop, zone: ZoneInfo, gettext: Gettext) -> RoadPiece:
    hours = (one.until_at - one.from_at).total_seconds() / 3600
    width = min(max(hours * STOP_HOUR, STOP_LEAST), STOP_MOST)
    span = _span(one, zone, gettext)
    state = gettext(STATE_WORDS[one.state])
    with_crews = gettext("with {crews}").format(crews=", ".join(one.with_crews)) if one.with_crews else ""
    return _piece(
        day,
        "stop",
        width,
        0.0,
        body=_lay_by(width),
        hatch=hatch_of(one.trade),
        state=one.state,
        title=one.site,
        words=one.title,
        more=", ".join(filter(None, (span, with_crews, state if one.state != "waiting" else ""))),
        where=one.where,
        said=f"{one.site}: {one.title}, {short_day(_on(one, zone), gettext)} {span}, {state}",
    )


def _piece(
    day: RoadDay, kind: Literal["stone", "drive", "stop"], width: float, swing: float, **words: str | bool
) -> RoadPiece:
    sky = day.sky
    return RoadPiece(
        kind=kind,
        width=px(width),
        reach=reach_of(sky) if sky is not None else "unknown",
        curtain=px(GROUND * (sky.rain_chance or 0.0)) if sky is not None else 0.0,
        chance=(chance_words(sky) if sky is not None else "?") if kind == "stone" else "",
        rest=day.on.weekday() >= 5,
        line=_line(width, swing),
        **words,  # type: ignore[arg-type]
    )


def _line(width: float, swing: float) -> str:
    """The road's middle from edge to edge, level at both so that pieces meet."""
    half, third = px(width / 2), px(width / 4)
    middle, top = px(MIDDLE), px(MIDDLE + swing)
    there = f"C{third:g} {middle:g} {third:g} {top:g} {half:g} {top:g}"
    back = f"S{px(width - third):g} {middle:g} {px(width):g} {middle:g}"
    return f"M0 {middle:g}{there}{back}"


def _lay_by(width: float) -> str:
    """Where the road widens for a stay: from the full width of the road out to the lay-by and back."""
    left, right, ease = 4.0, px(width - 4), 20.0
    top, low = px(MIDDLE - LAY_BY), px(MIDDLE + LAY_BY)
    return (
        f"M{left:g} {px(MIDDLE):g}Q{left:g} {top:g} {px(left + ease):g} {top:g}H{px(right - ease):g}"
        f"Q{right:g} {top:g} {right:g} {px(MIDDLE):g}Q{right:g} {low:g} {px(right - ease):g} {low:g}"
        f"H{px(left + ease):g}Q{left:g} {low:g} {left:g} {px(MIDDLE):g}Z"
    )


def _span(one: RoadStop, zone: ZoneInfo, gettext: Gettext) -> str:
    start, end = clock(one.from_at, zone, gettext), clock(one.until_at, zone, gettext)
    return gettext("{start} to {end}").format(start=start, end=end)


def _row(one: RoadStop, zone: ZoneInfo, gettext: Gettext) -> RoadRow:
    travel = ""
    if one.travel_minutes > 0:
        travel = minutes(one.travel_minutes) + (f", {miles(one.travel_m, gettext)}" if one.travel_m > 0 else "")
    return RoadRow(
        day=short_day(_on(one, zone), gettext),
        span=_span(one, zone, gettext),
        site=one.site,
        title=one.title,
        where=one.where,
        travel=travel,
        state=one.state,
        state_word=gettext(STATE_WORDS[one.state]),
        with_crews=", ".join(one.with_crews),
    )


def _summary(crew: str, shown: Sequence[RoadStop], days: int, gettext: Gettext) -> str:
    sites = len({one.site for one in shown})
    driving = sum(one.travel_minutes for one in shown)
    return gettext("{crew}: {stops} stops at {sites} sites in {days} days, {driving} on the road.").format(
        crew=crew, stops=len(shown), sites=sites, days=days, driving=minutes(driving)
    )


def days_of(
    dates: Sequence[date],
    *,
    due: Callable[[date], bool],
    sky: Mapping[date, HalfDay],
    where: Callable[[date], str],
) -> tuple[RoadDay, ...]:
    """The days of a road."""
    return tuple(RoadDay(on=on, due=due(on), sky=sky.get(on), where=where(on)) for on in dates)
