"""A change set told to a person on a terminal: what moves, what it costs, who is told, which bookings change."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.changes import Change, ChangeSet
from planner.plans.domain.story import clock_time, day_name, dollars
from planner.plans.domain.triggers.booking_moves import BookingMove
from planner.plans.domain.world import World


def change_lines(
    world: World, changes: ChangeSet, bookings: Sequence[BookingMove], causes: Sequence[str] = ()
) -> list[str]:
    """What moves from the plan in force, and what that asks of people.

    Parameters
    ----------
    world : World
        The branch as it stands.
    changes : ChangeSet
        The moves.
    bookings : sequence of BookingMove
        Bookings that no longer fit.
    causes : sequence of str
        What asked for another plan, in words.
    """
    tasks = {task.id: (job, task) for job in world.jobs for task in job.tasks}
    zone = ZoneInfo(world.branch.zone)
    if not changes.changes:
        return ["What moves", "  Every start stays where it is."]
    lines = ["What asked for it", *(f"  {cause}" for cause in causes), ""] if causes else []
    lines += ["What moves", *(_move_line(tasks, one, zone) for one in changes.changes)]
    if changes.dollars_before is not None:
        lines.append(f"  {dollars(changes.dollars_before)} as it is, {dollars(changes.dollars_after)} as proposed.")
    told = _told_lines(world, changes.changes)
    if told:
        lines += ["", "Who must be told", *told]
    if bookings:
        lines += ["", "Bookings that change", *(_booking_line(tasks, one, zone, world.as_of) for one in bookings)]
    return lines


def _name(tasks: Mapping[int, tuple[JobFacts, TaskFacts]], task_id: int) -> str:
    job, task = tasks[task_id]
    return f"{job.name or task.site.name}, {task.title}"


def _move_line(tasks: Mapping[int, tuple[JobFacts, TaskFacts]], one: Change, zone: ZoneInfo) -> str:
    crews = " + ".join(one.to_crews) or "no crew"
    if one.from_at == one.to_at and one.from_crews == one.to_crews:
        return f"  {_name(tasks, one.task)} ({crews}): {_when(one.to_at, zone)} as before. {one.reason}"
    before = "not planned" if one.from_at is None else _when(one.from_at, zone)
    again = f" Telling people again: {dollars(one.dollars)}." if one.dollars else ""
    return f"  {_name(tasks, one.task)} ({crews}): from {before} to {_when(one.to_at, zone)}. {one.reason}{again}"


def _told_lines(world: World, changes: Sequence[Change]) -> list[str]:
    moved: dict[str, int] = {}
    for one in changes:
        for crew in sorted({*one.from_crews, *one.to_crews}) if one.told else ():
            moved[crew] = moved.get(crew, 0) + 1
    crews = {crew.key: crew for crew in world.crews.crews}
    return [
        f"  {crews[key].name}{f', {crews[key].foreman}' if crews[key].foreman else ''} {crews[key].phone}".rstrip()
        + f": {count} {'start' if count == 1 else 'starts'}"
        for key, count in moved.items()
        if key in crews
    ]


def _booking_line(
    tasks: Mapping[int, tuple[JobFacts, TaskFacts]], one: BookingMove, zone: ZoneInfo, now: datetime
) -> str:
    who = f"{one.supplier or one.kind.replace('_', ' ')} {one.phone}".strip()
    by = f"call by {_when(one.call_by, zone)}" if one.call_by > now else "call now: the notice is short"
    if not one.fee_dollars:
        fee = "no fee"
    elif one.lost:
        fee = f"{dollars(one.fee_dollars)} is due, free calling-off ended {_when(one.free_until, zone)}"
    else:
        fee = f"free until {_when(one.free_until, zone)}, then {dollars(one.fee_dollars)}"
    days = f"from {day_name(one.booked_on)} to {day_name(one.wanted_on)}"
    return f"  {who}, {_name(tasks, one.task)}: {days}; {by}; {fee}"


def _when(moment: datetime, zone: ZoneInfo) -> str:
    local = moment.astimezone(zone)
    return f"{day_name(local.date())} {clock_time(moment, zone)}"
