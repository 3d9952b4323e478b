"""Today: what needs a decision, then who is where."""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from crews.domain.facts import CrewFacts
from jobs.domain.facts import SiteFacts
from planner.dayplans.domain.sky import age_words
from planner.dayplans.presenters.measures import Gettext
from planner.dayplans.presenters.measures import day as day_words
from planner.plans.domain.world import Stay, World
from planner.watch.domain.report import WatchReport
from planner.web.presenters.decisions.bookings import booking_decisions
from planner.web.presenters.decisions.decision import Decision, in_order
from planner.web.presenters.decisions.holds import hold_decisions
from planner.web.presenters.decisions.plans import PlanFacts, plan_decisions, waiting_words
from planner.web.presenters.decisions.records import record_decisions
from planner.web.presenters.decisions.silence import silences
from planner.web.presenters.decisions.sky import sky_decisions
from planner.web.presenters.pools.half_days import skies_by_day
from planner.web.presenters.pools.head import hand_over_at, promise_words
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.roads import pieces_of, road_stops
from planner.web.presenters.road import Road, days_of, draw_road
from planner.web.presenters.skies.half_sky import HalfDay
from planner.web.presenters.skies.sun import Sun, sun_at
from planner.web.presenters.trades import LegendEntry, legend


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """What is to be decided by one moment, under the sun where it stands then; ``new_day`` after a night."""

    by: str
    past: bool
    new_day: bool
    sun: Sun
    decisions: tuple[Decision, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """A pool planned later than promised."""

    name: str
    where: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewRow:
    """One crew with its road over today and the next working day."""

    name: str
    key: str
    foreman: str
    phone: str
    dial: str
    road: Road


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayPage:
    """Context ``page`` of ``planner/today.html``."""

    day: str
    plan: str
    sky: str
    late: tuple[Late, ...]
    decisions: tuple[Decision, ...]
    dues: tuple[Due, ...]
    pressing: int
    days: tuple[str, ...]
    crews: tuple[CrewRow, ...]
    legend: tuple[LegendEntry, ...]


def today_page(
    world: World,
    stays: Sequence[Stay],
    plan: PlanFacts,
    links: Links,
    gettext: Gettext = str,
    *,
    report: WatchReport,
) -> TodayPage:
    """The page of a branch at ``world.as_of``; ``report`` is the watch over it then."""
    reader = Reader(world, stays, gettext)
    days = _days(reader)
    decisions = in_order([*plan_decisions(reader, plan, links), *_work_decisions(reader, links, report)], world.as_of)
    rows = tuple(_crew(reader, crew, days, links) for crew in world.crews.crews) if plan.number else ()
    return TodayPage(
        day=day_words(reader.today, gettext),
        plan=_plan(reader, plan),
        sky=_sky(reader),
        late=tuple(_late(reader, links)),
        decisions=decisions,
        dues=tuple(_dues(reader, decisions)),
        pressing=sum(one.past or one.by_at is None for one in decisions),
        days=tuple(day_words(on, gettext) for on in days),
        crews=rows,
        legend=legend((entry.hatch, entry.title) for row in rows for entry in row.road.legend),
    )


def _days(reader: Reader) -> tuple[date, ...]:
    """Today and the next working day, with the days between on which a crew works all the same."""
    next_on = reader.world.crews.branch_calendar.next_working_day(reader.today)
    between = (reader.today + timedelta(days=at) for at in range(1, (next_on - reader.today).days))
    crews = reader.world.crews.crews
    return (reader.today, *(on for on in between if any(pieces_of(reader, crew, on) for crew in crews)), next_on)


def _dues(reader: Reader, decisions: Sequence[Decision]) -> Iterator[Due]:
    """Decisions in their order, those of one moment together."""
    before: date | None = None
    for (by, past), group in itertools.groupby(decisions, key=lambda one: (one.by, one.past)):
        together = tuple(group)
        at = together[0].by_at or reader.world.as_of
        on = reader.date_of(at)
        new_day = before is not None and on > before
        yield Due(by=by, past=past, new_day=new_day, sun=sun_at(at, reader.zone), decisions=together)
        before = on


def _work_decisions(reader: Reader, links: Links, report: WatchReport) -> list[Decision]:
    return [
        *silences(reader, links),
        *record_decisions(reader, links),
        *hold_decisions(reader, links),
        *booking_decisions(reader, links),
        *sky_decisions(reader, links, report),
    ]


def _plan(reader: Reader, plan: PlanFacts) -> str:
    if not plan.number or plan.in_force_at is None:
        return reader.gettext("No plan is in force.")
    said = reader.gettext("Plan {number}, in force since {when}.")
    said = said.format(number=plan.number, when=reader.when(plan.in_force_at))
    return " ".join([said, waiting_words(reader, plan.open)]).strip()


def _late(reader: Reader, links: Links) -> Iterator[Late]:
    """Pools whose planned hand-over is later than promised, the most days first."""
    gettext, found = reader.gettext, []
    for job in reader.world.jobs:
        ends_at = hand_over_at(reader, job)
        if ends_at is None or job.promised_on is None:
            continue
        ends_on = reader.date_of(ends_at)
        state, words = promise_words(reader, job.promised_on, ends_on)
        if state == "late":
            said = gettext("{late}, hand-over {planned}, promised {promised}").format(
                late=words, planned=reader.date_words(ends_on), promised=reader.date_words(job.promised_on)
            )
            found.append(((ends_on - job.promised_on).days, Late(name=job.name, where=links.pool(job.id), words=said)))
    for _, late in sorted(found, key=lambda one: (-one[0], one[1].name)):
        yield late


def _sky(reader: Reader) -> str:
    """How old the oldest forecast over an open site is; a site without one is named."""
    gettext, world = reader.gettext, reader.world
    sites = {task.site.id: task.site for _, task in reader.tasks.values() if task.is_open}
    bare = sorted(site.name for key, site in sites.items() if key not in world.skies or not world.skies[key].series)
    issued = [series.issued_at for key in sites if key in world.skies and (series := world.skies[key].series)]
    parts = []
    if issued:
        oldest = min(issued)
        said = gettext("Forecast issued {when}, {age}.")
        parts.append(said.format(when=reader.when(oldest), age=age_words(oldest, world.as_of)))
    if bare:
        parts.append(gettext("No forecast over {sites}: call before any pour.").format(sites=", ".join(bare)))
    return " ".join(parts)


def _crew(reader: Reader, crew: CrewFacts, days: tuple[date, ...], links: Links) -> CrewRow:
    sky: dict[date, HalfDay] = {}
    for on in days:
        pieces = pieces_of(reader, crew, on)
        sky |= skies_by_day(reader, pieces[0].task.site if pieces else _any_site(reader), on, 1)
    return CrewRow(
        name=crew.name,
        key=crew.key,
        foreman=crew.foreman,
        phone=crew.phone,
        dial="".join(sign for sign in crew.phone if sign.isdigit() or sign == "+"),
        road=draw_road(
            crew.name,
            days_of(
                days,
                due=lambda on: reader.day_of(crew, on).window is not None,
                sky=sky,
                where=lambda on: links.crew_day(crew.key, on),
            ),
            [stop for on in days for stop in road_stops(reader, crew, on, links)],
            zone=reader.zone,
            today=reader.today,
            gettext=reader.gettext,
        ),
    )


def _any_site(reader: Reader) -> SiteFacts | None:
    """The sky over a crew that is nowhere: over the first open site with a forecast."""
    sites = {task.site.id: task.site for _, task in reader.tasks.values() if task.is_open}
    return next((site for key, site in sorted(sites.items()) if key in reader.world.skies), None)
