"""Inspections in the order they press: ask, wait for a yes, the visit, the result."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from crews.domain.calls import has_letter
from crews.domain.facts import BookingFacts
from jobs.domain.facts import HoldFacts, JobFacts, TaskFacts
from jobs.domain.holds import HoldRecord, shown_state
from planner.dayplans.domain.calling import list_calls
from planner.dayplans.presenters.calls import CallView, CallWriter
from planner.dayplans.presenters.measures import gettext_noop
from planner.web.presenters.day_scale import DayScale, short_day
from planner.web.presenters.decisions.holds import ask_by
from planner.web.presenters.pools.half_days import half_days
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.work import RESULTS
from planner.web.presenters.strips import HoldAt, Strip, Strips, draw_strips

DAYS = 21
PX_PER_DAY = 58.0
# Holds whose visit lies further ahead than this are listed, and asked for when their time comes.
NEAR = timedelta(days=14)
PASSED_FOR = timedelta(days=14)

WORDS = {
    "failed": gettext_noop("failed"),
    "not asked": gettext_noop("not asked for"),
    "asked": gettext_noop("asked, no yes yet"),
    "confirmed": gettext_noop("confirmed"),
    "no result": gettext_noop("visited, no result entered"),
    "passed": gettext_noop("passed"),
}
CLASSES = {
    "failed": "failed",
    "not asked": "waiting",
    "asked": "prepare",
    "confirmed": "clear",
    "no result": "unreported",
    "passed": "finished",
}
ORDER = ("failed", "no result", "not asked", "asked", "confirmed")


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldView:
    """One hold. ``day_iso`` is the day to ask for, ``gate`` the drawing's state, ``can_ask`` opens the form.

    ``misfit``: there is a slot, but on another day than the plan needs.
    """

    id: int
    visit: int
    pool: str
    where: str
    title: str
    looks_at: str
    state: str
    word: str
    gate: str
    authority: str
    phone: str
    dial: str
    planned: str
    day_iso: str
    call_by: str
    past: bool
    booked: str
    blocks: str
    decided: str
    note: str
    earliest: str
    misfit: bool
    can_ask: bool
    can_decide: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CallRow:
    """A call with the place of its work.

    ``can_write``: a letter can stand in for it. ``wanted``: the day to ask for (ISO), where one is; ``can_book`` and
    ``can_call_off``: what may come of it.
    """

    view: CallView
    where: str
    can_write: bool
    wanted: str
    can_book: bool
    can_call_off: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldsPage:
    """Context ``page`` of ``planner/holds.html``."""

    plan_number: int
    pressing: tuple[HoldView, ...]
    later: tuple[HoldView, ...]
    passed: tuple[HoldView, ...]
    drawing: Strips
    calls: tuple[CallRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hold:
    job: JobFacts
    hold: HoldFacts
    visit: TaskFacts
    booking: BookingFacts | None
    state: str
    at: datetime | None
    ask_by_at: datetime | None


def present_holds(reader: Reader, links: Links, *, plan_number: int, with_form: int = 0) -> HoldsPage:
    """Every hold of the open pools: those that press, those further ahead, those passed lately.

    ``with_form`` is a hold whose form was refused: it comes back with its form, however far ahead it lies.
    """
    found = sorted(_holds(reader), key=lambda one: _order(reader, one))
    shut = [one for one in found if one.state != "passed"]
    until = reader.world.as_of + NEAR
    near = [
        one
        for one in shut
        if one.hold.id == with_form or one.state in ("failed", "no result") or (one.at is not None and one.at < until)
    ]
    far = [one for one in shut if one not in near]
    since = reader.world.as_of - PASSED_FOR
    passed = [
        one
        for one in found
        if one.state == "passed" and one.hold.decided_at is not None and one.hold.decided_at >= since
    ]
    return HoldsPage(
        plan_number=plan_number,
        pressing=tuple(_view(reader, links, one, with_form) for one in near),
        later=tuple(_view(reader, links, one, with_form) for one in far),
        passed=tuple(_view(reader, links, one, with_form) for one in reversed(passed)),
        drawing=_draw(reader, links, [*near, *far]),
        calls=tuple(_calls(reader, links)),
    )


def _calls(reader: Reader, links: Links) -> Iterator[CallRow]:
    """Every call by its deadline, inspections and bookings alike, as the office is reminded of them."""
    world = reader.world
    writer = CallWriter(world.branch, reader.vocabulary, world.as_of, reader.gettext)
    for about in list_calls(world, tuple(reader.stays.values()), reader.vocabulary):
        yield CallRow(
            view=writer.view(about),
            where=links.task(about.job.id, about.task.key),
            can_write=has_letter(about.call),
            wanted=about.call.wanted_on.isoformat() if about.call.wanted_on is not None else "",
            # A paper that runs out is entered with its new last day, not with a day somebody comes.
            can_book=about.call.act not in ("renew", "call_off"),
            can_call_off=about.call.act in ("move", "confirm", "call_off"),
        )


def _holds(reader: Reader) -> Iterator[_Hold]:
    for job in reader.world.jobs:
        by_id = {task.id: task for task in job.tasks}
        for hold in job.holds:
            visit = by_id[hold.visit]
            if visit.dropped:
                continue
            stay = reader.stays.get(visit.id)
            booking = next(iter(reader.bookings_of(visit)), None)
            yield _Hold(
                job=job,
                hold=hold,
                visit=visit,
                booking=booking,
                state=_state(reader, hold, visit, booking),
                at=stay.start_at if stay is not None else None,
                ask_by_at=ask_by(reader, visit, stay) if stay is not None else None,
            )


def _state(reader: Reader, hold: HoldFacts, visit: TaskFacts, booking: BookingFacts | None) -> str:
    record = HoldRecord(
        asked_at=booking.asked_at if booking is not None else None,
        confirmed_at=booking.asked_at if booking is not None and booking.state != "asked" else None,
        result=RESULTS[hold.result],
        decided_by=hold.decided_by,
        decided_at=hold.decided_at,
    )
    state = shown_state(record)
    came = visit.finished_at is not None or (booking is not None and booking.on < reader.today)
    return "no result" if came and state in ("asked", "confirmed", "not asked") else state


def _order(reader: Reader, one: _Hold) -> tuple[int, datetime, int]:
    rank = ORDER.index(one.state) if one.state in ORDER else len(ORDER)
    far = one.ask_by_at or one.at or reader.world.as_of + timedelta(days=999)
    return rank, (one.hold.decided_at or far) if one.state == "passed" else far, one.hold.id


def _view(reader: Reader, links: Links, one: _Hold, with_form: int) -> HoldView:
    gettext, hold, visit = reader.gettext, one.hold, one.visit
    supplier = reader.supplier(visit.authority)
    known = reader.vocabulary.authorities.get(visit.authority)
    phone = supplier.phone if supplier is not None else ""
    decided = ""
    if hold.decided_at is not None:
        decided = gettext("{when} by {who}").format(when=reader.when(hold.decided_at), who=hold.decided_by)
    open_tasks = [task for task in one.job.tasks if task.id in hold.blocks and task.is_open]
    live = one.booking if one.state in ("asked", "confirmed") else None
    misfit = live is not None and one.at is not None and live.on != reader.date_of(one.at)
    past = one.ask_by_at is not None and one.ask_by_at <= reader.world.as_of
    return HoldView(
        id=hold.id,
        visit=visit.id,
        pool=one.job.name,
        where=links.hold(one.job.id, hold.key),
        title=hold.title,
        looks_at=hold.looks_at,
        state=CLASSES[one.state],
        word=gettext(WORDS[one.state]),
        gate="open" if one.state == "passed" else "shut",
        authority=supplier.name if supplier is not None else (known.title if known is not None else visit.authority),
        phone=phone,
        dial="".join(sign for sign in phone if sign.isdigit() or sign == "+"),
        planned=reader.when(one.at) if one.at is not None else gettext("not planned"),
        day_iso=(reader.date_of(one.at) if one.at is not None else reader.today).isoformat(),
        call_by=reader.by(one.ask_by_at) if one.ask_by_at is not None else "",
        past=past,
        booked=short_day(one.booking.on, gettext) if one.booking is not None else "",
        blocks=_blocks(reader, open_tasks),
        decided=decided,
        note=hold.note,
        earliest=visit.earliest_why if one.state == "failed" else "",
        misfit=misfit,
        can_ask=one.state in ("failed", "not asked", "asked") or misfit or hold.id == with_form,
        can_decide=one.state != "passed",
    )


def _blocks(reader: Reader, tasks: list[TaskFacts]) -> str:
    said = []
    for task in tasks[:3]:
        stay = reader.stays.get(task.id)
        said.append(f"{task.title} ({reader.when(stay.start_at)})" if stay is not None else task.title)
    if len(tasks) > 3:
        said.append(reader.gettext("and {count} more").format(count=len(tasks) - 3))
    return "; ".join(said)


def _draw(reader: Reader, links: Links, holds: list[_Hold]) -> Strips:
    """Shut gates where the visits stand, each with a strip from the last call to the visit."""
    planned = [one for one in holds if one.at is not None and one.at >= reader.world.as_of - timedelta(days=1)]
    site = next((one.visit.site for one in planned), None)
    sky = reader.world.skies.get(site.id) if site is not None else None
    return draw_strips(
        tuple(_call_strip(reader, links, one) for one in planned if one.ask_by_at is not None),
        scale=DayScale(from_on=reader.today, days=DAYS, zone=reader.zone, px_per_day=PX_PER_DAY),
        name=reader.gettext("holds"),
        holds=tuple(_gate(reader, one) for one in planned),
        sky=half_days(sky, reader.world.climate, zone=reader.zone, from_on=reader.today, days=DAYS),
        now=reader.world.as_of,
        gettext=reader.gettext,
    )


def _gate(reader: Reader, one: _Hold) -> HoldAt:
    stay = reader.stays[one.visit.id]
    return HoldAt(title=one.job.name, at=stay.end_at, result=RESULTS[one.hold.result])


def _call_strip(reader: Reader, links: Links, one: _Hold) -> Strip:
    assert one.ask_by_at is not None
    assert one.at is not None
    words: Callable[[str], str] = reader.gettext
    title = words("{pool}: {hold}").format(pool=one.job.name, hold=one.hold.title)
    return Strip(
        key=f"hold-{one.hold.id}",
        title=title,
        trade="inspector",
        trade_title=words("from the last call to the visit"),
        from_at=min(one.ask_by_at, one.at),
        until_at=reader.stays[one.visit.id].end_at,
        state={"confirmed": "clear", "no result": "unreported"}.get(one.state, "waiting"),
        crew=reader.supplier(one.visit.authority).name if reader.supplier(one.visit.authority) else "",  # type: ignore[union-attr]
        where=links.hold(one.job.id, one.hold.key),
    )
