"""Who is where: each crew as a road of stops under its sky, day by day."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from crews.domain.facts import CrewFacts
from jobs.domain.facts import SiteFacts
from planner.dayplans.domain.day import Piece, pieces_on
from planner.dayplans.presenters.measures import clock
from planner.web.presenters.day_scale import DayScale, short_day
from planner.web.presenters.pools.half_days import half_days
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.roads import road_stops
from planner.web.presenters.road import Road, draw_road
from planner.web.presenters.trades import LegendEntry

DAYS = 7
PX_PER_DAY = 173.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewDayView:
    """One day with work as a link to its day plan."""

    day: str
    where: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewView:
    key: str
    name: str
    outside: bool
    foreman: str
    phone: str
    dial: str
    trades: str
    size: int
    sky_over: str
    road: Road
    days: tuple[CrewDayView, ...]
    free: str
    short: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewsPage:
    """Context ``page`` of ``planner/crews.html``."""

    plan_number: int
    span: str
    earlier: str
    later: str
    is_now: bool
    crews: tuple[CrewView, ...]
    legend: tuple[LegendEntry, ...]


def present_crews(reader: Reader, links: Links, *, plan_number: int, from_on: date) -> CrewsPage:
    """A week of every crew from ``from_on`` on."""
    in_order = sorted(reader.world.crews.crews, key=lambda crew: not crew.own)
    crews = tuple(_crew(reader, links, crew, from_on) for crew in in_order)
    entries = {entry.title: entry for one in crews for entry in one.road.legend}
    last_on = from_on + timedelta(days=DAYS - 1)
    return CrewsPage(
        plan_number=plan_number,
        span=reader.gettext("{first} to {last}").format(
            first=short_day(from_on, reader.gettext), last=short_day(last_on, reader.gettext)
        ),
        earlier=(from_on - timedelta(days=DAYS)).isoformat(),
        later=(from_on + timedelta(days=DAYS)).isoformat(),
        is_now=from_on == reader.today,
        crews=crews,
        legend=tuple(entries[title] for title in sorted(entries)),
    )


def _crew(reader: Reader, links: Links, crew: CrewFacts, from_on: date) -> CrewView:
    dates = [from_on + timedelta(days=at) for at in range(DAYS)]
    by_date = {on: pieces_on(reader.day_of(crew, on), on, crew=crew.key) for on in dates}
    pieces = [piece for on in dates for piece in by_date[on]]
    site = _site_under_sky(reader, pieces)
    scale = DayScale(from_on=from_on, days=DAYS, zone=reader.zone, px_per_day=PX_PER_DAY)
    sky = reader.world.skies.get(site.id) if site is not None else None
    return CrewView(
        key=crew.key,
        name=crew.name,
        outside=not crew.own,
        foreman=crew.foreman,
        phone=crew.phone,
        dial="".join(sign for sign in crew.phone if sign.isdigit() or sign == "+"),
        trades=", ".join(reader.trade_title(trade).lower() for trade in crew.trades),
        size=crew.size,
        sky_over=site.name if site is not None else "",
        road=draw_road(
            crew.name,
            tuple(stop for on in dates for stop in road_stops(reader, crew, on, _where(links, crew, on))),
            scale=scale,
            windows=crew.calendar.windows(from_on, from_on + timedelta(days=DAYS)),
            sky=half_days(sky, reader.world.climate, zone=reader.zone, from_on=from_on, days=DAYS),
            now=reader.world.as_of,
            gettext=reader.gettext,
        ),
        days=tuple(_day(reader, links, crew, by_date[on], on) for on in dates if by_date[on]),
        free=_days(reader, [on for on in dates if not by_date[on] and crew.calendar.window_on(on) is not None]),
        short="; ".join(_people(reader, crew, on) for on in dates if on in crew.head_counts),
    )


def _where(links: Links, crew: CrewFacts, on: date) -> Callable[[Piece], str]:
    return lambda _: links.crew_day(crew.key, on)


def _site_under_sky(reader: Reader, pieces: list[Piece]) -> SiteFacts | None:
    """The site most of the work lies on, else any site with a forecast."""
    counted = Counter(piece.task.site.id for piece in pieces)
    sites = {task.site.id: task.site for _, task in reader.tasks.values()}
    if counted:
        return sites[min(counted, key=lambda key: (-counted[key], key))]
    known = [site for key, site in sorted(sites.items()) if key in reader.world.skies]
    return known[0] if known else None


def _day(reader: Reader, links: Links, crew: CrewFacts, pieces: tuple[Piece, ...], on: date) -> CrewDayView:
    places = dict.fromkeys(piece.job.name or piece.task.site.name for piece in pieces)
    return CrewDayView(
        day=short_day(on, reader.gettext),
        where=links.crew_day(crew.key, on),
        words=reader.gettext("{places}, from {time}").format(
            places=", ".join(places), time=clock(pieces[0].start_at, reader.zone, reader.gettext)
        ),
    )


def _people(reader: Reader, crew: CrewFacts, on: date) -> str:
    return reader.gettext("{day}: {count} of {size} come").format(
        day=short_day(on, reader.gettext), count=crew.head_counts[on], size=crew.size
    )


def _days(reader: Reader, dates: list[date]) -> str:
    return ", ".join(short_day(on, reader.gettext) for on in dates)
