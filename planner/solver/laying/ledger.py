"""A plan in the making: who and what is taken when, and where a task may still go."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from copy import copy
from dataclasses import dataclass, field

from planner.solver.candidates import StartClass, TaskStarts
from planner.solver.laying.counted import Counted
from planner.solver.laying.ground import Ground
from planner.solver.masks import lowest, mask_of, meeting
from planner.solver.problem import GearHold, Link, Wait
from planner.solver.result import Assignment

FOREVER = 1 << 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """A task laid on the axis: position and exact minutes of its start and end."""

    task: str
    of: StartClass
    position: int
    end_position: int
    start: int
    end: int


@dataclass(slots=True, kw_only=True)
class Room:
    """Bounds of one task's start and end [min], each upper one with what sets it."""

    start_from: int = 0
    start_until: int = FOREVER
    end_from: int = 0
    end_until: int = FOREVER
    # What holds the task back from above: a link whose earlier end could move, or a gear hold whose beginning could.
    tight: list[tuple[int, Link | GearHold]] = field(default_factory=list)

    def is_open(self) -> bool:
        return self.start_from <= self.start_until and self.end_from <= self.end_until


class Ledger:
    """Placements so far, with crews, gear and daily limits as masks.

    Parameters
    ----------
    ground : Ground
        The problem.
    holds_on : bool
        Whether gear taken out is out for good until its last task is placed, or not counted until then.
    """

    def __init__(self, ground: Ground, *, holds_on: bool = True) -> None:
        self.ground = ground
        self._holds_on = holds_on
        self.placed: dict[str, Placement] = {}
        self._busy: dict[str, int] = {crew.key: 0 for crew in ground.problem.crews}
        self._free: dict[str, dict[tuple[int, int, str], int]] = {crew.key: {} for crew in ground.problem.crews}
        # Stays of each crew by task, kept only where drives matter.
        self._stays: dict[str, dict[str, Placement]] = {crew.key: {} for crew in ground.problem.crews}
        self._holds: dict[str, dict[int, int]] = {gear.key: {} for gear in ground.problem.gear}
        self._out = {gear.key: Counted() for gear in ground.problem.gear}
        self._counts: dict[str, list[int]] = {
            limit.key: [0] * len(ground.axis.opens) for limit in ground.problem.limits
        }
        everywhere = (1 << ground.axis.size) - 1
        self._full = {limit.key: 0 if limit.count > 0 else everywhere for limit in ground.problem.limits}
        for number, hold in enumerate(ground.problem.holds_of_gear):
            if hold.since is not None:
                self._lay_hold(number, hold)

    def copy(self) -> "Ledger":
        """Return a ledger of the same placements that goes its own way from here."""
        other = copy(self)
        other.placed = dict(self.placed)
        other._busy = dict(self._busy)
        other._free = {crew: dict(known) for crew, known in self._free.items()}
        other._stays = {crew: dict(stays) for crew, stays in self._stays.items()}
        other._holds = {gear: dict(masks) for gear, masks in self._holds.items()}
        other._out = {gear: out.copy() for gear, out in self._out.items()}
        other._counts = {limit: list(counts) for limit, counts in self._counts.items()}
        other._full = dict(self._full)
        return other

    def place(self, key: str, of: StartClass, position: int) -> None:
        """Lay a task down; whether it may lie there is the caller's question to ``options``."""
        axis = self.ground.axis
        starts = self.ground.starts[key]
        made = Placement(
            task=key,
            of=of,
            position=position,
            end_position=starts.end_position(axis, position, of),
            start=starts.start_minute(axis, position),
            end=starts.end_minute(axis, position, of),
        )
        self.placed[key] = made
        self._mark(made, taken=True)

    def lift(self, key: str) -> Placement:
        """Take a task up again."""
        made = self.placed.pop(key)
        self._mark(made, taken=False)
        return made

    def _mark(self, made: Placement, *, taken: bool) -> None:
        span = mask_of([(made.position, made.end_position - 1)]) if made.end_position > made.position else 0
        for crew in made.of.crews:
            if taken:
                self._busy[crew] |= span
            else:
                # Pinned work may overlap itself; what is lifted never does, because it was placed into free time.
                self._busy[crew] &= ~span
            self._free[crew].clear()
            if self.ground.drives and span:
                if taken:
                    self._stays[crew][made.task] = made
                else:
                    self._stays[crew].pop(made.task, None)
        units = self.ground.axis.units
        day = self.ground.axis.day_index(made.start)
        for limit in self.ground.limits.get(made.task, ()):
            if 0 <= day < len(self.ground.axis.opens):
                counts = self._counts[limit.key]
                counts[day] += 1 if taken else -1
                whole_day = ((1 << units) - 1) << (day * units)
                if counts[day] >= limit.count:
                    self._full[limit.key] |= whole_day
                else:
                    self._full[limit.key] &= ~whole_day
        for number, hold in self.ground.holds_of.get(made.task, ()):
            self._lay_hold(number, hold)

    def _lay_hold(self, number: int, hold: GearHold) -> None:
        """Note a hold as far as its ends are known; without its last task it goes on to the horizon."""
        axis = self.ground.axis
        begun = self.placed.get(hold.from_task)
        since = hold.since if hold.since is not None else begun.start if begun is not None else None
        if since is None:
            self._keep(number, hold, 0)
            return
        until = self.placed.get(hold.until_task)
        if until is None and not self._holds_on:
            self._keep(number, hold, 0)
            return
        first = axis.floor_position(since)
        end = axis.size if until is None else until.end_position
        if hold.whole_days:
            first -= first % axis.units
            if until is not None:
                end = min(axis.size, (axis.day_index(until.end) + 1) * axis.units)
        self._keep(number, hold, mask_of([(first, end - 1)]) if end > first else 0)

    def _keep(self, number: int, hold: GearHold, mask: int) -> None:
        """Note where a hold has its gear out."""
        before = self._holds[hold.gear].pop(number, 0)
        if before:
            self._out[hold.gear].give_back(before, hold.amount)
        if mask and hold.amount:
            self._holds[hold.gear][number] = mask
            self._out[hold.gear].take(mask, hold.amount)

    def taken(self, hold: GearHold, number: int) -> int:
        """Return where so much of the gear is out that ``hold`` does not fit beside it."""
        return self._taken_beside(hold.gear, hold.amount, ((number, hold),), whole_days=hold.whole_days)

    def _taken_beside(self, gear: str, amount: int, mine: tuple[tuple[int, GearHold], ...], *, whole_days: bool) -> int:
        """Where ``amount`` more does not fit, those holds in ``mine`` not counted."""
        count = self.ground.gear[gear].count
        if amount > count:
            return (1 << self.ground.axis.size) - 1
        if amount == 0:
            return 0
        out = self._out[gear]
        held = [(mask, hold.amount) for number, hold in mine if (mask := self._holds[gear].get(number, 0))]
        for mask, pieces in held:
            out.give_back(mask, pieces)
        full = out.at_least(count - amount + 1)
        for mask, pieces in held:
            out.take(mask, pieces)
        return self.ground.whole_days(full) if whole_days else full

    def in_the_way(self, gear: str, amount: int, where: int) -> tuple[int, ...]:
        """Return the numbers of the holds laid that leave too little of a kind for ``amount`` more somewhere there."""
        if amount > self.ground.gear[gear].count:
            return tuple(self._holds[gear])
        tight = self._out[gear].at_least(self.ground.gear[gear].count - amount + 1) & where if amount else 0
        return tuple(number for number, mask in self._holds[gear].items() if mask & tight)

    def _begun_beside(self, key: str) -> Iterator[int]:
        """Where the gear a task takes out is not to be had, all it takes of a kind together."""
        kinds: dict[str, list[tuple[int, GearHold]]] = {}
        for number, hold in self.ground.holds_from.get(key, ()):
            # While pieces are solved, gear kept beyond the task itself is for the model to count.
            together = self._holds_on or hold.until_task == key
            kinds.setdefault(hold.gear if together else f"{hold.gear} {number}", []).append((number, hold))
        for mine in kinds.values():
            # What is kept for whole days must be free all day, and all of it together while the task runs.
            all_day = [one for one in mine if one[1].whole_days]
            for those, whole_days in ((all_day, True), (mine, False)):
                if those and (whole_days or len(all_day) < len(mine)):
                    amount = sum(hold.amount for _, hold in those)
                    yield self._taken_beside(mine[0][1].gear, amount, tuple(those), whole_days=whole_days)

    def room(self, key: str) -> Room:
        """Return what the tasks placed so far, and the gear they hold, leave to a task."""
        room = Room()
        for link in self.ground.links_in[key]:
            before = self.placed.get(link.before)
            if before is not None:
                self._room_after(room, link, before)
        for link in self.ground.links_out[key]:
            self._room_before(room, link, self.placed.get(link.after))
        axis = self.ground.axis
        for number, hold in self.ground.holds_until.get(key, ()):
            begun = self.placed.get(hold.from_task)
            since = hold.since if hold.since is not None else begun.start if begun is not None else None
            if since is None:
                continue
            room.end_from = max(room.end_from, since)
            first = axis.floor_position(since)
            blocked = self.taken(hold, number) >> first
            if blocked:
                stop = first + lowest(blocked)
                # Gear kept for whole days is still out on the day whose opening ends the task.
                minute = axis.start_minute(stop) - hold.whole_days
                room.end_until = min(room.end_until, minute)
                if hold.since is None:
                    room.tight.append((minute, hold))
        for number, hold in self.ground.holds_from.get(key, ()):
            until = self.placed.get(hold.until_task)
            if until is not None:
                room.start_until = min(room.start_until, until.end)
                end = until.end_position
                if hold.whole_days:
                    end = min(axis.size, (axis.day_index(until.end) + 1) * axis.units)
                blocked = self.taken(hold, number) & ((1 << end) - 1)
                if blocked:
                    last = blocked.bit_length()
                    room.start_from = max(room.start_from, axis.start_minute(last) if last < axis.size else FOREVER)
        return room

    @staticmethod
    def _room_after(room: Room, link: Link, before: Placement) -> None:
        soonest, latest = before.end + link.min_minutes, FOREVER
        if link.max_minutes is not None:
            latest = before.end + link.max_minutes
        if link.ready is not None:
            soonest = max(soonest, _value(link.ready, before.end))
        if link.close is not None:
            # Past its last step a wait allows no start at all.
            latest = min(latest, _value(link.close, before.end)) if before.end <= link.close.steps[-1][0] else -1
        room.start_from = max(room.start_from, soonest)
        room.start_until = min(room.start_until, latest)
        if latest < FOREVER:
            room.tight.append((latest, link))

    @staticmethod
    def _room_before(room: Room, link: Link, after: Placement | None) -> None:
        for wait in (link.ready, link.close):
            if wait is not None:
                room.end_until = min(room.end_until, wait.steps[-1][0])
        if after is None:
            return
        room.end_until = min(room.end_until, after.start - link.min_minutes)
        if link.ready is not None:
            fitting = [until for until, value in link.ready.steps if value <= after.start]
            room.end_until = min(room.end_until, fitting[-1] if fitting else -1)
        room.end_from = max(room.end_from, soonest_end(link, after.start))

    def options(self, key: str, room: Room, lowest_position: int = 0) -> Iterator[tuple[StartClass, int]]:
        """Yield each class of a task with the mask of starts it may still have."""
        starts = self.ground.starts[key]
        axis = self.ground.axis
        shut = ~self._full_days(key)
        begun = tuple(self._begun_beside(key))
        base = max(lowest_position, axis.start_position(max(0, room.start_from)))
        top = min(axis.size - 1, axis.last_start_position(min(room.start_until, axis.last_minute)))
        # What does not depend on the crew is worked out once.
        known: dict[tuple[int, int, int], int] = {}
        by_runs = starts.ends == "arrives"
        for of, mask in zip(starts.classes, self.ground.start_masks[key], strict=True):
            alike = (of.length, of.pad, id(mask) if by_runs else 0)
            allowed = known.get(alike)
            if allowed is None:
                low, high = self._range_for_ends(starts, of, room)
                low, high = max(low, base), min(high, top)
                allowed = shut >> low << low & ((1 << (high + 1)) - 1) if low <= high else 0
                for gone in begun:
                    allowed &= ~meeting(gone, max(1, of.length))
                known[alike] = allowed
            open_starts = mask & allowed
            if open_starts:
                for crew in of.crews:
                    open_starts &= self._free_starts(crew, of, starts.task.site)
                if open_starts:
                    yield of, open_starts

    def _free_starts(self, crew: str, of: StartClass, site: str) -> int:
        """Starts on a site from which a crew is free for the length of a class, with time to drive there and on."""
        known = self._free[crew]
        drives = self.ground.drives.get(site)
        key = (of.length, of.pad, site) if drives else (of.length, 0, "")
        found = known.get(key)
        if found is None:
            busy = self._busy[crew]
            if drives:
                for made in self._stays[crew].values():
                    busy |= self._on_the_road(made, drives.get(self.ground.starts[made.task].task.site, 0), of.pad)
            found = known[key] = ~meeting(busy, of.length)
        return found

    def _on_the_road(self, made: Placement, minutes: int, pad: int) -> int:
        """Positions that a drive takes before and after a stay, from one that ends ``pad`` before its position."""
        if not minutes:
            return 0
        axis = self.ground.axis
        last_end = axis.last_end_position(made.start - minutes + pad)
        first_start = axis.start_position(made.end + minutes)
        return mask_of([(last_end, made.position - 1), (made.end_position, first_start - 1)])

    def _full_days(self, key: str) -> int:
        shut = 0
        for limit in self.ground.limits.get(key, ()):
            shut |= self._full[limit.key]
        return shut

    def _range_for_ends(self, starts: TaskStarts, of: StartClass, room: Room) -> tuple[int, int]:
        """First and last start whose end lies in the room."""
        axis = self.ground.axis
        until = min(room.end_until, axis.last_minute + 1_000_000)
        if starts.ends == "length":
            return (
                axis.first_end_position(room.end_from + of.pad) - of.length,
                axis.last_end_position(min(until + of.pad, axis.last_minute)) - of.length,
            )
        if starts.ends == "elapsed":
            span = starts.task.span_minutes
            return axis.start_position(room.end_from - span), axis.last_start_position(until - span)
        if starts.ends == "arrives":
            # A later start never arrives earlier.
            positions = [position for first, last in of.runs for position in range(first, last + 1)]
            low = bisect_left(positions, room.end_from, key=lambda position: starts.end_minute(axis, position, of))
            high = bisect_right(positions, until, key=lambda position: starts.end_minute(axis, position, of))
            return (positions[low], positions[high - 1]) if low < high else (0, -1)
        return 0, axis.size

    def assignments(self) -> tuple[Assignment, ...]:
        """Return the plan in the problem's order."""
        return tuple(
            Assignment(task=task.key, start=made.start, end=made.end, crews=made.of.crews)
            for task in self.ground.problem.tasks
            if (made := self.placed.get(task.key)) is not None
        )


def laid_out(ground: Ground, plan: tuple[Assignment, ...], *, holds_on: bool = True) -> Ledger:
    """Return a plan laid out on the axis.

    Raises
    ------
    ValueError
        If an assignment is not one of its task's candidates.
    """
    ledger = Ledger(ground, holds_on=holds_on)
    for one in plan:
        starts = ground.starts[one.task]
        if starts.task.pin is not None:
            of = next(of for of in starts.classes if of.crews == one.crews)
            ledger.place(one.task, of, of.runs[0][0])
            continue
        position = ground.axis.start_position(one.start)
        found = starts.class_at(ground.axis, position, one.crews, one.end)
        if found is None:
            raise ValueError(f"{one.task} may not start at minute {one.start} with {one.crews}")
        ledger.place(one.task, found, position)
    return ledger


def _value(wait: Wait, moment: int) -> int:
    """Value of a wait at a moment at or before its last step."""
    return next((value for until, value in wait.steps if moment <= until), FOREVER)


def soonest_end(link: Link, start: int) -> int:
    """Return the first end of ``before`` that still lets ``after`` start at ``start`` [min]."""
    soonest = 0 if link.max_minutes is None else start - link.max_minutes
    if link.close is not None:
        short = [until for until, value in link.close.steps if value < start]
        soonest = max(soonest, short[-1] + 1 if short else 0)
    return soonest
