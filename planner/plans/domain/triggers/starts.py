"""The planned starts of a branch under the sky of now, and the earlier ones that have come open."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from crews.domain.working_time import WorkCalendar, local_moment
from jobs.domain.facts import JobFacts, TaskFacts
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.judgement import StartJudgement
from planner.plans.domain.assemble import Assembled
from planner.plans.domain.changes import kept_assignments
from planner.plans.domain.lasting.preparing import lets_go, way_told
from planner.plans.domain.timeline import DAY
from planner.plans.domain.triggers.hysteresis import LEAST_DOLLARS, Reading, gain_of
from planner.plans.domain.weather import end_with
from planner.plans.domain.world import Judges, Stay, World
from planner.solver.check import check
from planner.solver.checks.ends import Ends
from planner.solver.result import Assignment

# A forecast that is stale or down moves nothing by itself; a start of which it knows less than half, neither.
USABLE = frozenset({Freshness.FRESH, Freshness.AGEING})
KNOWN_SHARE = 0.5

IsFree = Callable[[int, datetime], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class StartReading:
    """A planned start with its reading; ``run`` is the forecast run, ``sooner_at`` the earlier start of the gain."""

    job: JobFacts
    task: TaskFacts
    stay: Stay
    run: int
    reading: Reading
    judgement: StartJudgement
    sooner_at: datetime | None = None


class Room:
    """Whether one start could be earlier, everything else staying where it is."""

    def __init__(self, assembled: Assembled, stays: Sequence[Stay]) -> None:
        self._assembled = assembled
        self._kept = kept_assignments(assembled, stays)
        self._ends = Ends(assembled.problem)
        self._keys = {task.id: key for key, (_, task) in assembled.tasks.items()}
        self._broken = set(check(assembled.problem, tuple(self._kept.values())))

    def is_free(self, task: int, start_at: datetime) -> bool:
        """Whether the task may start then with its own crews: no rule is broken that is not broken already."""
        key = self._keys.get(task)
        if key is None or key not in self._kept:
            return False
        was, start = self._kept[key], self._assembled.line.minute(start_at)
        # Another start may be prepared otherwise, and take longer or less long.
        end = self._ends.of(key, start, was.crews)
        if end is None:
            return False
        moved = Assignment(task=key, start=start, end=end, crews=was.crews)
        return set(check(self._assembled.problem, tuple({**self._kept, key: moved}.values()))) <= self._broken


def readings(world: World, stays: Iterable[Stay], *, is_free: IsFree) -> tuple[StartReading, ...]:
    """Every exposed start ahead that a usable forecast covers, in order of start.

    Parameters
    ----------
    world : World
        The branch as it stands.
    stays : iterable of Stay
        The plan people work to.
    is_free : callable
        Whether a task (id) could start at an earlier moment; asked only of starts whose sky is worth it.
    """
    by_task = {stay.task: stay for stay in stays}
    judges = Judges(world)
    found = []
    for job in world.jobs:
        for task in job.tasks:
            stay = by_task.get(task.id)
            if stay is None or not _ahead(world, task, stay):
                continue
            judgement = judged(world, judges, task, stay.work_at, stay.end_at)
            if judgement.known_share < KNOWN_SHARE and not judgement.forbidden:
                continue
            gain, sooner_at = _best_gain(world, judges, job, task, by_task, judgement, is_free)
            found.append(
                StartReading(
                    job=job,
                    task=task,
                    stay=stay,
                    run=world.skies[task.site.id].run,
                    reading=replace(
                        reading_of(world, judgement),
                        gain_dollars=gain,
                        forbidden=not lets_go(world.exposures[task.exposure], judgement, stay.prepared),
                    ),
                    judgement=judgement,
                    sooner_at=sooner_at,
                )
            )
    return tuple(sorted(found, key=lambda one: (one.stay.start_at, one.task.id)))


def reading_of(world: World, judgement: StartJudgement) -> Reading:
    """A judgement as the hysteresis reads it, without any gain."""
    return Reading(
        lead_hours=max(0.0, (judgement.start_at - world.as_of).total_seconds() / 3600),
        chance=judgement.chance_hit,
        forbidden=judgement.forbidden,
        dollars=judgement.dollars,
    )


def judged(world: World, judges: Judges, task: TaskFacts, start_at: datetime, end_at: datetime) -> StartJudgement:
    """The sky over one start of a task."""
    exposure = world.exposures[task.exposure]
    return judges.at(task.site.id).start(
        exposure, start_at=start_at, end_at=end_at, soil=task.site.soil, admixture=task.admixture
    )


def _ahead(world: World, task: TaskFacts, stay: Stay) -> bool:
    """Whether a start is exposed, not begun, still to come and under a usable forecast."""
    sky = world.skies.get(task.site.id)
    return (
        task.is_open
        and task.started_at is None
        and stay.start_at > world.as_of
        and world.exposures[task.exposure].exposed
        and sky is not None
        and sky.series is not None
        and sky.freshness in USABLE
    )


def _best_gain(
    world: World,
    judges: Judges,
    job: JobFacts,
    task: TaskFacts,
    stays: Mapping[int, Stay],
    planned: StartJudgement,
    is_free: IsFree,
) -> tuple[int, datetime | None]:
    """The most any earlier day would save, and that start; 0 and ``None`` where none is open or worth it."""
    if task.frozen:
        return 0, None
    exposure, stay = world.exposures[task.exposure], stays[task.id]
    calendar = _calendar_of(world, stay)
    bought = way_told(exposure, planned, stay)
    offers = []
    for start_at in _earlier(world, job, task, stays, calendar):
        end_at = end_with(world, task, start_at, stay.crews)
        then = judged(world, judges, task, start_at, end_at)
        if then.forbidden or then.known_share < KNOWN_SHARE:
            continue
        gain = gain_of(
            planned_dollars=planned.dollars if bought is None else bought.dollars + bought.loss_dollars,
            chance=then.chance_hit,
            loss_dollars=exposure.loss_dollars,
            lead_hours=(start_at - world.as_of).total_seconds() / 3600,
            days_sooner=round((stay.start_at - start_at) / DAY),
            day_dollars=_day_dollars(world, job, stays),
        )
        if gain >= LEAST_DOLLARS:
            offers.append((gain, start_at))
    for gain, start_at in sorted(offers, key=lambda offer: (-offer[0], offer[1])):
        if is_free(task.id, start_at):
            return gain, start_at
    return 0, None


def _earlier(
    world: World, job: JobFacts, task: TaskFacts, stays: Mapping[int, Stay], calendar: WorkCalendar
) -> list[datetime]:
    """The same clock time on every earlier working day from now on, after all that must come before."""
    zone = world.branch.zone
    stay = stays[task.id]
    clock = stay.start_at.astimezone(ZoneInfo(zone)).time()
    before = [link.before for link in job.links if link.after == task.id]
    ends = [stays[one].end_at for one in before if one in stays]
    least = max([world.as_of, *ends, *([task.earliest_at] if task.earliest_at is not None else [])])
    on, found = calendar.date_of(least), []
    while (start_at := local_moment(zone, on, clock)) < stay.start_at:
        if start_at >= least and calendar.is_working_day(on):
            found.append(start_at)
        on += DAY
    return found


def _day_dollars(world: World, job: JobFacts, stays: Mapping[int, Stay]) -> int:
    """What a day sooner is worth: lateness where the pool is late already. All else is left to the plan itself."""
    ends = [stays[task.id].end_at for task in job.tasks if task.is_open and task.id in stays]
    if not ends or job.promised_on is None:
        return 0
    return job.late_dollars_per_day if max(ends).astimezone(ZoneInfo(world.branch.zone)).date() > job.promised_on else 0


def _calendar_of(world: World, stay: Stay) -> WorkCalendar:
    by_key = {crew.key: crew.calendar for crew in world.crews.crews}
    return next((by_key[key] for key in stay.crews if key in by_key), world.crews.branch_calendar)
