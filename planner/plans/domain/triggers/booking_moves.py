"""Bookings a change of plan moves: from which day to which, what it costs, and by when somebody must call."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from crews.domain.facts import BookingFacts, SupplierFacts
from crews.domain.slots import COMES_FOR_THE_WORK
from crews.domain.working_time import local_moment
from planner.plans.domain.changes import Change
from planner.plans.domain.waits import Calendars
from planner.plans.domain.world import Stay, World

# What can still be moved; goods that have come stay, whatever the day.
MOVABLE = frozenset({"asked", "confirmed"})


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingMove:
    """One booking that no longer fits its task.

    Attributes
    ----------
    task : the task's id.
    kind, supplier : what was booked, and the name of whoever is called (empty: not known).
    booked_on, wanted_on : the day it was booked for, and the day of the work now.
    free_until : when calling it off begins to cost its fee.
    fee_dollars : that fee.
    lost : the fee is due.
    call_by : last moment to call, free of charge where that is still possible and in time for the new day's notice.
    """

    task: int
    kind: str
    supplier: str
    booked_on: date
    wanted_on: date
    free_until: datetime
    fee_dollars: int
    lost: bool
    call_by: datetime


def fits(world: World, booking: BookingFacts, stay: Stay) -> bool:
    """Whether a booked day serves the planned work: people come on a day of it, goods not after it begins."""
    zone = ZoneInfo(world.branch.zone)
    first_on, last_on = stay.start_at.astimezone(zone).date(), stay.end_at.astimezone(zone).date()
    outside = {crew.booked_as for crew in world.crews.crews if crew.booked_as}
    if booking.kind in COMES_FOR_THE_WORK | outside:
        return first_on <= booking.on <= last_on
    return booking.on <= first_on


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
    moved = {change.task for change in changes}
    found = [
        _move(world, booking, after[booking.task])
        for booking in world.crews.bookings
        if booking.task in moved
        and booking.task in after
        and booking.state in MOVABLE
        and not fits(world, booking, after[booking.task])
    ]
    return tuple(sorted(found, key=lambda one: (one.call_by, one.task, one.kind)))


def free_until(world: World, booking: BookingFacts, supplier: SupplierFacts | None) -> datetime:
    """When calling a booking off begins to cost its fee: so many hours before its day opens."""
    opens = local_moment(world.branch.zone, booking.on, world.branch.opens)
    return opens - timedelta(hours=supplier.free_cancel_hours if supplier is not None else 0)


def notice_ends(world: World, supplier: SupplierFacts | None, kind: str, on: date) -> datetime:
    """The last moment to ask for a date: the close of the day its notice begins to run."""
    calendar = Calendars(crews=world.crews).of(kind) if supplier is None else supplier.calendar
    last_on = calendar.add_working_days(on, -(supplier.notice_working_days if supplier is not None else 0))
    window = calendar.window_on(last_on)
    return window[1] if window is not None else local_moment(world.branch.zone, last_on, world.branch.opens)


def _move(world: World, booking: BookingFacts, stay: Stay) -> BookingMove:
    supplier = next((one for one in world.crews.suppliers if one.id == booking.supplier), None)
    wanted_on = stay.start_at.astimezone(ZoneInfo(world.branch.zone)).date()
    free = free_until(world, booking, supplier)
    notice = notice_ends(world, supplier, booking.kind, wanted_on)
    fee = supplier.fee_dollars if supplier is not None else 0
    return BookingMove(
        task=booking.task,
        kind=booking.kind,
        supplier=supplier.name if supplier is not None else "",
        booked_on=booking.on,
        wanted_on=wanted_on,
        free_until=free,
        fee_dollars=fee,
        lost=fee > 0 and free <= world.as_of,
        call_by=notice if free <= world.as_of else min(free, notice),
    )
