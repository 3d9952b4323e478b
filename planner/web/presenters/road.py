"""A crew as a road of stops: hatched where it works, a broken line where it drives, bare where it is free."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from planner.dayplans.presenters.day_plan import STATE_WORDS
from planner.dayplans.presenters.measures import Gettext, clock, miles, minutes
from planner.web.presenters.canvas import fit_words, px
from planner.web.presenters.day_scale import DayColumn, DayScale, short_day
from planner.web.presenters.half_sky import HalfDay, SkyCell, draw_half_days
from planner.web.presenters.trades import LegendEntry, hatch_of, legend

SIZE = 13.0
HEAD = 54.0
ROAD_AT = 30.0
THICK = 20.0
BELOW = 24.0


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
class StopShape:
    hatch: str
    state: str
    x: float
    width: float
    site: str
    title: str
    where: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of bare road or of travel."""

    x: float
    width: float


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
    width: float
    height: float
    head: float
    sky_height: float
    site_y: float
    road_y: float
    road_middle: float
    road_height: float
    title_y: float
    columns: tuple[DayColumn, ...]
    sky: tuple[SkyCell, ...]
    bare: tuple[Piece, ...]
    travel: tuple[Piece, ...]
    stops: tuple[StopShape, ...]
    now_x: float | None
    rows: tuple[RoadRow, ...]
    legend: tuple[LegendEntry, ...]
    summary: str


def draw_road(
    crew: str,
    stops: tuple[RoadStop, ...],
    *,
    scale: DayScale,
    windows: tuple[tuple[datetime, datetime], ...] = (),
    sky: tuple[HalfDay, ...] | None = None,
    now: datetime | None = None,
    gettext: Gettext = str,
) -> Road:
    """One crew's road; ``windows`` are its working hours, so that free hours show as bare road."""
    shown = sorted(
        (one for one in stops if scale.shows(one.from_at, one.until_at)), key=lambda one: (one.from_at, one.site)
    )
    road_y = HEAD + ROAD_AT
    height = road_y + THICK + BELOW
    return Road(
        crew=crew,
        width=px(scale.right),
        height=px(height),
        head=HEAD,
        sky_height=px(height - HEAD),
        site_y=px(road_y - 8),
        road_y=px(road_y),
        road_middle=px(road_y + THICK / 2),
        road_height=THICK,
        title_y=px(road_y + THICK + 17),
        columns=tuple(scale.columns(gettext)),
        sky=() if sky is None else tuple(draw_half_days(sky, scale, height - HEAD)),
        bare=tuple(_piece(start, end, scale) for start, end in windows if scale.shows(start, end)),
        travel=tuple(_travel(shown, scale)),
        stops=tuple(_shapes(shown, scale, gettext)),
        now_x=px(scale.x(now)) if now and scale.shows(now, now) else None,
        rows=tuple(_row(one, scale, gettext) for one in shown),
        legend=legend((one.trade, one.trade_title) for one in shown),
        summary=_summary(crew, shown, scale, gettext),
    )


def _piece(start: datetime, end: datetime, scale: DayScale) -> Piece:
    x = scale.x(start)
    return Piece(x=px(x), width=px(scale.x(end) - x))


def _travel(shown: list[RoadStop], scale: DayScale) -> Iterator[Piece]:
    for one in shown:
        if one.travel_minutes > 0:
            yield _piece(one.from_at - timedelta(minutes=one.travel_minutes), one.from_at, scale)


def _room(one: RoadStop, later: list[RoadStop], scale: DayScale, *, same_site: bool) -> float:
    """How wide words may run: to the next stop (``same_site``: at another site), or to the end of the day."""
    local = one.from_at.astimezone(scale.zone)
    midnight = datetime.combine(local.date() + timedelta(days=1), datetime.min.time(), tzinfo=scale.zone)
    bounds = [max(scale.x(midnight), scale.x(one.until_at))]
    bounds += [scale.x(after.from_at) for after in later if not same_site or after.site != one.site][:1]
    return min(bounds) - scale.x(one.from_at) - 4


def _day_site(one: RoadStop, scale: DayScale) -> tuple[date, str]:
    return one.from_at.astimezone(scale.zone).date(), one.site


def _shapes(shown: list[RoadStop], scale: DayScale, gettext: Gettext) -> Iterator[StopShape]:
    for at, one in enumerate(shown):
        x, later = scale.x(one.from_at), shown[at + 1 :]
        goes_on = at > 0 and _day_site(shown[at - 1], scale) == _day_site(one, scale)
        yield StopShape(
            hatch=hatch_of(one.trade),
            state=one.state,
            x=px(x),
            width=px(max(scale.x(one.until_at) - x, 3.0)),
            site="" if goes_on else fit_words(one.site, _room(one, later, scale, same_site=True), SIZE),
            title=fit_words(one.title, _room(one, later, scale, same_site=False), SIZE - 1),
            where=one.where,
            said=f"{one.site}: {one.title}, {_when(one, scale, gettext)}, {gettext(STATE_WORDS[one.state])}",
        )


def _when(one: RoadStop, scale: DayScale, gettext: Gettext) -> str:
    on = one.from_at.astimezone(scale.zone).date()
    return f"{short_day(on, gettext)} {_span(one, scale, gettext)}"


def _span(one: RoadStop, scale: DayScale, gettext: Gettext) -> str:
    start, end = clock(one.from_at, scale.zone, gettext), clock(one.until_at, scale.zone, gettext)
    return gettext("{start} to {end}").format(start=start, end=end)


def _row(one: RoadStop, scale: DayScale, gettext: Gettext) -> RoadRow:
    travel = ""
    if one.travel_minutes > 0:
        travel = minutes(one.travel_minutes) + (f", {miles(one.travel_m, gettext)}" if one.travel_m > 0 else "")
    return RoadRow(
        day=short_day(one.from_at.astimezone(scale.zone).date(), gettext),
        span=_span(one, scale, gettext),
        site=one.site,
        title=one.title,
        where=one.where,
        travel=travel,
        state=one.state,
        state_word=gettext(STATE_WORDS[one.state]),
        with_crews=", ".join(one.with_crews),
    )


def _summary(crew: str, shown: list[RoadStop], scale: DayScale, gettext: Gettext) -> str:
    sites = len({one.site for one in shown})
    driving = sum(one.travel_minutes for one in shown)
    return gettext("{crew}: {stops} stops at {sites} sites in {days} days, {driving} on the road.").format(
        crew=crew, stops=len(shown), sites=sites, days=scale.days, driving=minutes(driving)
    )
