"""A pool's tasks, holds and bookings, one line each."""

from collections.abc import Iterator
from dataclasses import dataclass

from crews.domain.facts import BookingFacts
from jobs.domain.facts import HoldFacts, JobFacts, TaskFacts
from planner.dayplans.presenters.measures import gettext_noop
from planner.dayplans.presenters.words import STATE_WORDS
from planner.plans.domain.states import TaskState
from planner.plans.domain.story import paid_words
from planner.web.presenters.decisions.bookings import book_by, free_until
from planner.web.presenters.decisions.holds import ask_by
from planner.web.presenters.pools.amounts import task_amount
from planner.web.presenters.pools.binding_words import GateLine, binding_sentence, shut_lines
from planner.web.presenters.pools.head import span_words
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.waiting import waits_for
from planner.web.presenters.strips import HOLD_WORDS
from planner.web.presenters.trades import hatch_of

BOOKED = {
    "asked": gettext_noop("asked, not confirmed"),
    "confirmed": gettext_noop("confirmed"),
    "arrived": gettext_noop("arrived"),
    "wrong": gettext_noop("short or wrong"),
}
NAMED = 3
GATES = {"open": "shut", "failed": "shut", "passed": "open"}


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One task. ``binding`` says which gate decides its start; empty once it has begun."""

    number: int
    key: str
    title: str
    hatch: str
    trade: str
    state: TaskState
    state_word: str
    waits: str
    when: str
    iso: str
    crew: str
    amount: str
    binding: str
    shut: tuple[GateLine, ...]
    note: str

    @property
    def over(self) -> bool:
        """Nothing more is to be done."""
        return self.state in ("finished", "dropped")


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """One hold; ``gate`` is how it is drawn."""

    key: str
    title: str
    gate: str
    word: str
    visit: str
    asked: str
    decided: str
    looks_at: str
    blocks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingLine:
    """One slot, asked for or still to ask for."""

    what: str
    task: str
    task_key: str
    who: str
    phone: str
    dial: str
    state: str
    state_word: str
    day: str
    deadline: str


def task_lines(reader: Reader, job: JobFacts) -> tuple[TaskLine, ...]:
    """Every task in build order."""
    ordered = sorted(job.tasks, key=lambda task: (task.position, task.id))
    return tuple(_task(reader, job, task, number) for number, task in enumerate(ordered, start=1))


def _task(reader: Reader, job: JobFacts, task: TaskFacts, number: int) -> TaskLine:
    state, stay = reader.state(job, task), reader.stays.get(task.id)
    starts_at = reader.from_at(task)
    return TaskLine(
        number=number,
        key=task.key,
        title=task.title,
        hatch=hatch_of(task.trade),
        trade=reader.trade_title(task.trade),
        state=state,
        state_word=reader.gettext(STATE_WORDS[state]),
        waits=waits_for(reader, job, task),
        when=span_words(reader, task) or reader.gettext("not in the plan"),
        iso=starts_at.astimezone(reader.zone).isoformat(timespec="minutes") if starts_at is not None else "",
        crew=", ".join(reader.crew_names(stay)),
        amount=task_amount(task, reader.gettext),
        binding=binding_sentence(reader, reader.gatekeeper.binding(job, task)),
        shut=shut_lines(reader, job, task),
        note=_note(reader, task),
    )


def _note(reader: Reader, task: TaskFacts) -> str:
    """What the site said of unfinished work, and whether the office pinned it."""
    gettext, notes = reader.gettext, []
    if task.started_at is not None and task.finished_at is None:
        notes.append(gettext("Began {when}.").format(when=reader.when(task.started_at)))
    if task.is_open and task.remaining_minutes is not None and task.remaining_minutes != task.work_minutes:
        hours = f"{task.remaining_minutes / 60:g}"
        notes.append(gettext("{hours} h still to do, as reported.").format(hours=hours))
    stay = reader.stays.get(task.id)
    if task.is_open and task.started_at is None and stay is not None and stay.prepared is not None:
        said = gettext("Prepare: {what}, ${dollars:,}.")
        notes.append(said.format(what=stay.prepared.title, dollars=stay.prepared.dollars))
        if stay.work_at > stay.start_at:
            notes.append(gettext("The work itself begins {when}.").format(when=reader.time(stay.work_at)))
    if task.is_open and stay is not None and stay.paid is not None:
        notes.append(gettext("Bought: {hours}.").format(hours=paid_words(stay.paid)))
    if task.is_open and task.frozen:
        notes.append(gettext("The office keeps it where it is."))
    return " ".join(notes)


def hold_lines(reader: Reader, job: JobFacts) -> tuple[HoldLine, ...]:
    """Every hold of a pool."""
    return tuple(_hold(reader, job, hold) for hold in job.holds)


def _hold(reader: Reader, job: JobFacts, hold: HoldFacts) -> HoldLine:
    gettext = reader.gettext
    by_id = {task.id: task for task in job.tasks}
    visit = by_id[hold.visit]
    stay = reader.stays.get(visit.id)
    decided = ""
    if hold.result != "open" and hold.decided_at is not None:
        said = gettext("Passed by {who}, {when}.") if hold.result == "passed" else gettext("Failed by {who}, {when}.")
        decided = said.format(who=hold.decided_by, when=reader.when(hold.decided_at))
        decided = f"{decided} {hold.note}".strip()
    return HoldLine(
        key=hold.key,
        title=hold.title,
        gate=GATES[hold.result],
        word=gettext(HOLD_WORDS[hold.result]),
        visit=span_words(reader, visit) if hold.result != "passed" and stay is not None else "",
        asked=_asked(reader, hold, visit),
        decided=decided,
        looks_at=hold.looks_at,
        blocks=_behind(reader, [by_id[one].title for one in hold.blocks]),
    )


def _behind(reader: Reader, titles: list[str]) -> str:
    """What a hold keeps shut: the first of it by name, the rest by number."""
    said = "; ".join(titles[:NAMED])
    more = len(titles) - NAMED
    return reader.gettext("{tasks}, and {more} more").format(tasks=said, more=more) if more > 0 else said


def _asked(reader: Reader, hold: HoldFacts, visit: TaskFacts) -> str:
    """Whether the visit is asked for, and until when it can be."""
    gettext, stay = reader.gettext, reader.stays.get(visit.id)
    if hold.result == "passed" or visit.finished_at is not None:
        return ""
    for booking in reader.bookings_of(visit):
        word = gettext(BOOKED.get(booking.state, booking.state))
        return gettext("{state} for {day}").format(state=word, day=reader.day(booking.on))
    if stay is None:
        return gettext("not asked for; no visit is planned")
    return gettext("ask {by}").format(by=reader.by(ask_by(reader, visit, stay)))


def booking_lines(reader: Reader, job: JobFacts) -> tuple[BookingLine, ...]:
    """Slots of unfinished work: live bookings, and kinds a planned task still needs; the nearest first."""
    lines = [line for task in job.tasks if task.is_open and task.kind != "visit" for line in _bookings(reader, task)]
    return tuple(line for _, line in sorted(lines, key=lambda one: one[0]))


def _bookings(reader: Reader, task: TaskFacts) -> Iterator[tuple[tuple[str, str, str], BookingLine]]:
    live, stay = reader.bookings_of(task), reader.stays.get(task.id)
    for booking in live:
        yield (booking.on.isoformat(), task.title, booking.kind), _booked(reader, task, booking)
    for kind in task.bookings:
        if stay is None or any(one.kind == kind for one in live):
            continue
        planned_on = reader.date_of(stay.start_at)
        by_at = book_by(reader, kind, planned_on)
        deadline = reader.gettext("book {by}").format(by=reader.by(by_at))
        yield (
            (planned_on.isoformat(), task.title, kind),
            _line(reader, task, kind, state="open", word=reader.gettext("not asked for"), deadline=deadline),
        )


def _booked(reader: Reader, task: TaskFacts, booking: BookingFacts) -> BookingLine:
    gettext, deadline = reader.gettext, ""
    if booking.state in ("asked", "confirmed"):
        until_at = free_until(reader, booking)
        over = until_at <= reader.world.as_of
        said = gettext("free to call off until {when}, which is past") if over else gettext("free to call off {by}")
        deadline = said.format(when=reader.when(until_at), by=reader.by(until_at))
    return _line(
        reader,
        task,
        booking.kind,
        state=booking.state,
        word=gettext(BOOKED.get(booking.state, booking.state)),
        deadline=deadline,
        day=reader.day(booking.on),
    )


def _line(
    reader: Reader, task: TaskFacts, kind: str, *, state: str, word: str, deadline: str, day: str = ""
) -> BookingLine:
    supplier = reader.supplier(kind)
    phone = supplier.phone if supplier is not None else ""
    return BookingLine(
        what=reader.booking_title(kind),
        task=task.title,
        task_key=task.key,
        who=supplier.name if supplier is not None else "",
        phone=phone,
        dial="".join(sign for sign in phone if sign.isdigit() or sign == "+"),
        state=state,
        state_word=word,
        day=day,
        deadline=deadline,
    )
