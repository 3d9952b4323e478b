"""What the passing of days asks of a plan: silence, slots that were never used, orders not placed, tickets that end."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from crews.domain.calls import book_by
from crews.domain.facts import BookingFacts, SupplierFacts
from crews.domain.slots import COMES_FOR_THE_WORK
from crews.domain.working_time import local_moment
from jobs.domain.facts import JobFacts, TaskFacts
from jobs.words import sentence_for
from planner.plans.domain.gates import DELIVERIES
from planner.plans.domain.people import MOVABLE
from planner.plans.domain.states import silence_of, work_before_is_done
from planner.plans.domain.triggers.booking_moves import desk_of
from planner.plans.domain.triggers.reasons import Reason
from planner.plans.domain.world import Stay, World


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One reason to plan again, with what it is about and a sentence."""

    reason: Reason
    subject: str
    says: str


def due(world: World, stays: Iterable[Stay]) -> tuple[Asked, ...]:
    """Everything the clock alone has made wrong with the plan people work to, at ``world.as_of``.

    Returns
    -------
    tuple of Asked
        Work of earlier days nobody reported, from the next working morning on and the first of each chain only; slots
        and deliveries whose day has passed without use; orders whose notice has run out; tickets and permits that end
        before the work they are for.
    """
    by_task = {stay.task: stay for stay in stays}
    bookings: dict[int, list[BookingFacts]] = {}
    for booking in world.crews.bookings:
        bookings.setdefault(booking.task, []).append(booking)
    found: list[Asked] = []
    for job in world.jobs:
        done = work_before_is_done(job)
        for task in job.tasks:
            stay = by_task.get(task.id)
            if not task.is_open or stay is None:
                continue
            if done[task.id]:
                found += _unreported(world, job, task, stay)
            if task.started_at is None:
                found += _bookings(world, job, task, stay, bookings.get(task.id, []))
    return tuple(found)


def today_of(world: World) -> date:
    """Local date of now."""
    return world.as_of.astimezone(ZoneInfo(world.branch.zone)).date()


def _unreported(world: World, job: JobFacts, task: TaskFacts, stay: Stay) -> Iterator[Asked]:
    today = today_of(world)
    midnight = local_moment(world.branch.zone, today, time())
    opens_at = local_moment(world.branch.zone, today, world.branch.opens)
    if world.as_of < opens_at or not world.crews.branch_calendar.is_working_day(today):
        return
    silence = silence_of(task, stay, as_of=midnight, today_from=midnight)
    if silence is not None:
        moment = stay.end_at if silence == "finished" else stay.start_at
        yield _asked(world, "unreported", f"task:{task.id}", f"silent_{silence}", job, task, at=moment)


def _bookings(
    world: World, job: JobFacts, task: TaskFacts, stay: Stay, bookings: list[BookingFacts]
) -> Iterator[Asked]:
    today = today_of(world)
    planned_on = stay.start_at.astimezone(ZoneInfo(world.branch.zone)).date()
    suppliers = {one.id: one for one in world.crews.suppliers}
    by_kind = {one.kind: one for one in world.crews.suppliers}
    for booking in bookings:
        facts = _facts(booking, suppliers.get(booking.supplier))
        subject = f"booking:{booking.id}"
        if booking.state in MOVABLE and booking.on < today:
            late = booking.kind.endswith(DELIVERIES) or task.kind == "delivery"
            reason: Reason = "delivery_late" if late else "booking_lapsed"
            comes = booking.kind in COMES_FOR_THE_WORK or _comes_with_a_crew(world, booking.kind)
            # Work of that very day is asked about as work nobody reported.
            if late or (comes and planned_on >= today):
                yield _asked(world, reason, subject, reason, job, task, facts=facts)
        if booking.expires_on is not None and booking.expires_on < planned_on:
            yield _asked(world, "ticket_expires", subject, "ticket_expires", job, task, facts=facts)
    live = {booking.kind for booking in bookings}
    for kind in task.bookings:
        supplier = by_kind.get(kind) or (by_kind.get(task.authority) if task.kind == "visit" else None)
        if kind in live or supplier is None or planned_on < today:
            continue
        by_at = book_by(desk_of(world), supplier.kind, planned_on)
        if by_at <= world.as_of:
            yield _asked(
                world,
                "order_due",
                f"task:{task.id}:{kind}",
                "order_due",
                job,
                task,
                at=by_at,
                facts={"who": supplier.name},
            )


def _comes_with_a_crew(world: World, kind: str) -> bool:
    return any(crew.booked_as == kind for crew in world.crews.crews)


def _facts(booking: BookingFacts, supplier: SupplierFacts | None) -> Mapping[str, object]:
    return {
        "who": supplier.name if supplier is not None else booking.kind.replace("_", " "),
        "what": booking.kind.replace("_", " "),
        "on": _day(booking.on),
        "expires": _day(booking.expires_on) if booking.expires_on is not None else "",
    }


def _asked(
    world: World,
    reason: Reason,
    subject: str,
    code: str,
    job: JobFacts,
    task: TaskFacts,
    *,
    at: datetime | None = None,
    facts: Mapping[str, object] | None = None,
) -> Asked:
    local = at.astimezone(ZoneInfo(world.branch.zone)) if at is not None else None
    says, _ = sentence_for(
        f"replan.{code}",
        {
            "task": task.title,
            "pool": job.name or task.site.name,
            "when": f"{_day(local.date())} {local:%H:%M}" if local is not None else "",
            **(facts or {}),
        },
    )
    return Asked(reason=reason, subject=subject, says=says)


def _day(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}"
