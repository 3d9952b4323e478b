"""Bookings a change of plan moves: from which day to which, what it costs, and by when somebody must call."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from crews.domain.calls import Desk, fits, free_until, move_by
from crews.domain.facts import BookingFacts
from planner.plans.domain.changes import Change
from planner.plans.domain.people import MOVABLE
from planner.plans.domain.world import Stay, World


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingMove:
    """One booking that no longer fits its task.

    Attributes
    ----------
    task : the task's id.
    kind, supplier, phone : what was booked, and whoever is called (empty: not known).
    booked_on, wanted_on : the day it was booked for, and the day of the work now.
    free_until : when calling it off begins to cost its fee.
    fee_dollars : that fee.
    lost : the fee is due.
    call_by : last moment to call, free of charge where that is still possible and in time for the new day's notice.
    """

    task: int
    kind: str
    supplier: str
    phone: str
    booked_on: date
    wanted_on: date
    free_until: datetime
    fee_dollars: int
    lost: bool
    call_by: datetime


def desk_of(world: World) -> Desk:
    """Whom the branch of a world calls, and when."""
    return Desk(crews=world.crews, zone=world.branch.zone, opens=world.branch.opens)


def booking_moves(world: World, changes: Iterable[Change], after: Mapping[int, Stay]) -> tuple[BookingMove, ...]:
    """The bookings of moved tasks that no longer fit, the first call first.

    Parameters
    ----------
    world : World
        The branch as it stands.
    changes : iterable of Change
        What moves.
    after : mapping
        Task id to its stay in the new plan.
    """
    moved, desk, zone = {change.task for change in changes}, desk_of(world), ZoneInfo(world.branch.zone)
    found = []
    for booking in world.crews.bookings:
        stay = after.get(booking.task)
        if stay is None or booking.task not in moved or booking.state not in MOVABLE:
            continue
        first_on, last_on = stay.start_at.astimezone(zone).date(), stay.end_at.astimezone(zone).date()
        if not fits(desk, booking, first_on, last_on):
            found.append(_move(desk, booking, first_on, world.as_of))
    return tuple(sorted(found, key=lambda one: (one.call_by, one.task, one.kind)))


def _move(desk: Desk, booking: BookingFacts, wanted_on: date, now: datetime) -> BookingMove:
    supplier, free = desk.supplier_of(booking), free_until(desk, booking)
    fee = supplier.fee_dollars if supplier is not None else 0
    return BookingMove(
        task=booking.task,
        kind=booking.kind,
        supplier=supplier.name if supplier is not None else "",
        phone=supplier.phone if supplier is not None else "",
        booked_on=booking.on,
        wanted_on=wanted_on,
        free_until=free,
        fee_dollars=fee,
        lost=fee > 0 and free <= now,
        call_by=move_by(desk, booking, wanted_on, now=now),
    )
