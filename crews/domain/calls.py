"""Calls to make by a deadline: ask, book, move, confirm, renew, set right, call off."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Literal

from crews.domain.facts import BookingFacts, CrewsFacts, SupplierFacts
from crews.domain.slots import COMES_FOR_THE_WORK
from crews.domain.supplier_letters import LetterKind
from crews.domain.working_time import WorkCalendar, local_moment

Act = Literal["ask", "make", "right", "renew", "move", "confirm", "call_off"]
# What a letter can say; getting a word, renewing and setting right are spoken about.
LETTERS: Mapping[str, LetterKind] = {"ask": "ask", "make": "ask", "move": "move", "call_off": "call_off"}
LAST_CALL = timedelta(hours=2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Whom a branch calls, and when.

    Attributes
    ----------
    crews : suppliers with their calendars, bookings, outside crews.
    zone, opens : IANA zone of the branch, and when its day opens.
    usual_notice : working days of notice by kind, where the branch has entered nobody of that kind.
    ask_hours : by authority, the local hour until which it takes calls.
    """

    crews: CrewsFacts
    zone: str
    opens: time
    usual_notice: Mapping[str, int] = field(default_factory=dict)
    ask_hours: Mapping[str, time] = field(default_factory=dict)

    def supplier(self, kind: str) -> SupplierFacts | None:
        """Who is called for a kind of booking or visit."""
        return next((one for one in self.crews.suppliers if one.kind == kind), None)

    def supplier_of(self, booking: BookingFacts) -> SupplierFacts | None:
        """Whose slot a booking is."""
        return next((one for one in self.crews.suppliers if one.id == booking.supplier), None)

    def calendar(self, kind: str) -> WorkCalendar:
        """The days a notice counts in: theirs, else the branch's."""
        supplier = self.supplier(kind)
        return supplier.calendar if supplier is not None else self.crews.branch_calendar

    def opening(self, on: date) -> datetime:
        """When the branch's day of a date opens, worked or not."""
        return local_moment(self.zone, on, self.opens)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Planned work with what it needs from outside, on the branch's dates; ``authority`` makes it a visit."""

    task: int
    first_on: date
    last_on: date
    kinds: tuple[str, ...] = ()
    authority: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One call to make.

    Attributes
    ----------
    act : what to say.
    task, kind : for what; of a visit to ask for, ``kind`` is the authority.
    on : the booked day, ``None`` where nothing is booked.
    wanted_on : the day the plan needs, ``None`` where it needs none any more.
    by_at : the last moment without loss; ``None``: now.
    supplier : whom; ``None`` where the branch has entered nobody.
    """

    act: Act
    task: int
    kind: str
    on: date | None
    wanted_on: date | None
    by_at: datetime | None
    supplier: SupplierFacts | None

    @property
    def fact(self) -> str:
        """The stable name of what is to be said: another day is another call."""
        days = "/".join(day.isoformat() if day is not None else "-" for day in (self.on, self.wanted_on))
        return f"call:{self.act}:{self.task}:{self.kind}:{days}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """A message to the office about calls, ready to read; ``fact`` is its stable name."""

    fact: str
    subject: str
    body: str
    short: str


def book_by(desk: Desk, kind: str, on: date) -> datetime:
    """The last moment to book something for a date: the close of the day its notice begins to run."""
    supplier = desk.supplier(kind)
    notice = supplier.notice_working_days if supplier is not None else desk.usual_notice.get(kind, 0)
    last_on = desk.calendar(kind).add_working_days(on, -notice)
    window = desk.calendar(kind).window_on(last_on)
    return window[1] if window is not None else desk.opening(last_on)


def ask_by(desk: Desk, authority: str, on: date) -> datetime:
    """The last moment to ask an authority for a visit on a date, the day of the call not counted."""
    closes_at = book_by(desk, authority, on)
    hour = desk.ask_hours.get(authority)
    if hour is None:
        return closes_at
    return min(closes_at, local_moment(desk.zone, desk.calendar(authority).date_of(closes_at), hour))


def free_until(desk: Desk, booking: BookingFacts) -> datetime:
    """When calling a booking off begins to cost its fee."""
    supplier = desk.supplier_of(booking)
    return desk.opening(booking.on) - timedelta(hours=supplier.free_cancel_hours if supplier is not None else 0)


def move_by(desk: Desk, booking: BookingFacts, wanted_on: date, *, now: datetime) -> datetime:
    """The last moment to move a booking to a date: free of charge, and in time for the notice of the new day."""
    free, notice = free_until(desk, booking), book_by(desk, booking.kind, wanted_on)
    return notice if free <= now else min(free, notice)


def fits(desk: Desk, booking: BookingFacts, first_on: date, last_on: date) -> bool:
    """Whether a booked day serves work from a first to a last date: people come on a day of it, goods not after."""
    outside = {crew.booked_as for crew in desk.crews.crews if crew.booked_as}
    if booking.kind in COMES_FOR_THE_WORK | outside:
        return first_on <= booking.on <= last_on
    return booking.on <= first_on


def calls_of(desk: Desk, wanted: Wanted, *, now: datetime, last_on: date) -> Iterator[Call]:
    """The calls about one piece of planned work that has not begun, as far as their deadline is ``last_on`` or before.

    A slot on another day, one that came wrong or one that runs out too early is told whatever its deadline.
    """
    live = tuple(one for one in desk.crews.bookings if one.task == wanted.task)
    zone = desk.crews.branch_calendar
    if wanted.authority:
        by_at = ask_by(desk, wanted.authority, wanted.first_on)
        if not live and zone.date_of(by_at) <= last_on:
            yield _call(desk, "ask", wanted, kind=wanted.authority, by_at=by_at)
    else:
        for kind in wanted.kinds:
            by_at = book_by(desk, kind, wanted.first_on)
            if all(one.kind != kind for one in live) and zone.date_of(by_at) <= last_on:
                yield _call(desk, "make", wanted, kind=kind, by_at=by_at)
    for booking in live:
        act = _act(desk, booking, wanted, last_on)
        if act is not None:
            yield Call(
                act=act,
                task=wanted.task,
                kind=booking.kind,
                on=booking.on,
                wanted_on=wanted.first_on,
                by_at=_deadline(desk, act, booking, wanted, now),
                supplier=desk.supplier_of(booking),
            )


def _call(desk: Desk, act: Act, wanted: Wanted, *, kind: str, by_at: datetime) -> Call:
    return Call(
        act=act,
        task=wanted.task,
        kind=kind,
        on=None,
        wanted_on=wanted.first_on,
        by_at=by_at,
        supplier=desk.supplier(kind),
    )


def _act(desk: Desk, booking: BookingFacts, wanted: Wanted, last_on: date) -> Act | None:
    if booking.state == "wrong":
        return "right"
    if booking.expires_on is not None and booking.expires_on < wanted.first_on:
        return "renew"
    if booking.state != "arrived" and not fits(desk, booking, wanted.first_on, wanted.last_on):
        return "move"
    return "confirm" if booking.state == "asked" and booking.on <= last_on else None


def _deadline(desk: Desk, act: Act, booking: BookingFacts, wanted: Wanted, now: datetime) -> datetime | None:
    if act == "renew":
        return book_by(desk, booking.kind, wanted.first_on)
    if act == "move":
        return move_by(desk, booking, wanted.first_on, now=now)
    return free_until(desk, booking) if act == "confirm" else None


def calls_off(desk: Desk, idle: Collection[int], *, today: date) -> Iterator[Call]:
    """Slots still to come of tasks (ids) that nobody plans any more: to be called off before they cost a fee."""
    for booking in desk.crews.bookings:
        if booking.task in idle and booking.state in ("asked", "confirmed") and booking.on >= today:
            yield Call(
                act="call_off",
                task=booking.task,
                kind=booking.kind,
                on=booking.on,
                wanted_on=None,
                by_at=free_until(desk, booking),
                supplier=desk.supplier_of(booking),
            )


def in_order(calls: Iterable[Call], *, now: datetime) -> tuple[Call, ...]:
    """What presses most comes first: past deadlines, then what has none, then the nearest."""
    return tuple(
        sorted(calls, key=lambda one: (not (one.by_at is not None and one.by_at <= now), one.by_at or now, one.fact))
    )


def is_last_call(call: Call, *, now: datetime) -> bool:
    """Whether the deadline is two hours away or less, and not past."""
    return call.by_at is not None and call.by_at - LAST_CALL <= now < call.by_at


def has_letter(call: Call) -> bool:
    """Whether a letter says what the call would, and there is an address for it."""
    return call.act in LETTERS and call.supplier is not None and bool(call.supplier.mail)
