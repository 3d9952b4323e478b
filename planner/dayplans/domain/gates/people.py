"""The crew itself, daylight, and gear that the branch counts."""

from collections.abc import Iterator
from datetime import datetime

from crews.domain.facts import GearFacts
from jobs.domain.facts import GearSpanFacts, JobFacts
from planner.dayplans.domain.day import Day, Piece, place_of
from planner.dayplans.facts import Gate, GateState
from planner.dayplans.presenters.measures import worded
from planner.plans.domain.people import may_be_lit, wants_daylight

LIT = "it is settled how the dark hours are lit"


def crew_gates(day: Day, piece: Piece) -> Iterator[Gate]:
    """Whether enough people come, on a day the crew works and the site may be entered."""
    task, crew, people = piece.task, day.crew, day.head_count
    for closure in task.site.closures:
        if closure.first_on <= day.on <= closure.last_on:
            sentence = f"Nobody works on this site on this day: {closure.reason}."
            opens = "the office says that this site may be entered again"
            yield Gate(kind="crew", state=GateState.SHUT, sentence=sentence, opens=opens)
    if day.window is None:
        sentence = f"{crew.name} does not work on this day by its calendar, but the plan has it here. Call the office."
        opens = "the office says who works on this day"
        yield Gate(kind="crew", state=GateState.SHUT, sentence=sentence, opens=opens)
        return
    need = f"at least {task.crew_min} {'is' if task.crew_min == 1 else 'are'} needed" if task.crew_min else ""
    if people < task.crew_min:
        sentence = f"{people} of {crew.size} come, {need}: the work waits. Call the office."
        opens = f"at least {task.crew_min} {'person is' if task.crew_min == 1 else 'people are'} here"
        yield Gate(kind="crew", state=GateState.SHUT, sentence=sentence, opens=opens)
        return
    if crew.booked_as and crew.booked_as not in task.bookings:
        sentence = "An outside crew that comes only when booked; this work asks for no booking. Ask the office."
        opens = f"the office says that {crew.name} is booked"
        yield Gate(kind="crew", state=GateState.UNKNOWN, sentence=sentence, opens=opens)
        return
    come = f"{people} {'person is' if people == 1 else 'people are'} expected"
    yield Gate(kind="crew", state=GateState.OPEN, sentence=f"{come}, {need}." if need else f"{come}.")


def daylight_gates(day: Day, piece: Piece) -> Iterator[Gate]:
    """Whether exposed work lies between sunrise and sunset; what lamps are brought for is told where it does not."""
    light = day.daylight(piece.task.site)
    if not wants_daylight(day.world, piece.task):
        if may_be_lit(day.world, piece.task) and light is not None and light.sunset_at < piece.end_at:
            sentence = f"The sun goes down {day.said(light.sunset_at)}: bring lights for the work and the way to it."
            yield Gate(kind="daylight", state=GateState.CARE, sentence=sentence)
        return
    if light is None:
        sentence = "The sun does not both rise and set here on this day. Ask the office about light."
        yield Gate(kind="daylight", state=GateState.UNKNOWN, sentence=sentence, opens=LIT)
        return
    inside = light.sunrise_at <= piece.start_at and piece.end_at <= light.sunset_at
    span = f"The sun is up from {day.said(light.sunrise_at)} to {day.said(light.sunset_at)}"
    sentence = f"{span}." if inside else f"{span}; the planned hours run past that. Ask the office about lights."
    state, opens = (GateState.OPEN, "") if inside else (GateState.SHUT, LIT)
    yield Gate(kind="daylight", state=state, sentence=sentence, opens=opens)


def gear_titles(day: Day, piece: Piece) -> tuple[str, ...]:
    """Everything to bring or to find on the site, once each."""
    wanted = dict.fromkeys(piece.task.gear, 1)
    for span in _spans(piece):
        wanted[span.gear] = max(wanted.get(span.gear, 1), span.amount)
    known = day.vocabulary.gear
    return tuple(
        (worded(known[key].title) if key in known else key) + (f" ({amount})" if amount > 1 else "")
        for key, amount in wanted.items()
    )


def gear_gates(day: Day, piece: Piece) -> Iterator[Gate]:
    """Whether enough pieces of counted gear are free at the start; gear the branch does not count has no gate."""
    counted = {gear.kind: gear for gear in day.world.crews.gear}
    for span in _spans(piece):
        gear = counted.get(span.gear)
        if gear is not None:
            yield _gear(day, piece, span, gear)


def _spans(piece: Piece) -> tuple[GearSpanFacts, ...]:
    return tuple(span for span in piece.job.gear_spans if piece.task.id in (span.from_task, span.until_task))


def _gear(day: Day, piece: Piece, span: GearSpanFacts, gear: GearFacts) -> Gate:
    first = next(task for task in piece.job.tasks if task.id == span.from_task)
    if first.started_at is not None:
        since = day.said(first.started_at)
        return Gate(kind="gear", state=GateState.OPEN, sentence=f"{gear.name}: on this site since {since}.")
    held, late = 0, []
    for job in day.world.jobs:
        for other in job.gear_spans:
            if other == span or other.gear != span.gear:
                continue
            holds, words = _held(day, job, other, piece.start_at)
            held += other.amount if holds else 0
            late += [words] if words else []
    free = gear.count - held
    if free < span.amount:
        where = f" {' '.join(late)}" if late else " The rest is in use elsewhere."
        sentence = f"{gear.name}: {max(free, 0)} of {gear.count} free at the start, {span.amount} needed.{where}"
        return Gate(kind="gear", state=GateState.SHUT, sentence=sentence, opens=f"there is {_wanted(gear, span)} here")
    sentence = f"{gear.name}: {free} of {gear.count} free at the start, {span.amount} needed."
    return Gate(kind="gear", state=GateState.OPEN, sentence=sentence)


def _wanted(gear: GearFacts, span: GearSpanFacts) -> str:
    return gear.name if span.amount == 1 else f"{gear.name} ({span.amount})"


def _held(day: Day, job: JobFacts, span: GearSpanFacts, at: datetime) -> tuple[bool, str]:
    """Whether a span holds its gear at a moment, as reported, else as planned; and where it is held."""
    by_id = {task.id: task for task in job.tasks}
    first, last = by_id[span.from_task], by_id[span.until_task]
    if first.dropped or not last.is_open:
        return False, ""
    begins, ends = day.stays.get(first.id), day.stays.get(last.id)
    began = first.started_at is not None or first.finished_at is not None
    until = f", planned until {day.said(ends.end_at)}" if ends is not None else ""
    if began:
        return True, f"Held at {place_of(job, last)}{until}, not reported back."
    if begins is None or begins.start_at > at or (ends is not None and ends.end_at <= at):
        return False, ""
    return True, f"Planned at {place_of(job, first)}{until}."
