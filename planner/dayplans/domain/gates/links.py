"""Work before: every link into a task, with what must pass and until when; and starts agreed with people."""

from collections.abc import Iterator
from datetime import datetime

from crews.domain.working_time import local_moment
from jobs.domain.facts import LinkFacts, TaskFacts
from jobs.domain.waiting import FixedStrengthWait, PlainWait, Waiting
from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.facts import OWN_CREW, Gate, GateKind, GateState
from planner.dayplans.presenters.measures import measure
from planner.plans.domain.assemble import bridged_links

KINDS: dict[str, GateKind] = {"strength": "strength", "dryness": "dry"}


def link_gates(day: Day, piece: Piece) -> Iterator[Gate]:
    """One gate for each link into the task, as the build method states it.

    A wait of the clock is open as soon as it surely ends before the start; a task before that nobody reported
    finished keeps it shut. A visit that releases a hold of this task speaks through the hold.
    """
    by_id = {task.id: task for task in piece.job.tasks}
    visits = {hold.visit for hold in piece.job.holds if piece.task.id in hold.blocks}
    for link in bridged_links(piece.job):
        if link.after != piece.task.id:
            continue
        before = by_id[link.before]
        gate = _gate(day, piece, link, before)
        if before.id not in visits or (before.finished_at is not None and gate.state is not GateState.OPEN):
            yield gate
    yield from _agreed(day, piece)


def _gate(day: Day, piece: Piece, link: LinkFacts, before: TaskFacts) -> Gate:
    kind = KINDS.get(link.rule.kind, "links")
    waiting = day.waits.of(piece.job, link)
    if before.finished_at is None:
        return Gate(
            kind=kind,
            state=GateState.SHUT,
            sentence=_unfinished(day, before) + _planned(day, piece, link, waiting),
            opens=f"“{before.title}” is reported {'as arrived' if before.kind == 'delivery' else 'finished'}"
            + ("" if isinstance(waiting, PlainWait) else " and its wait is over"),
            ask=_who(day, before),
        )
    finished = f"{before.title}: finished {day.said(before.finished_at)}."
    waits = "" if isinstance(waiting, PlainWait) else f" {waiting.because(before.finished_at)}"
    latest = day.waits.latest(piece.job, link, before.finished_at)
    if latest is not None and piece.task.started_at is None and piece.start_at > latest:
        why = link.rule.why or link.rule.kind
        late = f" This had to start by {day.said(latest)} ({why}): look again before it starts, ask the office."
        opens = f"somebody has looked at it again: it had to start by {day.said(latest)}"
        return Gate(kind=kind, state=GateState.SHUT, sentence=finished + late, opens=opens)
    until = _until(day, link, latest)
    ready_at = waiting.ready_at(before.finished_at)
    if ready_at > piece.start_at:
        opens = f"{day.said(ready_at)}, when the wait after “{before.title}” is over"
        sentence = f"{finished}{waits} Not before {day.said(ready_at)}.{until}"
        return Gate(kind=kind, state=GateState.SHUT, sentence=sentence, opens=opens)
    if waits:
        ends = "ended" if ready_at <= day.world.as_of else "ends"
        waits += f" The wait {ends} {day.said(ready_at)}."
    if kind == "dry":
        waits += " Rain after that wets it again: look before you start."
    if kind == "strength":
        waits += _measured(day, before, waiting)
    return Gate(kind=kind, state=GateState.OPEN, sentence=finished + waits + until)


def _until(day: Day, link: LinkFacts, latest: datetime | None) -> str:
    """The latest hour, where the build method counts hours: days are looked after by the plan."""
    return f" Start by {day.said(latest)}." if latest is not None and link.rule.max_hours is not None else ""


def _who(day: Day, before: TaskFacts) -> str:
    """The crew that does the work before."""
    stay = day.stays.get(before.id)
    if stay is None:
        return ""
    return OWN_CREW if day.crew.key in stay.crews else ", ".join(day.crew_names(stay.crews))


def _unfinished(day: Day, before: TaskFacts) -> str:
    stay = day.stays.get(before.id)
    planned = f"planned to end {day.said(stay.end_at)}" if stay is not None else "not in the plan"
    if before.kind == "delivery":
        return f"{before.title}: not reported as arrived, {planned}."
    so_far = f"started {day.said(before.started_at)}, " if before.started_at is not None else ""
    return f"{before.title}: {so_far}not reported finished, {planned}."


def _planned(day: Day, piece: Piece, link: LinkFacts, waiting: Waiting) -> str:
    """The wait after unfinished work, when it ends if that work ends as planned, and the latest hour after it."""
    stay = day.stays.get(link.before)
    until = _until(day, link, day.waits.latest(piece.job, link, stay.end_at)) if stay is not None else ""
    if isinstance(waiting, PlainWait):
        return until
    if stay is None:
        return f" {waiting.reason}"
    return f" {waiting.because(stay.end_at)} As planned it ends {day.said(waiting.ready_at(stay.end_at))}.{until}"


def _measured(day: Day, before: TaskFacts, waiting: Waiting) -> str:
    readings = [one for one in day.world.reports if one.kind == "strength" and one.task == before.id]
    if not readings:
        fixed = "That is a fixed wait; no" if isinstance(waiting, FixedStrengthWait) else "No"
        return f" {fixed} strength was measured."
    last = max(readings, key=lambda one: one.happened_at)
    strength_mpa = last.values.get("strength_mpa")
    value = f" of {measure(float(strength_mpa), 'mpa')}" if isinstance(strength_mpa, int | float) else ""
    return f" A strength reading{value} was reported {day.said(last.happened_at)} by {last.said_by}."


def _agreed(day: Day, piece: Piece) -> Iterator[Gate]:
    task = piece.task
    if task.earliest_at is not None and task.earliest_at > piece.start_at:
        why = task.earliest_why or "set by the office"
        opens = f"{day.said(task.earliest_at)}: {why}"
        yield Gate(kind="links", state=GateState.SHUT, sentence=f"Not before {opens}.", opens=opens)
    agreed_on = piece.job.earliest_on
    if agreed_on is None:
        return
    agreed_at = local_moment(day.world.branch.zone, agreed_on, day.world.branch.opens)
    if agreed_on > day.date_of(piece.start_at):
        opens = f"{day.said(agreed_at)}: agreed with the owner"
        yield Gate(kind="links", state=GateState.SHUT, sentence=f"Not before {opens}.", opens=opens)
