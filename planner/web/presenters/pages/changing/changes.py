"""A proposal beside the plan in force: every move with its reason and dollars, who must be told, which slots change."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from jobs.domain.facts import JobFacts
from planner.plans.domain.changes import Change, ChangeSet
from planner.plans.domain.triggers.booking_moves import BookingMove, booking_moves
from planner.plans.domain.triggers.request import Request
from planner.plans.domain.world import Stay
from planner.web.presenters.day_scale import DayScale, short_day
from planner.web.presenters.decisions.plans import sentences
from planner.web.presenters.moves import Move, Moves, draw_moves
from planner.web.presenters.pages.changing.moved import MovedBooking, Owner, Told, told_people
from planner.web.presenters.pools.half_days import half_days
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.trades import LegendEntry

MOST_DAYS, FEWEST_DAYS = 24, 7
DRAWN_PX = 1200.0
WIDEST_DAY_PX, NARROWEST_DAY_PX = 140.0, 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A stored proposal: its number, when it was made, its stays, and the requests it answers.

    ``overtaken`` says why it may not come into force any more, empty where it still may.
    """

    number: int
    made_at: datetime
    stays: tuple[Stay, ...]
    how: str
    overtaken: str = ""
    causes: tuple[Request, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveRow:
    title: str
    where: str
    before: str
    after: str
    crews: str
    reason: str
    dollars: str
    told: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolMoves:
    name: str
    where: str
    drawing: Moves
    rows: tuple[MoveRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangesPage:
    """Context ``page`` of ``planner/changes.html``."""

    number: int
    made: str
    how: str
    in_force: int
    overtaken: str
    causes: tuple[str, ...]
    waits: tuple[str, ...]
    moves: int
    told_moves: int
    dollars_before: str
    dollars_after: str
    difference: str
    broken: tuple[str, ...]
    pools: tuple[PoolMoves, ...]
    told: tuple[Told, ...]
    bookings: tuple[MovedBooking, ...]
    fees: str
    owners: tuple[Owner, ...]
    legend: tuple[LegendEntry, ...]


def present_changes(
    reader: Reader, links: Links, *, changes: ChangeSet, proposal: Proposal, in_force: int
) -> ChangesPage:
    """The page of one proposal; ``reader`` holds the plan in force."""
    after = {stay.task: stay for stay in proposal.stays}
    by_job: dict[int, list[Change]] = {}
    for change in changes.changes:
        by_job.setdefault(reader.tasks[change.task][0].id, []).append(change)
    pools = tuple(_pool(reader, links, found, after) for _, found in sorted(by_job.items(), key=_first_move))
    entries = {entry.title: entry for pool in pools for entry in pool.drawing.legend}
    moves = booking_moves(reader.world, changes.changes, after)
    lost = sum(move.fee_dollars for move in moves if move.lost)
    saved = None if changes.dollars_before is None else changes.dollars_before - changes.dollars_after
    return ChangesPage(
        number=proposal.number,
        made=reader.when(proposal.made_at),
        how=proposal.how,
        in_force=in_force,
        overtaken=proposal.overtaken,
        causes=sentences(proposal.causes),
        waits=tuple(dict.fromkeys(one.answer for one in proposal.causes if one.answer)),
        moves=len(changes.changes),
        told_moves=sum(change.told for change in changes.changes),
        dollars_before="" if changes.dollars_before is None else f"${changes.dollars_before:,}",
        dollars_after=f"${changes.dollars_after:,}",
        difference=_difference(reader, saved),
        broken=tuple(dict.fromkeys(changes.broken_before)),
        pools=pools,
        told=told_people(reader, changes.changes),
        bookings=tuple(_moved_booking(reader, move) for move in moves),
        fees="" if not lost else f"${lost:,}",
        owners=tuple(_owners(reader, after)),
        legend=tuple(entries[title] for title in sorted(entries)),
    )


def _first_move(entry: tuple[int, list[Change]]) -> tuple[datetime, int]:
    return min(change.to_at for change in entry[1]), entry[0]


def _difference(reader: Reader, saved: int | None) -> str:
    gettext = reader.gettext
    if saved is None:
        return gettext("not known: the plan in force does not cover all of today's work")
    if saved == 0:
        return gettext("the same")
    return (
        gettext("${amount:,} less").format(amount=saved)
        if saved > 0
        else gettext("${amount:,} more").format(amount=-saved)
    )


def _pool(reader: Reader, links: Links, found: Sequence[Change], after: Mapping[int, Stay]) -> PoolMoves:
    job = reader.tasks[found[0].task][0]
    site = reader.tasks[found[0].task][1].site
    name = job.name or reader.gettext("Other work")
    moves = tuple(_move(reader, change, after[change.task]) for change in found)
    scale = _scale(reader, moves)
    sky = half_days(
        reader.world.skies.get(site.id),
        reader.world.climate,
        zone=reader.zone,
        from_on=scale.from_on,
        days=scale.days,
    )
    return PoolMoves(
        name=name,
        where=links.pool(job.id) if job.id else "",
        drawing=draw_moves(moves, scale=scale, name=name, sky=sky, now=reader.world.as_of, gettext=reader.gettext),
        rows=tuple(_row(reader, links, change) for change in found),
    )


def _move(reader: Reader, change: Change, stay: Stay) -> Move:
    _, task = reader.tasks[change.task]
    old = reader.stays.get(change.task)
    return Move(
        key=change.key,
        title=task.title,
        trade=task.trade,
        trade_title=reader.trade_title(task.trade),
        before=(old.start_at, old.end_at) if old is not None else None,
        after=(stay.start_at, stay.end_at),
        told=change.told,
    )


def _scale(reader: Reader, moves: Sequence[Move]) -> DayScale:
    """Days from the first old or new start to the last, no more than fit a look."""
    moments = [one.after[0] for one in moves] + [one.before[0] for one in moves if one.before]
    first = max(reader.today, reader.date_of(min(moments)))
    last = max(reader.date_of(max([*moments, *(one.after[1] for one in moves)])), first)
    days = min(MOST_DAYS, max(FEWEST_DAYS, (last - first).days + 1))
    px = min(WIDEST_DAY_PX, max(NARROWEST_DAY_PX, DRAWN_PX / days))
    return DayScale(from_on=first, days=days, zone=reader.zone, px_per_day=px)


def _row(reader: Reader, links: Links, change: Change) -> MoveRow:
    job, task = reader.tasks[change.task]
    names = {key: crew.name for key, crew in reader.crews.items()}
    before, after = (tuple(names.get(key, key) for key in keys) for keys in (change.from_crews, change.to_crews))
    crews = ", ".join(after)
    if change.from_at is not None and before != after:
        crews = reader.gettext("{before}, then {after}").format(before=", ".join(before) or "–", after=crews or "–")
    return MoveRow(
        title=task.title,
        where=links.task(job.id, task.key),
        before=reader.when(change.from_at) if change.from_at is not None else reader.gettext("not planned"),
        after=reader.when(change.to_at),
        crews=crews,
        reason=change.reason,
        dollars=f"${change.dollars:,}" if change.told else "",
        told=change.told,
    )


def _moved_booking(reader: Reader, move: BookingMove) -> MovedBooking:
    job, task = reader.tasks[move.task]
    due = move.call_by > reader.world.as_of
    return MovedBooking(
        who=move.supplier or reader.booking_title(move.kind),
        phone=move.phone,
        dial="".join(sign for sign in move.phone if sign.isdigit() or sign == "+"),
        what=reader.booking_title(move.kind),
        pool=job.name or task.site.name,
        task=task.title,
        booked=reader.day(move.booked_on),
        wanted=reader.day(move.wanted_on),
        by=reader.by(move.call_by) if due else reader.gettext("now: the notice is short"),
        fee=_fee(reader, move.lost, move.fee_dollars, move.free_until),
        lost=move.lost,
    )


def _fee(reader: Reader, lost: bool, fee: int, free: datetime) -> str:
    gettext = reader.gettext
    if not fee:
        return gettext("no fee")
    if lost:
        return gettext("${fee:,} is due: free calling-off ended {when}").format(fee=fee, when=reader.when(free))
    return gettext("free until {when}, then ${fee:,}").format(fee=fee, when=reader.when(free))


def _owners(reader: Reader, after: Mapping[int, Stay]) -> Iterator[Owner]:
    """Pools whose last planned day moves: their owners were given a date."""
    for job in reader.world.jobs:
        if not job.id:
            continue
        old = _last_day(reader, job, reader.stays)
        new = _last_day(reader, job, after)
        if old is not None and new is not None and old != new:
            late = (new - job.promised_on).days if job.promised_on is not None else 0
            yield Owner(
                pool=job.name,
                before=short_day(old, reader.gettext),
                after=short_day(new, reader.gettext),
                promised=short_day(job.promised_on, reader.gettext) if job.promised_on is not None else "",
                late=max(0, late),
            )


def _last_day(reader: Reader, job: JobFacts, stays: Mapping[int, Stay]) -> date | None:
    ends = [stays[task.id].end_at for task in job.tasks if task.id in stays and task.is_open]
    return reader.date_of(max(ends) - timedelta(microseconds=1)) if ends else None
