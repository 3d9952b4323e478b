"""Who is where: each crew as a road of stops under its sky, day by day."""

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta

from crews.domain.facts import CrewFacts
from jobs.domain.facts import SiteFacts
from planner.dayplans.domain.day import Piece
from planner.web.presenters.day_scale import short_day
from planner.web.presenters.pools.half_days import skies_by_day
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.roads import pieces_of, road_stops
from planner.web.presenters.road import Road, days_of, draw_road
from planner.web.presenters.trades import LegendEntry

DAYS = 7


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
    pieces = [piece for on in dates for piece in pieces_of(reader, crew, on)]
    site = _site_under_sky(reader, pieces)
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
            days_of(
                dates,
                due=lambda on: reader.day_of(crew, on).window is not None,
                sky=skies_by_day(reader, site, from_on, DAYS),
                where=lambda on: links.crew_day(crew.key, on),
            ),
            [stop for on in dates for stop in road_stops(reader, crew, on, links)],
            zone=reader.zone,
            today=reader.today,
            gettext=reader.gettext,
        ),
        short="; ".join(_people(reader, crew, on) for on in dates if on in crew.head_counts),
    )


def _site_under_sky(reader: Reader, pieces: list[Piece]) -> SiteFacts | None:
    """The site most of the work lies on, else any site with a forecast."""
    counted = Counter(piece.task.site.id for piece in pieces)
    sites = {task.site.id: task.site for _, task in reader.tasks.values()}
    if counted:
        return sites[min(counted, key=lambda key: (-counted[key], key))]
    known = [site for key, site in sorted(sites.items()) if key in reader.world.skies]
    return known[0] if known else None


def _people(reader: Reader, crew: CrewFacts, on: date) -> str:
    return reader.gettext("{day}: {count} of {size} come").format(
        day=short_day(on, reader.gettext), count=crew.head_counts[on], size=crew.size
    )
