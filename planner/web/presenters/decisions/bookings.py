"""Bookings to make before their notice runs out, and those that no longer fit the plan."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby
from typing import Literal

from crews.domain.facts import BookingFacts, SupplierFacts
from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.domain.gates.bookings import COMES_FOR_THE_WORK
from planner.plans.domain.world import Stay
from planner.web.presenters.decisions.decision import Decision
from planner.web.presenters.decisions.holds import DAYS_AHEAD
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader

Act = Literal["make", "right", "renew", "move", "confirm"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One call to make about a kind of booking; ``on`` is the booked day, ``None`` where nothing is booked."""

    act: Act
    kind: str
    on: date | None
    by_at: datetime | None
    supplier: SupplierFacts | None


def booking_decisions(reader: Reader, links: Links) -> Iterator[Decision]:
    """One decision for the calls about one task that ask for the same; nothing of work that has begun."""
    for job in reader.world.jobs:
        for task in job.tasks:
            stay = reader.stays.get(task.id)
            if stay is None or not task.is_open or task.started_at is not None:
                continue
            calls = sorted(_calls(reader, task, stay), key=_alike)
            for _, group in groupby(calls, key=_alike):
                yield _decision(reader, links, job, task, stay, tuple(group))


def book_by(reader: Reader, kind: str, on: date) -> datetime:
    """The last moment to book something for a date: the close of the day its notice begins to run."""
    supplier, known = reader.supplier(kind), reader.vocabulary.bookings.get(kind)
    notice = supplier.notice_working_days if supplier else (known.notice_working_days if known else 0)
    calendar = reader.calendars.of(kind)
    last_on = calendar.add_working_days(on, -notice)
    window = calendar.window_on(last_on)
    return window[1] if window is not None else reader.opening(last_on)


def free_until(reader: Reader, booking: BookingFacts) -> datetime:
    """When calling a booking off begins to cost its fee."""
    supplier = _supplier_of(reader, booking)
    return reader.opening(booking.on) - timedelta(hours=supplier.free_cancel_hours if supplier else 0)


def move_by(reader: Reader, booking: BookingFacts, wanted: date) -> datetime:
    """The last moment to move a booking to a date: free of charge, and in time for the notice of the new day."""
    free, notice = free_until(reader, booking), book_by(reader, booking.kind, wanted)
    return notice if free <= reader.world.as_of else min(free, notice)


def fits(reader: Reader, booking: BookingFacts, stay: Stay) -> bool:
    """Whether a booked day serves the planned work: people come on a day of it, a delivery not after it begins."""
    first_on, last_on = reader.date_of(stay.start_at), reader.date_of(stay.end_at)
    outside = {crew.booked_as for crew in reader.world.crews.crews if crew.booked_as}
    if booking.kind in COMES_FOR_THE_WORK | outside:
        return first_on <= booking.on <= last_on
    return booking.on <= first_on


def _calls(reader: Reader, task: TaskFacts, stay: Stay) -> Iterator[Call]:
    live = reader.bookings_of(task)
    last_shown = reader.world.crews.branch_calendar.add_working_days(reader.today, DAYS_AHEAD)
    planned_on = reader.date_of(stay.start_at)
    for kind in task.bookings if task.kind != "visit" else ():
        make_by_at = book_by(reader, kind, planned_on)
        if all(one.kind != kind for one in live) and reader.date_of(make_by_at) <= last_shown:
            yield Call(act="make", kind=kind, on=None, by_at=make_by_at, supplier=reader.supplier(kind))
    for booking in live:
        act = _act(reader, booking, stay, last_shown)
        if act is None:
            continue
        by_at: datetime | None = None
        if act == "renew":
            by_at = book_by(reader, booking.kind, planned_on)
        elif act == "move":
            by_at = move_by(reader, booking, planned_on)
        elif act == "confirm":
            by_at = free_until(reader, booking)
        supplier = _supplier_of(reader, booking)
        yield Call(act=act, kind=booking.kind, on=booking.on, by_at=by_at, supplier=supplier)


def _act(reader: Reader, booking: BookingFacts, stay: Stay, last_shown: date) -> Act | None:
    if booking.state == "wrong":
        return "right"
    if booking.expires_on is not None and booking.expires_on < reader.date_of(stay.start_at):
        return "renew"
    if booking.state != "arrived" and not fits(reader, booking, stay):
        return "move"
    return "confirm" if booking.state == "asked" and booking.on <= last_shown else None


def _alike(call: Call) -> tuple[str, str]:
    return call.act, call.on.isoformat() if call.on is not None else ""


def _decision(
    reader: Reader, links: Links, job: JobFacts, task: TaskFacts, stay: Stay, calls: Sequence[Call]
) -> Decision:
    gettext, place = reader.gettext, job.name or task.site.name
    moments = [call.by_at for call in calls if call.by_at is not None]
    by_at = min(moments, default=None)
    what = {
        "make": gettext("Book for {pool}: {bookings}"),
        "right": gettext("Set right at {pool}: {bookings} came short or wrong"),
        "renew": gettext("Renew for {pool}, it runs out before the work: {bookings}"),
        "move": gettext("Move or call off at {pool}, booked {booked}: {bookings}"),
        "confirm": gettext("Get a word for {pool}, asked and not confirmed: {bookings}"),
    }[calls[0].act]
    said = gettext("“{task}” is planned {when}.").format(task=task.title, when=reader.when(stay.start_at))
    if calls[0].act == "make":
        said += " " + gettext("Nothing is asked for yet.")
    return Decision(
        kind="booking",
        what=what.format(
            pool=place,
            bookings=", ".join(reader.booking_title(call.kind) for call in calls),
            booked=reader.day(calls[0].on) if calls[0].on is not None else "",
        ),
        why=said,
        by_at=by_at,
        by=reader.by(by_at) if by_at is not None else gettext("now"),
        past=by_at is not None and by_at <= reader.world.as_of,
        where=links.task(job.id, task.key),
        link=place,
        details=tuple(line for call in calls if (line := _call_words(reader, call))),
    )


def _call_words(reader: Reader, call: Call) -> str:
    """Who to call, and what waiting costs."""
    supplier, gettext = call.supplier, reader.gettext
    if supplier is None:
        return ""
    who = f"{supplier.name} {supplier.phone}".strip()
    if call.act not in ("move", "confirm") or not supplier.fee_dollars or call.by_at is None:
        return who
    fee = f"${supplier.fee_dollars:,}"
    if call.by_at <= reader.world.as_of:
        return gettext("{who}: calling it off costs {fee} now").format(who=who, fee=fee)
    said = gettext("{who}: free to call off {by}, then {fee}")
    return said.format(who=who, by=reader.by(call.by_at), fee=fee)


def _supplier_of(reader: Reader, booking: BookingFacts) -> SupplierFacts | None:
    return next((one for one in reader.world.crews.suppliers if one.id == booking.supplier), None)
