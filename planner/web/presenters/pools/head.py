"""What every page says of a pool first: promise, planned hand-over, what comes next and what holds that."""

from dataclasses import dataclass
from datetime import date, datetime

from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.presenters.words import STATE_WORDS
from planner.plans.domain.states import TaskState
from planner.web.presenters.pools.binding_words import GateLine, binding_sentence, shut_lines
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.waiting import waits_for

# What asks for an eye first: nobody said anything, then work that is going on, then what is to come.
RANK: dict[TaskState, int] = {"unreported": 0, "started": 1, "clear": 2, "waiting": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class NextEvent:
    """The task a pool is at, with what decides when it starts."""

    title: str
    key: str
    state: TaskState
    state_word: str
    waits: str
    when: str
    crew: str
    binding: str
    shut: tuple[GateLine, ...]
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolHead:
    """Words of a pool. ``promise_state`` is ``kept``, ``late`` or ``unknown``."""

    name: str
    address: str
    access: str
    done: str
    promised: str
    hand_over: str
    promise_state: str
    promise: str
    next: NextEvent | None


def head_of(reader: Reader, job: JobFacts) -> PoolHead:
    """The head of a pool."""
    gettext = reader.gettext
    ends_at = hand_over_at(reader, job)
    ends_on = reader.date_of(ends_at) if ends_at is not None else None
    state, promise = promise_words(reader, job.promised_on, ends_on)
    kept = [task for task in job.tasks if not task.dropped]
    return PoolHead(
        name=job.name,
        address=job.site.address,
        access=job.site.access_note,
        done=gettext("{done} of {all} tasks finished").format(
            done=sum(task.finished_at is not None for task in kept), all=len(kept)
        ),
        promised=reader.date_words(job.promised_on) if job.promised_on is not None else gettext("no date promised"),
        hand_over=reader.date_words(ends_on) if ends_on is not None else gettext("not planned"),
        promise_state=state,
        promise=promise,
        next=next_event(reader, job),
    )


def hand_over_at(reader: Reader, job: JobFacts) -> datetime | None:
    """When the pool is handed over, as reported or planned; ``None`` while what leads there is in no plan."""
    ends = [reader.until_at(task) for task in job.until_hand_over]
    known = [end for end in ends if end is not None]
    return max(known) if known and len(known) == len(ends) else None


def next_event(reader: Reader, job: JobFacts) -> NextEvent | None:
    """What asks for an eye first; ``None`` where nothing open is planned."""
    found = [
        (RANK[state], starts_at, task.position, task)
        for task in job.tasks
        if (state := reader.state(job, task)) in RANK and (starts_at := reader.from_at(task)) is not None
    ]
    first = min(found, key=lambda one: one[:3], default=None)
    return _event(reader, job, first[3], first[1]) if first is not None else None


def _event(reader: Reader, job: JobFacts, task: TaskFacts, starts_at: datetime) -> NextEvent:
    state = reader.state(job, task)
    stay = reader.stays.get(task.id)
    return NextEvent(
        title=task.title,
        key=task.key,
        state=state,
        state_word=reader.gettext(STATE_WORDS[state]),
        waits=waits_for(reader, job, task),
        when=span_words(reader, task),
        crew=", ".join(reader.crew_names(stay)) or reader.trade_title(task.trade),
        binding=binding_sentence(reader, reader.gatekeeper.binding(job, task)),
        shut=shut_lines(reader, job, task),
        at=starts_at,
    )


def span_words(reader: Reader, task: TaskFacts) -> str:
    """From when to when, the day once if it is the same; empty where neither is known."""
    starts_at, ends_at = reader.from_at(task), reader.until_at(task)
    if starts_at is None or ends_at is None:
        return ""
    same_day = reader.date_of(starts_at) == reader.date_of(ends_at)
    end = reader.time(ends_at) if same_day else reader.when(ends_at)
    return reader.gettext("{start} to {end}").format(start=reader.when(starts_at), end=end)


def promise_words(reader: Reader, promised_on: date | None, ends_on: date | None) -> tuple[str, str]:
    """``kept``, ``late`` or ``unknown``, and by how many days in words."""
    gettext = reader.gettext
    if promised_on is None:
        return "unknown", gettext("no date is promised")
    if ends_on is None:
        return "unknown", gettext("not all of it is planned")
    days = (ends_on - promised_on).days
    if days > 0:
        return "late", gettext("1 day late") if days == 1 else gettext("{days} days late").format(days=days)
    if days == 0:
        return "kept", gettext("on the promised day")
    return "kept", gettext("1 day to spare") if days == -1 else gettext("{days} days to spare").format(days=-days)
