"""From which day a booking, or the lack of one, lets work start."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from crews.domain.facts import BookingFacts, SupplierFacts

# Whoever comes with people or machines must come on a day of the work; a delivery may lie there before.
COMES_FOR_THE_WORK = frozenset(
    {"pump", "ready_mix", "spoil_trucks", "spray_crew", "plaster_crew", "water_truck", "inspection"}
)

Why = Literal["here", "notice", "again", "comes", "delivers", "slot", "forward"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """The first day work may start, with what sets it.

    Attributes
    ----------
    on : first day.
    why : ``here`` (nothing to wait for), ``notice`` (nothing asked for yet), ``again`` (it came short or wrong),
        ``comes`` (a visitor's day), ``delivers`` (goods are due), ``slot`` (the booked day), ``forward`` (a booked
        slot can be moved forward to this day, after the supplier's notice).
    """

    on: date
    why: Why


def opens_on(
    supplier: SupplierFacts, booking: BookingFacts | None, *, today: date, fixed: bool, goods: bool
) -> Opening:
    """The first day on which a booking lets its work start.

    A slot that was asked for can be moved back at a price, but forward only after the supplier's notice: a pump
    booked for Friday does not come tomorrow because the plan would like it to.

    Parameters
    ----------
    supplier : SupplierFacts
        Who is called.
    booking : BookingFacts or None
        What was asked for; ``None`` where nobody called.
    today : date
        The supplier's local date.
    fixed : bool
        The day is the visitor's, not ours to move by planning (an inspection).
    goods : bool
        It brings material, which is there from its day on.

    Returns
    -------
    Opening
    """
    if booking is not None and booking.state == "arrived":
        return Opening(on=today, why="here")
    notice = supplier.notice_working_days
    after_notice = supplier.calendar.add_working_days(today, notice) if notice else today
    if booking is None or booking.state == "wrong":
        return Opening(on=after_notice, why="notice" if booking is None else "again")
    if fixed:
        return Opening(on=booking.on, why="comes")
    if goods:
        return Opening(on=booking.on, why="delivers")
    if booking.on <= after_notice:
        return Opening(on=min(booking.on, after_notice), why="slot")
    return Opening(on=after_notice, why="forward")
