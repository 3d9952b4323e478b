"""A day plan's facts as the words and numbers a page shows; every time is already on the site's clock."""

from datetime import datetime, timedelta

from planner.dayplans.facts import Caution, DayPlanFacts, Stop
from planner.dayplans.presenters.hours import present_hour
from planner.dayplans.presenters.measures import Gettext, clock, clock_on, day, measure, miles, minutes
from planner.dayplans.presenters.tasks import dialled, present_task, said_by
from planner.dayplans.presenters.views import DayPlanPage, FeltView, Pair, StandByView, StopView


def present_day_plan(facts: DayPlanFacts, gettext: Gettext = str) -> DayPlanPage:
    """Word one crew's day; ``gettext`` translates what the presenter itself says."""
    zone, on = facts.zone, facts.on
    issued = facts.forecast.issued_at
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
        stops=tuple(_stop(stop, at, facts, gettext) for at, stop in enumerate(facts.stops, start=1)),
        first_start=clock(facts.stops[0].here_at, zone, gettext) if facts.stops else "",
        last_leave=clock(facts.stops[-1].leave_at, zone, gettext) if facts.stops else "",
        sky=tuple(present_hour(one, zone, gettext) for one in facts.sky),
        heat=_heat(facts, gettext),
        cold=_cold(facts, gettext),
        stand_by=tuple(
            StandByView(title=one.title, site=one.site, why=one.why, lasts=minutes(one.minutes) if one.minutes else "")
            for one in facts.stand_by
        ),
        changed=facts.changed,
        told_plan_number=facts.told_plan_number,
        coming=tuple(Pair(label=day(one.on, gettext), value=one.line) for one in facts.coming),
        cautions=said_by(facts.cautions),
        deferring=facts.deferring,
        closing=facts.closing,
    )


def _sun(facts: DayPlanFacts, gettext: Gettext) -> str:
    if facts.sunrise_at is None or facts.sunset_at is None:
        return ""
    up, down = clock(facts.sunrise_at, facts.zone, gettext), clock(facts.sunset_at, facts.zone, gettext)
    return gettext("Sun up {up}, down {down}").format(up=up, down=down)


def _stop(stop: Stop, at: int, facts: DayPlanFacts, gettext: Gettext) -> StopView:
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
        tasks=tuple(present_task(task, facts, gettext) for task in stop.tasks),
    )


def _prepare(stop: Stop, facts: DayPlanFacts, gettext: Gettext) -> str:
    """Why the crew has to be there before the work starts."""
    if not stop.prepare_minutes:
        return ""
    said = gettext("Be there {here}: {lasts} to prepare for the weather before the work starts {start}")
    return said.format(
        here=clock(stop.here_at, facts.zone, gettext),
        lasts=minutes(stop.prepare_minutes),
        start=clock(stop.arrive_at, facts.zone, gettext),
    )


def _heat(facts: DayPlanFacts, gettext: Gettext) -> FeltView | None:
    heat = facts.heat
    if heat is None:
        return None
    said = gettext("Heat index up to {index} at {at}: {band}.")
    return _felt(said, heat.heat_index_c, heat.at, heat.band, heat.caution, facts, gettext)


def _cold(facts: DayPlanFacts, gettext: Gettext) -> FeltView | None:
    cold = facts.cold
    if cold is None:
        return None
    said = gettext("Wind chill down to {index} at {at}: {band}.")
    return _felt(said, cold.wind_chill_c, cold.at, cold.band, cold.caution, facts, gettext)


def _felt(
    said: str, felt_c: float, at: datetime, band: str, caution: Caution, facts: DayPlanFacts, gettext: Gettext
) -> FeltView:
    return FeltView(
        words=said.format(index=measure(felt_c, "degc", gettext), at=clock(at, facts.zone, gettext), band=band),
        sentence=f"{caution.sentence} {facts.deferring}",
        source=caution.source,
    )
