"""A valid plan in milliseconds: tasks laid down one block at a time, the most pressing first.

Serial generation (Kolisch 1996) with blocks for longest waits and gear holds, bumping the head of a block when its
tail does not fit, and starting over with a block first when it found no place. Nothing here is random.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from typing import Literal

from jobs.words import sentence_for
from planner.solver.candidates import StartClass
from planner.solver.laying.blocks import Block, find_blocks
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Room, soonest_end
from planner.solver.laying.urgency import Urgency, find_urgency
from planner.solver.masks import lowest
from planner.solver.problem import GearHold, Link
from planner.solver.result import Assignment, Clash

BUMPS = 400
RESTARTS = 12
LOOK_DAYS = 10
Kept = Mapping[str, tuple[StartClass, int]]
# Without a class only the place in the order counts.
Standing = Mapping[str, tuple[StartClass | None, int]]
TOO_LATE = "it cannot start soon enough after the work before it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Which block comes next, and how many dollars a day of waiting may save.

    ``patience`` is the price of a day's wait as a part of a day's lateness [percent]; None waits for nothing. In the
    order of what is ``standing`` each task keeps its start wherever nothing before it is in the way.
    """

    first: Literal["promise", "slack", "weight", "standing"]
    patience: int | None

    @property
    def name(self) -> str:
        return self.first if self.patience is None else f"{self.first}, a day's wait at {self.patience} %"


# The best to begin with come first: most of the time one of them gives the cheapest plan.
RULES = tuple(
    Rule(first=first, patience=patience) for patience in (10, 5, None) for first in ("slack", "promise", "weight")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What one rule gave: a whole plan, or the task that found no place and what shut it out."""

    rule: str
    assignments: tuple[Assignment, ...] = ()
    stuck: str = ""
    gate: str = ""

    @property
    def is_whole(self) -> bool:
        return not self.stuck


class Greedy:
    """Plans one problem by any rule.

    Parameters
    ----------
    ground : Ground
        The problem; every task has candidates.
    kept : mapping, optional
        Tasks that stay, with class and position; together they keep every rule.
    restarts : int
        How often at most all begins anew, with a block first that found no place.
    standing : mapping, optional
        How tasks stood, with class and position, for rules that go by it.
    """

    def __init__(
        self,
        ground: Ground,
        kept: Kept | None = None,
        *,
        restarts: int = RESTARTS,
        standing: Standing | None = None,
    ) -> None:
        self._ground = ground
        self._restarts = restarts
        self._kept = kept or {}
        self._stood = standing or {}
        self._urgency = find_urgency(ground)
        self._blocks = tuple(
            replace(block, tasks=tuple(key for key in block.tasks if key not in self._kept))
            for block in find_blocks(ground)
        )
        self._standing = self._laid_standing()

    def drafts(self, rules: tuple[Rule, ...] = RULES) -> Iterator[Draft]:
        """Yield one draft for each rule."""
        return (self.draft(rule) for rule in rules)

    def draft(self, rule: Rule) -> Draft:
        """Return the plan of one rule; a block that finds no place is put first and all begins anew."""
        boosts: dict[str, int] = {}
        draft = self._attempt(rule, boosts)
        for turn in range(1, self._restarts):
            if draft.is_whole:
                break
            job = self._ground.starts[draft.stuck].task.job
            if boosts.get(job) == turn - 1:
                # It went first already: in the same order the same would happen.
                break
            boosts[job] = turn
            draft = self._attempt(rule, boosts)
        return draft

    def _attempt(self, rule: Rule, boosts: dict[str, int]) -> Draft:
        ledger = self._standing.copy()
        stood = self._stood if rule.first == "standing" else {}
        waiting = [len(block.waits_for) for block in self._blocks]
        leads: dict[int, list[int]] = {}
        for number, block in enumerate(self._blocks):
            for before in block.waits_for:
                leads.setdefault(before, []).append(number)
        heap: list[tuple[int, int, int]] = []
        for number, count in enumerate(waiting):
            if not count:
                heappush(heap, (*self._rank(self._blocks[number], rule, boosts), number))
        shelved: list[tuple[int, int, int]] = []
        stuck = ("", "")
        while heap:
            entry = heappop(heap)
            failure = _Laying(self._ground, ledger, self._urgency, rule, stood).lay(self._blocks[entry[2]])
            if failure is not None:
                stuck = stuck if stuck[0] else failure
                shelved.append(entry)
                continue
            # Whatever was laid down may have given gear back: what found no place gets another try.
            stuck = ("", "")
            for again in shelved:
                heappush(heap, again)
            shelved = []
            for number in leads.get(entry[2], ()):
                waiting[number] -= 1
                if not waiting[number]:
                    heappush(heap, (*self._rank(self._blocks[number], rule, boosts), number))
        return Draft(rule=rule.name, assignments=ledger.assignments(), stuck=stuck[0], gate=stuck[1])

    def _laid_standing(self) -> Ledger:
        """Pins and what is kept: the same for every attempt."""
        ledger = Ledger(self._ground)
        for key, starts in self._ground.starts.items():
            if starts.task.pin is not None:
                of = self._pinned_class(ledger, key)
                ledger.place(key, of, of.runs[0][0])
        for key, (of, position) in self._kept.items():
            ledger.place(key, of, position)
        return ledger

    def _pinned_class(self, ledger: Ledger, key: str) -> StartClass:
        """The pin's crews; if it leaves them open, the first that are free."""
        starts = self._ground.starts[key]
        at = starts.classes[0].runs[0][0]
        for of, mask in ledger.options(key, Room()):
            if mask >> at & 1:
                return of
        return starts.classes[0]

    def _rank(self, block: Block, rule: Rule, boosts: dict[str, int]) -> tuple[int, int]:
        if not block.tasks:
            return -RESTARTS, 0
        boost = max(boosts.get(self._ground.starts[key].task.job, 0) for key in block.tasks)
        urgent = [self._urgency[key] for key in block.tasks]
        if rule.first == "promise":
            rank = min(one.latest for one in urgent)
        elif rule.first == "slack":
            rank = min(one.latest - one.earliest for one in urgent)
        elif rule.first == "standing":
            rank = max(self._place_in_line(key) for key in block.tasks)
        else:
            rank = min((one.latest - one.earliest) * 100 // (10 + one.dollars) for one in urgent)
        return -boost, rank

    def _place_in_line(self, key: str) -> int:
        """Position at which a task stood; what did not stand comes last."""
        stood = self._stood.get(key)
        return self._ground.axis.size + self._urgency[key].latest if stood is None else stood[1]


class _Laying:
    """Lays down one block."""

    def __init__(
        self, ground: Ground, ledger: Ledger, urgency: dict[str, Urgency], rule: Rule, stood: Standing
    ) -> None:
        self._ground = ground
        self._ledger = ledger
        self._urgency = urgency
        self._rule = rule
        self._stood = stood
        self._lowest: dict[str, int] = {}
        self._end_from: dict[str, int] = {}
        self._pushed_by: dict[str, str] = {}

    def lay(self, block: Block) -> tuple[str, str] | None:
        """Place all tasks of a block, or none and say which task found no place and what shut it out."""
        at, bumps = 0, 0
        while at < len(block.tasks):
            key = block.tasks[at]
            room = self._room(key)
            choice = self._choose(key, room)
            if choice is not None:
                self._ledger.place(key, *choice)
                at += 1
                continue
            head = self._bump(key, room, block)
            bumps += 1
            if head is None or bumps > BUMPS:
                for placed in block.tasks[:at]:
                    self._ledger.lift(placed)
                # A head pushed out of all its starts is not to blame; what pushed it is.
                tail = self._pushed_by.get(key)
                return (key, self._gate(key, room)) if tail is None else (tail, TOO_LATE)
            self._pushed_by[head] = self._pushed_by.get(key, key)
            back = block.tasks.index(head)
            for placed in block.tasks[back:at]:
                self._ledger.lift(placed)
            at = back
        return None

    def _room(self, key: str) -> Room:
        room = self._ledger.room(key)
        room.end_from = max(room.end_from, self._end_from.get(key, 0))
        return room

    def _bump(self, key: str, room: Room, block: Block) -> str | None:
        """Raise the bound of the task of this block that holds ``key`` too early; return it, or None if none does."""
        mine = [(limit, tie) for limit, tie in room.tight if _head(tie) in block.tasks]
        if not mine:
            return None
        wide = Room(start_from=room.start_from, end_from=room.end_from)
        firsts = [lowest(mask) for _, mask in self._ledger.options(key, wide, self._lowest.get(key, 0))]
        if not firsts:
            return None
        start = self._ground.axis.start_minute(min(firsts))
        for limit, tie in sorted(mine, key=lambda one: one[0]):
            head = _head(tie)
            placed = self._ledger.placed[head]
            self._lowest[head] = max(self._lowest.get(head, 0), placed.position + 1)
            if isinstance(tie, Link):
                if start <= limit:
                    continue
                self._end_from[head] = max(self._end_from.get(head, 0), soonest_end(tie, start))
            else:
                self._lowest[head] = max(self._lowest[head], self._after_gear(tie, placed.position))
            return head
        return _head(mine[0][1])

    def _after_gear(self, hold: GearHold, begun: int) -> int:
        """First position at which the gear a hold ran into is back."""
        number = self._ground.problem.holds_of_gear.index(hold)
        blocked = self._ledger.taken(hold, number) >> begun
        if not blocked:
            return begun + 1
        stop = lowest(blocked)
        return begun + stop + lowest(~(blocked >> stop))

    def _gate(self, key: str, room: Room) -> str:
        if not room.is_open():
            return "what comes before it ends too late for what may come at the latest"
        wide = Room(start_from=room.start_from, end_from=room.end_from)
        if any(True for _ in self._ledger.options(key, wide)):
            return TOO_LATE
        if self._ground.starts[key].task.needs:
            return "no crew, gear or allowed day is left for it within the horizon"
        return "no allowed day is left for it within the horizon"

    def _choose(self, key: str, room: Room) -> tuple[StartClass, int] | None:
        """Return the class and position to take: the first free one, or a cheaper one worth waiting for."""
        if not room.is_open():
            return None
        options = list(self._ledger.options(key, room, self._lowest.get(key, 0)))
        if not options:
            return None
        stood, at = self._stood.get(key, (None, 0))
        for of, mask in options:
            if of is stood and mask >> at & 1:
                return of, at
        options = self._usual_first(key, options)
        first = min(lowest(mask) for _, mask in options)
        if self._rule.patience is None:
            return min(
                ((of, lowest(mask)) for of, mask in options),
                key=lambda one: (one[1], one[0].dollars, one[0].length),
            )
        # Crews at one price and pace cost the same wherever they are free.
        alike: dict[tuple[int, int, bool], int] = {}
        for of, mask in options:
            which = self._kind(key, of)
            alike[which] = alike.get(which, 0) | mask
        best: tuple[tuple[int, int, int], tuple[int, int, bool]] | None = None
        for which, mask in alike.items():
            price, length, is_other = which
            for dollars, position in self._worth_a_look(key, mask, first):
                cost = price + dollars + self._waiting_dollars(key, length, position, first, is_other=is_other)
                rank = (cost, position, length)
                if best is None or rank < best[0]:
                    best = (rank, which)
        assert best is not None
        (_, position, _), which = best
        return next((of, position) for of, mask in options if mask >> position & 1 and self._kind(key, of) == which)

    def _usual_first(self, key: str, options: list[tuple[StartClass, int]]) -> list[tuple[StartClass, int]]:
        """Options in the usual hours; those in hours worked for pay too where there are none, or too late ones."""
        usual = [one for one in options if not one[0].paid]
        if len(usual) == len(options) or not usual:
            return options
        return usual if min(lowest(mask) for _, mask in usual) <= self._urgency[key].latest else options

    def _kind(self, key: str, of: StartClass) -> tuple[int, int, bool]:
        """Price and pace of a choice of crews, and whether people were told of others."""
        told = self._ground.told.get(key)
        is_other = told is not None and bool(told.crews) and set(told.crews) != set(of.crews)
        return of.dollars, of.length, is_other

    def _worth_a_look(self, key: str, mask: int, first: int) -> Iterator[tuple[int, int]]:
        """First start of each weather price in the days ahead, and of the day people were told: (dollars, position)."""
        units = self._ground.axis.units
        near = mask & ((1 << (first + LOOK_DAYS * units)) - 1)
        told = self._ground.told.get(key)
        day_mask = 0
        if told is not None:
            day = self._ground.axis.day_index(told.start)
            day_mask = ((1 << units) - 1) << (day * units) if day >= 0 else 0
        for dollars, level in self._ground.level_masks[key]:
            found = (near or mask) & level
            if found:
                yield dollars, lowest(found)
            if mask & level & day_mask:
                yield dollars, lowest(mask & level & day_mask)

    def _waiting_dollars(self, key: str, length: int, position: int, first: int, *, is_other: bool) -> int:
        assert self._rule.patience is not None
        axis = self._ground.axis
        urgent = self._urgency[key]
        rate = urgent.dollars or 100
        late = max(0, position + length - max(first, urgent.latest)) * urgent.dollars // axis.units
        wait = (position + length - first) * rate * self._rule.patience // (100 * axis.units)
        told = self._ground.told.get(key)
        if told is None:
            return late + wait
        moved = abs(position // axis.units - axis.day_index(told.start))
        return late + wait + moved * told.day_dollars + bool(moved) * told.move_dollars + is_other * told.crew_dollars


def _head(tie: Link | GearHold) -> str:
    return tie.before if isinstance(tie, Link) else tie.from_task


def stuck_clash(ground: Ground, draft: Draft, code: str = "solver.no_place") -> Clash:
    """Return the clash of a draft that is not whole."""
    task = ground.starts[draft.stuck].task
    facts = {"field": task.key, "task": task.title, "job": task.job, "gate": draft.gate}
    return Clash(task=task.key, gate="place", says=" ".join(sentence_for(code, facts)))
