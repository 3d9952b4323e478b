"""From a branch as it stands to the problem the solver reads."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from jobs.domain.facts import JobFacts, LinkFacts, TaskFacts
from planner.plans.domain.gates import Gates
from planner.plans.domain.lasting.paid_hours import saturdays_for_pay
from planner.plans.domain.people import (
    ShortDays,
    drives_between,
    needs_of,
    pin_of,
    site_spans,
    told_of,
    visit_calendar,
    wants_daylight,
)
from planner.plans.domain.timeline import Timeline, timeline
from planner.plans.domain.waits import Waits, solver_link
from planner.plans.domain.weather import StartWeathers
from planner.plans.domain.world import Judges, World
from planner.solver.problem import (
    Calendar,
    Crew,
    DailyLimit,
    Gear,
    GearHold,
    Link,
    OpenDays,
    Problem,
    Promise,
    Span,
    Task,
)

BRANCH_CALENDAR = "branch"
# A dig lies open from the first task to the end of the second.
OPEN_DIG = ("dig", "backfill")
# A pump serves one pour a day: it is away and washing out for the rest of it.
WHOLE_DAY_GEAR = frozenset({"concrete_pump"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembled:
    """A problem with the way back to rows: ``tasks`` maps the problem's task keys to what they stand for."""

    problem: Problem
    line: Timeline
    tasks: Mapping[str, tuple[JobFacts, TaskFacts]]
    warnings: tuple[str, ...]
    let_lapse: frozenset[str] = frozenset()


class _SiteCalendars:
    """Calendars of sites that restrict when people may be there, made once each."""

    def __init__(self, *, line: Timeline, world: World) -> None:
        self._line = line
        self._world = world
        self._made: dict[str, tuple[Span, ...]] = {}

    def spans_of(self, task: TaskFacts) -> tuple[Span, ...]:
        key = self._key(task)
        if key not in self._made:
            daylight = wants_daylight(self._world, task)
            self._made[key] = site_spans(self._line, task.site, daylight=daylight, evening=task.evening)
        return self._made[key]

    def key_of(self, task: TaskFacts) -> str:
        if not self.spans_of(task):
            return ""
        return self._key(task)

    def _key(self, task: TaskFacts) -> str:
        hours = "daylight" if wants_daylight(self._world, task) else "hours"
        return f"site:{task.site.id}:{hours}{':evening' if task.evening else ''}"

    def calendars(self) -> tuple[Calendar, ...]:
        return tuple(Calendar(key=key, windows=spans) for key, spans in self._made.items() if spans)


def task_key(job: JobFacts, task: TaskFacts) -> str:
    """Key of a task in the problem: the job's number and the task's key, or the row of work without a job."""
    return f"{job.id}.{task.key}" if job.id else f"site.{task.id}"


def assemble(
    world: World,
    *,
    first_on: date,
    horizon_days: int,
    let_lapse: frozenset[str] = frozenset(),
    judges: Judges | None = None,
    waits: Waits | None = None,
    as_bought: bool = False,
) -> Assembled:
    """Everything open of a branch as one problem.

    Parameters
    ----------
    first_on : date
        Local date the axis begins; nothing starts before ``world.as_of``.
    horizon_days : int
        Calendar days the plan may reach.
    let_lapse : frozenset of str
        Keys of tasks whose latest start, counted from finished work, is let go with a warning.
    judges, waits : optional
        Those of this world, for whoever assembles it more than once.
    as_bought : bool
        Whether the starts people were told of are prepared for as they were told, whatever that costs by now.
    """
    evenings = any(task.evening and task.is_open for job in world.jobs for task in job.tasks)
    line = timeline(world.branch, first_on, horizon_days, evenings=evenings)
    waits = waits or Waits(world)
    spans = saturdays_for_pay(line, world.crews.crews, line.windows(world.crews.branch_calendar))
    weathers = StartWeathers(
        world, judges=judges or Judges(world), line=line, spans=spans, waits=waits, as_bought=as_bought
    )
    sites = _SiteCalendars(line=line, world=world)
    short = ShortDays(line)
    tasks: dict[str, tuple[JobFacts, TaskFacts]] = {}
    solver_tasks: list[Task] = []
    links: list[Link] = []
    warnings: list[str] = [*world.notes]
    for job in world.jobs:
        keys = {task.id: task_key(job, task) for task in job.tasks}
        open_links = bridged_links(job)
        gates = Gates(world=world, job=job, line=line, waits=waits, links=open_links)
        for task in job.tasks:
            if not task.is_open:
                continue
            tasks[keys[task.id]] = (job, task)
            earliest, earliest_why = gates.earliest(task)
            latest, latest_why, lapsed = gates.latest(task)
            warnings += lapsed
            if latest is not None and keys[task.id] in let_lapse:
                warnings.append(_let_go(job, task, line, latest, latest_why))
                latest, latest_why = None, ""
            needs = needs_of(world, task, short)
            solver_tasks.append(
                Task(
                    key=keys[task.id],
                    job=job.name or task.site.name,
                    title=task.title,
                    kind=task.kind,  # type: ignore[arg-type]
                    run=task.run,  # type: ignore[arg-type]
                    needs=needs,
                    span_minutes=_span_minutes(task),
                    calendar=_calendar_key(world, task) or sites.key_of(task),
                    splits_nights=task.splits_nights,
                    splits_weekends=task.splits_weekends,
                    long_day=task.long_day,
                    opening_only=task.opening_only,
                    start_by_minutes=_start_by(world, task),
                    earliest=earliest,
                    earliest_why=earliest_why,
                    latest_start=latest,
                    latest_why=latest_why,
                    windows=sites.spans_of(task) if task.kind == "visit" else (),
                    weather=weathers.of(task, needs, sites.spans_of(task)),
                    pin=pin_of(world, task, line),
                    site=str(task.site.id),
                )
            )
        by_id = {task.id: task for task in job.tasks}
        links += [
            solver_link(waits, job, fact, (keys[fact.before], keys[fact.after]), line)
            for fact in open_links
            if by_id[fact.before].is_open and by_id[fact.after].is_open
        ]
        warnings += _already_late(job, line, world.as_of)
    problem = Problem(
        branch=world.branch.name,
        origin_at=line.origin_at,
        grid_minutes=15,
        days=line.days,
        calendars=(*_calendars(world, line), *sites.calendars(), *short.calendars()),
        crews=tuple(
            Crew(
                key=crew.key,
                name=crew.name,
                calendar=f"crew:{crew.key}",
                overtime_dollars=(crew.overtime_hour_cents + 50) // 100,
                day_off_dollars=(crew.saturday_hour_cents + 50) // 100,
            )
            for crew in world.crews.crews
        ),
        tasks=tuple(solver_tasks),
        links=tuple(links),
        gear=tuple(Gear(key=gear.kind, name=gear.name, count=gear.count) for gear in world.crews.gear),
        holds_of_gear=_gear_holds(world, line),
        limits=_limits(world, tasks),
        promises=_promises(world, line),
        open_days=_open_days(world, line),
        told=told_of(world, line, {task.id: key for key, (_, task) in tasks.items()}),
        drives=drives_between(task.site for _, task in tasks.values()),
        notes=tuple(warnings),
    )
    return Assembled(problem=problem, line=line, tasks=tasks, warnings=tuple(warnings), let_lapse=let_lapse)


def bridged_links(job: JobFacts) -> tuple[LinkFacts, ...]:
    """Links of a job with dropped tasks taken out: what came before them still precedes what came after."""
    links = list(job.links)
    for task in job.tasks:
        if not task.dropped:
            continue
        into = [link for link in links if link.after == task.id]
        out_of = [link for link in links if link.before == task.id]
        links = [link for link in links if task.id not in (link.before, link.after)]
        links += [replace(after, before=before.before) for before in into for after in out_of]
    seen: set[tuple[int, int, str]] = set()
    kept = []
    for link in links:
        identity = (link.before, link.after, link.rule.kind)
        if identity not in seen:
            seen.add(identity)
            kept.append(link)
    return tuple(kept)


def _span_minutes(task: TaskFacts) -> int:
    return (task.remaining_minutes or task.work_minutes) if task.kind != "work" else 0


def _calendar_key(world: World, task: TaskFacts) -> str:
    if task.kind == "work":
        return ""
    if task.kind == "visit":
        return visit_calendar(world, task) or BRANCH_CALENDAR
    return BRANCH_CALENDAR


def _start_by(world: World, task: TaskFacts) -> int | None:
    if task.start_by_hour is None:
        return None
    opens = world.branch.opens
    return round(task.start_by_hour * 60) - (opens.hour * 60 + opens.minute)


def _calendars(world: World, line: Timeline) -> tuple[Calendar, ...]:
    return (
        Calendar(key=BRANCH_CALENDAR, windows=line.windows(world.crews.branch_calendar)),
        *(Calendar(key=f"crew:{crew.key}", windows=line.windows(crew.calendar)) for crew in world.crews.crews),
        *(
            Calendar(key=f"visit:{supplier.kind}", windows=line.windows(supplier.calendar))
            for supplier in world.crews.suppliers
        ),
    )


def _gear_holds(world: World, line: Timeline) -> tuple[GearHold, ...]:
    counted = {gear.kind for gear in world.crews.gear}
    holds = []
    for job in world.jobs:
        by_id = {task.id: task for task in job.tasks}
        for span in job.gear_spans:
            first, last = by_id[span.from_task], by_id[span.until_task]
            if span.gear not in counted or not last.is_open or first.dropped:
                continue
            began = first.started_at if not first.is_open else None
            holds.append(
                GearHold(
                    gear=span.gear,
                    from_task=task_key(job, first),
                    until_task=task_key(job, last),
                    amount=span.amount,
                    since=max(0, line.minute_down(began)) if began else (None if first.is_open else 0),
                    whole_days=span.gear in WHOLE_DAY_GEAR,
                )
            )
    return tuple(holds)


def _limits(world: World, tasks: Mapping[str, tuple[JobFacts, TaskFacts]]) -> tuple[DailyLimit, ...]:
    limits = []
    for supplier in world.crews.suppliers:
        if supplier.daily_limit is None:
            continue
        served = tuple(
            key
            for key, (_, task) in tasks.items()
            if task.authority == supplier.kind or (not supplier.is_authority and supplier.kind in task.bookings)
        )
        if served:
            limits.append(DailyLimit(key=supplier.kind, tasks=served, count=supplier.daily_limit))
    return tuple(limits)


def _last_task(job: JobFacts) -> TaskFacts | None:
    """The task that hands the pool over, while it is open; without one the last that nothing follows."""
    followed = {link.before for link in job.links}
    open_tasks = [task for task in job.until_hand_over if task.is_open]
    ends = [task for task in open_tasks if task.id not in followed]
    candidates = ends or open_tasks
    return candidates[-1] if candidates else None


def _promises(world: World, line: Timeline) -> tuple[Promise, ...]:
    promises = []
    for job in world.jobs:
        last = _last_task(job)
        if job.promised_on is None or last is None or not job.late_dollars_per_day:
            continue
        due = line.minute(line.midnight(job.promised_on)) + (line.days[0].closes - line.minute(line.origin_at))
        promises.append(
            Promise(
                job=job.name,
                task=task_key(job, last),
                due=max(due, 0),
                dollars_per_day=job.late_dollars_per_day,
            )
        )
    return tuple(promises)


def _open_days(world: World, line: Timeline) -> tuple[OpenDays, ...]:
    found = []
    for job in world.jobs:
        by_key = {task.key: task for task in job.tasks}
        first, last = by_key.get(OPEN_DIG[0]), by_key.get(OPEN_DIG[1])
        if first is None or last is None or first.dropped or not last.is_open or not job.open_dig_dollars_per_day:
            continue
        began = first.started_at or first.finished_at
        found.append(
            OpenDays(
                job=job.name,
                from_task=task_key(job, first),
                until_task=task_key(job, last),
                dollars_per_day=job.open_dig_dollars_per_day,
                since=None if first.is_open else max(0, line.minute_down(began) if began else 0),
            )
        )
    return tuple(found)


def _let_go(job: JobFacts, task: TaskFacts, line: Timeline, latest: int, why: str) -> str:
    on = line.at(latest).astimezone(ZoneInfo(line.zone))
    return (
        f"{job.name}: {task.title} finds no start by {on:%-d %B} ({why}): it is planned later, so have it looked at "
        "again before it starts."
    )


def _already_late(job: JobFacts, line: Timeline, as_of: datetime) -> list[str]:
    if job.promised_on is None or line.midnight(job.promised_on) >= line.midnight(line.first_on):
        return []
    days = (line.first_on - job.promised_on).days
    return [f"{job.name} was promised for {job.promised_on:%-d %B %Y}, {days} days ago: agree a date with the owner."]
