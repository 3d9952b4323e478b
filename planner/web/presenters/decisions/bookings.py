"""Bookings to make before their notice runs out, and those that no longer fit the plan."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from itertools import groupby

from crews.domain import calls
from crews.domain.calls import Call
from crews.domain.facts import BookingFacts
from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.domain.calling import DAYS_AHEAD, wanted_of
from planner.plans.domain.world import Stay
from planner.web.presenters.decisions.decision import Decision, Phone, phone_of
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader


def booking_decisions(reader: Reader, links: Links) -> Iterator[Decision]:
    """One decision for the calls about one task that ask for the same; nothing of work that has begun."""
    last_on = reader.world.crews.branch_calendar.add_working_days(reader.today, DAYS_AHEAD)
    for job in reader.world.jobs:
        for task in job.tasks:
            stay = reader.stays.get(task.id)
            if stay is None or not task.is_open or task.started_at is not None:
                continue
            wanted = wanted_of(task, stay, reader.zone)
            # Visits to ask for are told of their hold.
            told = calls.calls_of(reader.desk, wanted, now=reader.world.as_of, last_on=last_on)
            found = (call for call in told if call.act != "ask")
            for _, group in groupby(sorted(found, key=_alike), key=_alike):
                yield _decision(reader, links, job, task, stay, tuple(group))


def book_by(reader: Reader, kind: str, on: date) -> datetime:
    """The last moment to book something for a date: the close of the day its notice begins to run."""
    return calls.book_by(reader.desk, kind, on)


def free_until(reader: Reader, booking: BookingFacts) -> datetime:
    """When calling a booking off begins to cost its fee."""
    return calls.free_until(reader.desk, booking)


def move_by(reader: Reader, booking: BookingFacts, wanted: date) -> datetime:
    """The last moment to move a booking to a date: free of charge, and in time for the notice of the new day."""
    return calls.move_by(reader.desk, booking, wanted, now=reader.world.as_of)


def fits(reader: Reader, booking: BookingFacts, stay: Stay) -> bool:
    """Whether a booked day serves the planned work: people come on a day of it, a delivery not after it begins."""
    return calls.fits(reader.desk, booking, reader.date_of(stay.start_at), reader.date_of(stay.end_at))


def _alike(call: Call) -> tuple[str, str]:
    return call.act, call.on.isoformat() if call.on is not None else ""


def _decision(
    reader: Reader, links: Links, job: JobFacts, task: TaskFacts, stay: Stay, about: Sequence[Call]
) -> Decision:
    gettext, place = reader.gettext, job.name or task.site.name
    moments = [call.by_at for call in about if call.by_at is not None]
    by_at = min(moments, default=None)
    what = {
        "make": gettext("Book for {pool}: {bookings}"),
        "right": gettext("Set right at {pool}: {bookings} came short or wrong"),
        "renew": gettext("Renew for {pool}, it runs out before the work: {bookings}"),
        "move": gettext("Move or call off at {pool}, booked {booked}: {bookings}"),
        "confirm": gettext("Get a word for {pool}, asked and not confirmed: {bookings}"),
    }[about[0].act]
    said = gettext("“{task}” is planned {when}.").format(task=task.title, when=reader.when(stay.start_at))
    if about[0].act == "make":
        said += " " + gettext("Nothing is asked for yet.")
    return Decision(
        kind="booking",
        what=what.format(
            pool=place,
            bookings=", ".join(reader.booking_title(call.kind) for call in about),
            booked=reader.day(about[0].on) if about[0].on is not None else "",
        ),
        why=said,
        by_at=by_at,
        by=reader.by(by_at) if by_at is not None else gettext("now"),
        past=by_at is not None and by_at <= reader.world.as_of,
        where=f"{holds_at}#calls" if (holds_at := links.page("holds")) else links.task(job.id, task.key),
        link=gettext("Calls to make"),
        phones=tuple(phone for call in about if (phone := _phone(reader, call)) is not None),
    )


def _phone(reader: Reader, call: Call) -> Phone | None:
    """Who to call, and what waiting costs."""
    supplier, gettext = call.supplier, reader.gettext
    if supplier is None:
        return None
    if call.act not in ("move", "confirm") or not supplier.fee_dollars or call.by_at is None:
        return phone_of(supplier)
    fee = f"${supplier.fee_dollars:,}"
    if call.by_at <= reader.world.as_of:
        return phone_of(supplier, gettext("calling it off costs {fee} now").format(fee=fee))
    said = gettext("free to call off {by}, then {fee}").format(by=reader.by(call.by_at), fee=fee)
    return phone_of(supplier, said)
