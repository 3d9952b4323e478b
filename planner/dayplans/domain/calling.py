"""The calls a branch has to make under its plan: planned work and bookings, told to ``crews.domain.calls``."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from crews.domain.calls import Call, Desk, Wanted, calls_of, calls_off, in_order
from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.vocabulary import Vocabulary
from planner.plans.domain.world import Stay, World

# Working days ahead that are listed: what has to be called for later is on the page of its pool.
DAYS_AHEAD = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class CallAbout:
    """A call with the work it is about; ``stay`` is ``None`` where the work is not planned any more."""

    call: Call
    job: JobFacts
    task: TaskFacts
    stay: Stay | None


def desk_of(world: World, vocabulary: Vocabulary) -> Desk:
    """Whom the branch calls, and when; usual notices stand in for those it has not entered."""
    usual = {key: kind.notice_working_days for key, kind in vocabulary.bookings.items()}
    asked = {key: kind.notice_working_days for key, kind in vocabulary.authorities.items()}
    return Desk(
        crews=world.crews,
        zone=world.branch.zone,
        opens=world.branch.opens,
        usual_notice={**usual, **asked},
        ask_hours={key: kind.ask_by for key, kind in vocabulary.authorities.items()},
    )


def wanted_of(task: TaskFacts, stay: Stay, zone: ZoneInfo) -> Wanted:
    """What planned work needs from outside."""
    return Wanted(
        task=task.id,
        first_on=stay.start_at.astimezone(zone).date(),
        last_on=stay.end_at.astimezone(zone).date(),
        kinds=task.bookings,
        authority=task.authority if task.kind == "visit" else "",
    )


def list_calls(world: World, stays: Sequence[Stay], vocabulary: Vocabulary) -> tuple[CallAbout, ...]:
    """Every call of a branch whose deadline lies within two working days, and every slot that does not fit.

    Past deadlines come first, then what has none, then the nearest.
    """
    desk, by_task = desk_of(world, vocabulary), {stay.task: stay for stay in stays}
    zone = ZoneInfo(world.branch.zone)
    today = world.as_of.astimezone(zone).date()
    about = {task.id: (job, task) for job in world.jobs for task in job.tasks}
    last_on = world.crews.branch_calendar.add_working_days(today, DAYS_AHEAD)
    calls = [
        *_planned(desk, about, by_task, world.as_of, last_on),
        *calls_off(desk, _idle(about, by_task), today=today),
    ]
    return tuple(
        CallAbout(call=call, job=about[call.task][0], task=about[call.task][1], stay=by_task.get(call.task))
        for call in in_order(calls, now=world.as_of)
    )


def _planned(
    desk: Desk,
    about: Mapping[int, tuple[JobFacts, TaskFacts]],
    stays: Mapping[int, Stay],
    now: datetime,
    last_on: date,
) -> Iterator[Call]:
    for key, (_, task) in about.items():
        if key in stays and task.is_open and task.started_at is None:
            yield from calls_of(desk, wanted_of(task, stays[key], ZoneInfo(desk.zone)), now=now, last_on=last_on)


def _idle(about: Mapping[int, tuple[JobFacts, TaskFacts]], stays: Mapping[int, Stay]) -> frozenset[int]:
    """Tasks that are dropped, or open and in no plan although there is one."""
    return frozenset(
        key
        for key, (_, task) in about.items()
        if task.finished_at is None and task.started_at is None and (task.dropped or (bool(stays) and key not in stays))
    )


def morning_list(world: World, calls: Sequence[CallAbout]) -> tuple[CallAbout, ...]:
    """The calls to remind the office of at the opening of today: those due by the end of the next working day.

    Empty before the opening, and on a day the branch does not work.
    """
    calendar = world.crews.branch_calendar
    today = calendar.date_of(world.as_of)
    window = calendar.window_on(today)
    if window is None or world.as_of < window[0]:
        return ()
    until_on = calendar.next_working_day(today)
    return tuple(one for one in calls if one.call.by_at is None or calendar.date_of(one.call.by_at) <= until_on)


def is_past(call: Call, now: datetime) -> bool:
    """Whether the last moment without loss is over."""
    return call.by_at is not None and call.by_at <= now
