"""A day plan's facts as the words and numbers a page shows; every time is already on the site's clock."""

from datetime import datetime, timedelta

from planner.dayplans.facts import Caution, DayPlanFacts, Stop
from planner.dayplans.presenters.hours import present_hour
from planner.dayplans.presenters.measures import Gettext, clock, clock_on, day, measure, miles, minutes
from planner.dayplans.presenters.sources import Sources
from planner.dayplans.presenters.tasks import dialled, present_task
from planner.dayplans.presenters.views import DayPlanPage, FeltView, Pair, StandByView, StopView


def present_day_plan(facts: DayPlanFacts, gettext: Gettext = str) -> DayPlanPage:
    """Word one crew's day; ``gettext`` translates what the presenter itself says."""
    zone, on = facts.zone, facts.on
    issued = facts.forecast.issued_at
    sources = Sources()
    heat, cold = _heat(facts, sources, gettext), _cold(facts, sources, gettext)
    stops = tuple(_stop(stop, at, facts, sources, gettext) for at, stop in enumerate(facts.stops, start=1))
    cautions = sources.cited(facts.cautions)
    return DayPlanPage(
        company=facts.company,
        branch=facts.branch,
        crew=facts.crew,
        foreman=facts.foreman,
        people=facts.head_count,
        day=day(on, gettext, year=True),
        iso_day=on.isoformat(),
        plan_number=facts.plan_number,
        made=clock_on(facts.made_at, zone, on, gettext),
        banner=facts.banner,
        office_phone=facts.office_phone,
        office_dial=dialled(facts.office_phone),
        source=facts.forecast.source,
        issued=clock_on(issued, zone, on, gettext) if issued else gettext("not known"),
        age=facts.forecast.age,
        stale=facts.forecast.stale,
        sun=_sun(facts, gettext),
        stops=stops,
        not_yet=_not_yet(stops, gettext),
        first_start=clock(facts.stops[0].here_at, zone, gettext) if facts.stops else "",
        last_leave=clock(facts.stops[-1].leave_at, zone, gettext) if facts.stops else "",
        sky=tuple(present_hour(one, zone, gettext) for one in facts.sky),
        heat=heat,
        cold=cold,
        stand_by=tuple(
            StandByView(title=one.title, site=one.site, why=one.why, lasts=minutes(one.minutes) if one.minutes else "")
            for one in facts.stand_by
        ),
        changed=facts.changed,
        told_plan_number=facts.told_plan_number,
        coming=tuple(Pair(label=day(one.on, gettext), value=one.line) for one in facts.coming),
        cautions=cautions,
        sources=sources.listed,
        deferring=facts.deferring,
        closing=facts.closing,
    )


def _sun(facts: DayPlanFacts, gettext: Gettext) -> str:
    if facts.sunrise_at is None or facts.sunset_at is None:
        return ""
    up, down = clock(facts.sunrise_at, facts.zone, gettext), clock(facts.sunset_at, facts.zone, gettext)
    return gettext("Sun up {up}, down {down}").format(up=up, down=down)


def _stop(stop: Stop, at: int, facts: DayPlanFacts, sources: Sources, gettext: Gettext) -> StopView:
    return StopView(
        number=at,
        site=stop.site,
        address=stop.address,
        access=stop.access,
        travels=stop.travel_minutes > 0,
        travel_time=minutes(stop.travel_minutes),
        travel_distance=miles(stop.travel_m, gettext) if stop.travel_m > 0 else "",
        set_off=clock(stop.here_at - timedelta(minutes=stop.travel_minutes), facts.zone, gettext),
        arrive=clock(stop.here_at, facts.zone, gettext),
        prepare=_prepare(stop, facts, gettext),
        leave=clock(stop.leave_at, facts.zone, gettext),
        owner_phone=stop.owner_phone,
        owner_dial=dialled(stop.owner_phone),
        tasks=tuple(
            present_task(task, facts, sources, gettext, late=stop.is_late and not nth)
            for nth, task in enumerate(stop.tasks)
        ),
    )


def _not_yet(stops: tuple[StopView, ...], gettext: Gettext) -> str:
    """The stops with work that must not start yet, for the head of the sheet."""
    sites = dict.fromkeys(stop.site for stop in stops if any(task.headline is not None for task in stop.tasks))
    if not sites:
        return ""
    return gettext("Not to be started yet: {sites}. What opens it stands there.").format(sites=", ".join(sites))


def _prepare(stop: Stop, facts: DayPlanFacts, gettext: Gettext) -> str:
    """Why the crew has to be there before the work starts."""
    if not stop.prepare_minutes:
        return ""
    if stop.tasks and stop.tasks[0].prepare_minutes:
        said = gettext("Be there {here}: {lasts} to prepare for the weather beside what is planned from {start} on")
        late = gettext("First {lasts} more to prepare for the weather than planned: about {begins}, not {start}")
    else:
        said = gettext("Be there {here}: {lasts} to prepare for the weather before the work starts {start}")
        late = gettext("First {lasts} to prepare for the weather: the work starts about {begins}, not {start}")
    if stop.is_late:
        said = late
    return said.format(
        here=clock(stop.here_at, facts.zone, gettext),
        lasts=minutes(stop.prepare_minutes),
        start=clock(stop.arrive_at, facts.zone, gettext),
        begins=clock(stop.begins_at, facts.zone, gettext),
    )


def _heat(facts: DayPlanFacts, sources: Sources, gettext: Gettext) -> FeltView | None:
    heat = facts.heat
    if heat is None:
        return None
    said = gettext("Heat index up to {index} at {at}: {band}.")
    return _felt(
        said.format(index=measure(heat.heat_index_c, "degc", gettext), at=_at(heat.at, facts, gettext), band=heat.band),
        heat.caution,
        sources,
    )


def _cold(facts: DayPlanFacts, sources: Sources, gettext: Gettext) -> FeltView | None:
    cold = facts.cold
    if cold is None:
        return None
    said = gettext("Wind chill down to {index} at {at}: {band}.")
    return _felt(
        said.format(index=measure(cold.wind_chill_c, "degc", gettext), at=_at(cold.at, facts, gettext), band=cold.band),
        cold.caution,
        sources,
    )


def _at(moment: datetime, facts: DayPlanFacts, gettext: Gettext) -> str:
    return clock(moment, facts.zone, gettext)


def _felt(words: str, caution: Caution, sources: Sources) -> FeltView:
    return FeltView(words=words, sentence=caution.sentence, source=sources.number(caution.source))
