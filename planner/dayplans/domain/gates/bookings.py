"""Slots of suppliers: asked for, confirmed for the right day, or not asked for at all."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from crews.domain.facts import BookingFacts, SupplierFacts
from crews.domain.slots import COMES_FOR_THE_WORK
from planner.dayplans.domain.day import Day, Piece
from planner.dayplans.facts import CalledIn, Gate, GateState

STATES = {
    "asked": "asked, not confirmed",
    "confirmed": "confirmed",
    "arrived": "arrived",
    "wrong": "arrived short or wrong",
}


def booking_gates(day: Day, piece: Piece) -> Iterator[Gate]:
    """One gate for each kind of booking the task needs."""
    for kind in piece.task.bookings:
        state, sentence, opens = _said(day, piece, kind, booking_of(day, piece, kind))
        title = title_of(day, kind)
        yield Gate(kind="booking", state=state, sentence=f"{title}: {sentence}", opens=opens.format(what=title))


def booking_of(day: Day, piece: Piece, kind: str) -> BookingFacts | None:
    """The live booking of a kind for a task."""
    return next((one for one in day.world.crews.bookings if (one.task, one.kind) == (piece.task.id, kind)), None)


def title_of(day: Day, kind: str) -> str:
    """A kind of booking as people say it."""
    known = day.vocabulary.bookings.get(kind)
    return known.title if known is not None else kind.replace("_", " ").capitalize()


def supplier_of(day: Day, kind: str) -> SupplierFacts | None:
    """Who is called for a kind of booking or visit."""
    return next((one for one in day.world.crews.suppliers if one.kind == kind), None)


def called_in(day: Day, piece: Piece, first_truck_at: datetime | None) -> Iterator[CalledIn]:
    """The suppliers of a task, with the number to call. The hour is the work's own where they come for the work."""
    for kind in piece.task.bookings:
        booking, supplier = booking_of(day, piece, kind), supplier_of(day, kind)
        known = day.vocabulary.bookings.get(kind)
        who = supplier.name if supplier is not None else (known.who if known is not None else "not known")
        on_the_day = booking is not None and booking.on == day.on and kind in COMES_FOR_THE_WORK
        at = (first_truck_at if kind == "ready_mix" and first_truck_at else piece.work_at) if on_the_day else None
        free_until = None
        if at is not None and supplier is not None:
            free_until = at - timedelta(hours=supplier.free_cancel_hours)
        state = f"{STATES[booking.state]} for {_day(booking.on)}" if booking is not None else "not asked for yet"
        yield CalledIn(
            who=who,
            what=title_of(day, kind),
            at=at,
            phone=supplier.phone if supplier is not None else "",
            state=state,
            free_until=free_until if free_until is not None and free_until > day.world.as_of else None,
        )


def _said(day: Day, piece: Piece, kind: str, booking: BookingFacts | None) -> tuple[GateState, str, str]:
    """State, sentence, and what opens it, with the title as ``{what}``."""
    supplier = supplier_of(day, kind)
    if booking is None:
        notice = f"; {supplier.name} wants {_working_days(supplier.notice_working_days)} of notice" if supplier else ""
        return GateState.SHUT, f"not asked for yet{notice}. Call the office.", "{what} is booked for this day"
    if booking.state == "wrong":
        sentence = f"arrived short or wrong, booked for {_day(booking.on)}. Call the office."
        return GateState.SHUT, sentence, "what came short or wrong is set right: {what}"
    if booking.expires_on is not None and booking.expires_on < day.on:
        return GateState.SHUT, f"ran out on {_day(booking.expires_on)}. Call the office.", "{what} is renewed"
    until = f", good until {_day(booking.expires_on)}" if booking.expires_on is not None else ""
    if booking.state == "arrived":
        return GateState.OPEN, f"arrived{until}.", ""
    if booking.state != "confirmed":
        sentence = f"asked for {_day(booking.on)}, not confirmed. The office knows more."
        return GateState.SHUT, sentence, "{what} is confirmed for this day"
    early = booking.on < day.date_of(piece.stay_start_at) and kind in COMES_FOR_THE_WORK
    if booking.on > day.on or early:
        planned = _day(day.date_of(piece.stay_start_at))
        sentence = f"confirmed for {_day(booking.on)}, but the work is planned from {planned} on."
        return GateState.SHUT, sentence, "{what} is moved to this day"
    return GateState.OPEN, f"confirmed for {_day(booking.on)}{until}.", ""


def _working_days(count: int) -> str:
    return f"{count} working day{'' if count == 1 else 's'}"


def _day(on: date) -> str:
    return f"{on:%A, %B} {on.day}"
