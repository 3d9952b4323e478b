"""A world changed for a try: nothing of it is stored, and the plan is made from it as from any other."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from crews.domain.facts import CrewFacts
from crews.domain.working_time import WorkCalendar, local_moment
from jobs.domain.errors import CannotDo
from jobs.domain.facts import JobFacts, TaskFacts
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.series import HOUR, VARIABLES, HourlySeries, Values
from planner.forecast.domain.site_sky import SiteSky
from planner.plans.asking.naming import task_named
from planner.plans.domain.lasting.paid_hours import SATURDAY
from planner.plans.domain.world import World

DAY = timedelta(days=1)
# A wet day for a try: 25 mm from midnight to midnight, enough to stop any open work. Common practice, no source.
WET_MM_PER_HOUR = 25 / 24
USABLE = (Freshness.FRESH, Freshness.AGEING)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing to try: what it is in words, and the world it makes of another."""

    title: str
    made: Callable[[World], World]


def crew_away(key: str, days: tuple[date, ...]) -> Change:
    """A crew does not come on some days."""

    def made(world: World) -> World:
        _refuse_past(world, max(days), "crew_away")
        return _with_crew(world, key, lambda crew: replace(crew, calendar=_closed(crew.calendar, frozenset(days))))

    return Change(title=f"{key} away {_span(days)}", made=made)


def saturday(on: date) -> Change:
    """The branch and its own crews work a day they do not work otherwise, with the hours of the working day before.

    A crew that has a price for Saturdays is asked at that price, as in every plan.
    """

    def made(world: World) -> World:
        _refuse_past(world, on, "saturday")
        crews = tuple(
            replace(crew, calendar=_opened(crew.calendar, on)) if crew.own and not _has_price(crew, on) else crew
            for crew in world.crews.crews
        )
        return replace(
            world,
            crews=replace(world.crews, crews=crews, branch_calendar=_opened(world.crews.branch_calendar, on)),
        )

    return Change(title=f"work on {on:%a} {on.day} {on:%B}", made=made)


def _refuse_past(world: World, on: date, field: str) -> None:
    """What happened on days that are over cannot be tried: a plan begins now."""
    today = world.crews.branch_calendar.date_of(world.as_of)
    if on < today:
        raise CannotDo("asking.past", field=field, on=on.isoformat(), today=today.isoformat())


def _has_price(crew: CrewFacts, on: date) -> bool:
    return bool(crew.saturday_hour_cents) and on.weekday() == SATURDAY


def extra_crew(key: str) -> Change:
    """A second crew like one there is."""

    def made(world: World) -> World:
        like = _crew(world, key)
        twin = replace(
            like,
            id=-like.id,
            key=f"{key}-extra",
            name=f"{like.name}, extra",
            calendar=replace(like.calendar, key=f"{like.calendar.key}-extra"),
            head_counts={},
        )
        return replace(world, crews=replace(world.crews, crews=(*world.crews.crews, twin)))

    return Change(title=f"one more {key}", made=made)


def gear_lost(kind: str) -> Change:
    """One piece less of a counted kind of gear."""

    def made(world: World) -> World:
        if kind not in {gear.kind for gear in world.crews.gear}:
            known = ", ".join(gear.kind for gear in world.crews.gear)
            raise CannotDo("asking.gear", field="gear", name=kind, known=known)
        gear = tuple(replace(one, count=max(0, one.count - 1)) if one.kind == kind else one for one in world.crews.gear)
        return replace(world, crews=replace(world.crews, gear=gear))

    return Change(title=f"one {kind.replace('_', ' ')} less", made=made)


def promise(job: JobFacts, on: date) -> Change:
    """Another promised date of a pool."""

    def made(world: World) -> World:
        return _with_job(world, job.id, lambda one: replace(one, promised_on=on))

    return Change(title=f"{job.name} promised for {on.day} {on:%B}", made=made)


def rain(on: date) -> Change:
    """Rain all day over every site of the branch, as if the forecast were sure of it."""

    def made(world: World) -> World:
        _refuse_past(world, on, "rain")
        zone = world.branch.zone
        from_at, until_at = local_moment(zone, on, time()), local_moment(zone, on + DAY, time())
        sites = {task.site.id for job in world.jobs for task in job.tasks}
        skies = {site: _wet(world.skies.get(site), from_at, until_at, world.as_of) for site in sorted(sites)}
        return replace(world, skies={**world.skies, **skies})

    return Change(title=f"rain on {on:%a} {on.day} {on:%B}", made=made)


def inspection_failed(job: JobFacts, task: TaskFacts) -> Change:
    """A visit that opens a hold fails when the plan has it: it is asked for again, with its notice, from that day."""

    def made(world: World) -> World:
        _refuse_no_visit(job, task)
        stay = next((stay for stay in world.told if stay.task == task.id), None)
        failed_at = stay.end_at if stay is not None else world.as_of
        again_at = failed_at
        supplier = next((one for one in world.crews.suppliers if one.kind == task.authority), None)
        if supplier is not None:
            asked_on = supplier.calendar.date_of(failed_at)
            ready_on = supplier.calendar.add_working_days(asked_on, max(1, supplier.notice_working_days))
            again_at = supplier.calendar.opening(ready_on)

        def failed(one: JobFacts) -> JobFacts:
            tasks = tuple(
                replace(
                    other,
                    earliest_at=max(again_at, other.earliest_at or again_at),
                    earliest_why=f"{other.title} failed: mend, then ask for another visit",
                    frozen=False,
                )
                if other.id == task.id
                else other
                for other in one.tasks
            )
            return replace(one, tasks=tasks)

        bookings = tuple(one for one in world.crews.bookings if one.task != task.id)
        return replace(
            _with_job(world, job.id, failed),
            crews=replace(world.crews, bookings=bookings),
            told=tuple(stay for stay in world.told if stay.task != task.id),
        )

    return Change(title=f"{job.name}: {task.title} fails", made=made)


def all_together(changes: tuple[Change, ...]) -> Change:
    """Several changes at once, in their order."""

    def made(world: World) -> World:
        for change in changes:
            world = change.made(world)
        return world

    return Change(title=" and ".join(change.title for change in changes), made=made)


def _refuse_no_visit(job: JobFacts, task: TaskFacts) -> None:
    visits = {hold.visit for hold in job.holds}
    if task.id not in visits:
        known = ", ".join(f"{job.name}:{one.key}" for one in job.tasks if one.id in visits and one.is_open)
        raise CannotDo("asking.no_visit", field="task", pool=job.name, task=task.title, known=known or "none is open")


def failed_visit_named(world: World, name: str) -> Change:
    """The change that a visit of ``POOL:TASK`` fails."""
    job, task = task_named(world, name)
    _refuse_no_visit(job, task)
    return inspection_failed(job, task)


def _crew(world: World, key: str) -> CrewFacts:
    for crew in world.crews.crews:
        if crew.key == key:
            return crew
    raise CannotDo("asking.crew", field="crew", name=key, known=", ".join(crew.key for crew in world.crews.crews))


def _with_crew(world: World, key: str, change: Callable[[CrewFacts], CrewFacts]) -> World:
    changed = change(_crew(world, key))
    crews = tuple(changed if crew.key == key else crew for crew in world.crews.crews)
    return replace(world, crews=replace(world.crews, crews=crews))


def _with_job(world: World, job_id: int, change: Callable[[JobFacts], JobFacts]) -> World:
    return replace(world, jobs=tuple(change(job) if job.id == job_id else job for job in world.jobs))


def _closed(calendar: WorkCalendar, days: frozenset[date]) -> WorkCalendar:
    changed = tuple(one for one in calendar.changed_hours if one[0] not in days)
    return replace(calendar, days_off=calendar.days_off | days, changed_hours=changed)


def _opened(calendar: WorkCalendar, on: date) -> WorkCalendar:
    if calendar.is_working_day(on):
        return calendar
    hours = calendar.hours_on(calendar.previous_working_day(on))
    assert hours is not None
    changed = tuple(one for one in calendar.changed_hours if one[0] != on)
    return replace(
        calendar, days_off=calendar.days_off - {on}, changed_hours=(*changed, (on, hours.opens, hours.closes))
    )


def _wet(sky: SiteSky | None, from_at: datetime, until_at: datetime, as_of: datetime) -> SiteSky:
    """The sky of a site with rain from one moment to another; a forecast nobody may rely on gives way to it."""
    usable = sky is not None and sky.series is not None and sky.freshness in USABLE
    series = sky.series if sky is not None and usable else None
    start_at = min(series.start_at, from_at) if series is not None else from_at
    hours = int((max(series.end_at if series is not None else until_at, until_at) - start_at) // HOUR)
    moments = [start_at + index * HOUR for index in range(hours)]
    wet = [from_at <= moment < until_at for moment in moments]
    values: Mapping[str, Values] = {
        name: tuple(series.value(name, moment) if series is not None else None for moment in moments)
        for name in VARIABLES
    }
    made = HourlySeries(
        source=series.source if series is not None else "what if",
        issued_at=series.issued_at if series is not None else as_of,
        start_at=start_at,
        **{
            **values,
            "rain_chance": _where(wet, 1.0, values["rain_chance"]),
            "rain_mm": _where(wet, WET_MM_PER_HOUR, values["rain_mm"]),
        },
    )
    if sky is None:
        return SiteSky(series=made, freshness=Freshness.FRESH)
    return replace(sky, series=made, freshness=sky.freshness if usable else Freshness.FRESH)


def _where(wet: list[bool], value: float, otherwise: Values) -> Values:
    return tuple(value if is_wet else other for is_wet, other in zip(wet, otherwise, strict=True))


def _span(days: tuple[date, ...]) -> str:
    first, last = days[0], days[-1]
    if first == last:
        return f"{first.day} {first:%B}"
    return f"{first.day} {first:%B} to {last.day} {last:%B}"
