"""One crew on one local date: the plan's stays cut to the hours of that day, and what every part of a day plan asks."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from crews.domain.daylight import Daylight, daylight_on
from crews.domain.facts import CrewFacts
from crews.domain.travel import Place
from crews.domain.working_time import Window, WorkCalendar, local_moment
from jobs.domain.errors import CannotDo
from jobs.domain.facts import JobFacts, SiteFacts, TaskFacts
from jobs.domain.method import BuildMethod, TaskRule
from jobs.domain.vocabulary import Vocabulary
from jobs.methods.loader import list_methods, load_method, load_vocabulary
from planner.dayplans.presenters.measures import clock_on
from planner.plans.domain.lasting.paid_hours import worked_calendar
from planner.plans.domain.waits import Calendars, Waits
from planner.plans.domain.world import Judges, Stay, World

INSTANT = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanHead:
    """Which plan a day is told from; ``told_number`` is the plan its people were told before."""

    number: int
    made_at: datetime
    told_number: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """The part [start_at, end_at) of one task's stay that falls on the day, inside working hours.

    The work itself begins at ``stay_work_at``, after what the plan bought to prepare for it.
    """

    job: JobFacts
    task: TaskFacts
    crews: tuple[str, ...]
    start_at: datetime
    end_at: datetime
    stay_start_at: datetime
    stay_work_at: datetime
    stay_end_at: datetime

    @property
    def work_at(self) -> datetime:
        """When the work itself begins on the day."""
        return min(max(self.start_at, self.stay_work_at), self.end_at)

    @property
    def whole(self) -> bool:
        """Whether the day holds all of the stay."""
        return (self.start_at, self.end_at) == (self.stay_start_at, self.stay_end_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """Everything about one crew's day that is looked up more than once."""

    world: World
    plan: PlanHead
    crew: CrewFacts
    on: date
    zone: ZoneInfo
    window: Window | None
    stays: Mapping[int, Stay]
    tasks: Mapping[int, tuple[JobFacts, TaskFacts]]
    vocabulary: Vocabulary
    judges: Judges
    calendars: Calendars
    waits: Waits

    @property
    def head_count(self) -> int:
        """People of the crew who come on the day."""
        return self.crew.head_counts.get(self.on, self.crew.size)

    def said(self, moment: datetime) -> str:
        """A moment in words, with its day unless it is this one."""
        return clock_on(moment, self.zone, self.on)

    def date_of(self, moment: datetime) -> date:
        """Local date of a moment."""
        return moment.astimezone(self.zone).date()

    def daylight(self, site: SiteFacts) -> Daylight | None:
        """Sunrise and sunset at a site; ``None`` where the sun does not both rise and set on the day."""
        try:
            return daylight_on(
                Place(latitude_deg=site.latitude, longitude_deg=site.longitude), self.on, self.world.branch.zone
            )
        except CannotDo as error:
            if error.code != "crews.no_sunrise":
                raise
            return None

    def trade_title(self, trade: str) -> str:
        """A trade as people say it."""
        known = self.vocabulary.trades.get(trade)
        return known.title if known is not None else trade

    def crew_names(self, keys: Sequence[str]) -> tuple[str, ...]:
        """Names of crews by key, in the order given."""
        names = {crew.key: crew.name for crew in self.world.crews.crews}
        return tuple(names.get(key, key) for key in keys)


def day_of(world: World, plan: PlanHead, stays: Sequence[Stay], crew: str, on: date) -> Day:
    """The day of one crew.

    Raises
    ------
    CannotDo
        ``dayplans.unknown_crew``, naming the crews there are.
    """
    known = {one.key: one for one in world.crews.crews}
    if crew not in known:
        raise CannotDo(
            "dayplans.unknown_crew",
            field="crew",
            crew=crew,
            branch=world.branch.name,
            known=", ".join(sorted(known)) or "none is entered yet",
        )
    return Day(
        world=world,
        plan=plan,
        crew=known[crew],
        on=on,
        zone=ZoneInfo(world.branch.zone),
        window=window_of(world, known[crew], stays, on),
        stays={stay.task: stay for stay in stays},
        tasks={task.id: (job, task) for job in world.jobs for task in job.tasks},
        vocabulary=load_vocabulary(),
        judges=Judges(world),
        calendars=Calendars(crews=world.crews),
        waits=Waits(world),
    )


def window_of(world: World, crew: CrewFacts, stays: Iterable[Stay], on: date) -> Window | None:
    """The hours a crew works on a date, to the end of what its stays bought of it; ``None`` where it does not come."""
    windows = [crew.calendar.window_on(on)]
    for stay in stays:
        if stay.paid is not None and crew.key in stay.crews:
            opens_at, closes_at = worked_calendar(world.branch, crew, stay).window_on(on) or (stay.end_at, stay.end_at)
            bought = max(opens_at, stay.start_at), min(closes_at, stay.end_at)
            windows.append(bought if bought[0] < bought[1] else None)
    known = [one for one in windows if one is not None]
    return (min(opens for opens, _ in known), max(closes for _, closes in known)) if known else None


def pieces_on(day: Day, on: date, *, crew: str = "") -> tuple[Piece, ...]:
    """The work of a date in order of start: of one crew, or (no key) everybody's, outsiders and clock time too.

    A stay whose task is dropped, or no longer among the branch's open jobs, is left out.
    """
    return tuple(sorted(_pieces(day, on, crew), key=lambda piece: (piece.start_at, piece.task.id)))


def _pieces(day: Day, on: date, crew: str) -> Iterator[Piece]:
    crews = {one.key: one for one in day.world.crews.crews}
    for stay in day.stays.values():
        if stay.task not in day.tasks or (crew and crew not in stay.crews):
            continue
        job, task = day.tasks[stay.task]
        if task.dropped:
            continue
        if stay.crews:
            whose = crews.get(crew or stay.crews[0])
            part = part_of_day(day.world, stay, on, task.site, whose)
        else:
            part = part_of_clock(stay, on, day.world.branch.zone)
        if part is not None:
            yield Piece(
                job=job,
                task=task,
                crews=stay.crews,
                start_at=part[0],
                end_at=part[1],
                stay_start_at=stay.start_at,
                stay_work_at=stay.work_at,
                stay_end_at=stay.end_at,
            )


def part_of_clock(stay: Stay, on: date, zone: str) -> Window | None:
    """The part of a stay between the midnights of a local date."""
    start_at = max(stay.start_at, local_moment(zone, on, datetime.min.time()))
    end_at = min(stay.end_at, local_moment(zone, on + timedelta(days=1), datetime.min.time()))
    return (start_at, end_at) if start_at < end_at else None


def part_of_day(world: World, stay: Stay, on: date, site: SiteFacts, crew: CrewFacts | None) -> Window | None:
    """The hours of a stay that a crew works on a local date; without a crew, those of the branch.

    A stay inside one date is kept whole, past the closing hour too (a pour's long day). Of one over several dates
    the first day runs to closing, the last from opening, days between from opening to closing; the site's own
    hours and closed days cut all of them.
    """
    if stay.start_at >= stay.end_at:
        return None
    branch = world.crews.branch_calendar
    calendar = worked_calendar(world.branch, crew, stay) if crew is not None else branch
    first_on, last_on = calendar.date_of(stay.start_at), calendar.date_of(stay.end_at - INSTANT)
    if not first_on <= on <= last_on:
        return None
    if first_on == last_on:
        return stay.start_at, stay.end_at
    window = calendar.window_on(on)
    if window is None and on in (first_on, last_on):
        # The plan begins or ends on a day the crew has been given off since: say so, do not hide the work.
        window = branch.window_on(on) or _hours_of_day_before(branch, on)
    if window is None or any(closure.first_on <= on <= closure.last_on for closure in site.closures):
        return None
    opens_at, closes_at = window
    if site.work_from is not None:
        opens_at = max(opens_at, local_moment(calendar.zone, on, site.work_from))
    if site.work_until is not None:
        closes_at = min(closes_at, local_moment(calendar.zone, on, site.work_until))
    start_at = stay.start_at if on == first_on else opens_at
    end_at = stay.end_at if on == last_on else closes_at
    return (start_at, end_at) if start_at < end_at else None


def _hours_of_day_before(calendar: WorkCalendar, on: date) -> Window | None:
    """The hours of the working day before, on a date that is none."""
    hours = calendar.hours_on(calendar.previous_working_day(on))
    if hours is None:
        return None
    return local_moment(calendar.zone, on, hours.opens), local_moment(calendar.zone, on, hours.closes)


def method_of(job: JobFacts) -> BuildMethod | None:
    """The build method of a job; ``None`` for work outside any, or a method that does not come with the product."""
    return load_method(job.method) if job.method in list_methods() else None


def rule_of(job: JobFacts, task: TaskFacts) -> TaskRule | None:
    """What the build method says of a task."""
    method = method_of(job)
    return method.by_key.get(task.key) if method is not None else None


def place_of(job: JobFacts, task: TaskFacts) -> str:
    """Where people say the work is: the job's name, else the site's."""
    return job.name or task.site.name
