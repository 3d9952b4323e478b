"""Three greedy rules that never change, to measure savings against: the product's own greedy gets better, these do not.

Serial generation, every block at its first free start with the cheapest crew; the next block is that with the earliest
latest start, the least slack, or the least slack for its dollars. Kept as it was written; do not tune it.
"""

from collections.abc import Iterator
from heapq import heappop, heappush

from planner.solver.candidates import StartClass
from planner.solver.check import check, cost_of
from planner.solver.laying.blocks import Block, find_blocks
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Room, soonest_end
from planner.solver.laying.urgency import Urgency, find_urgency
from planner.solver.masks import lowest
from planner.solver.problem import GearHold, Link
from planner.solver.result import Assignment

RULES = ("promise", "slack", "weight")
BUMPS, RESTARTS = 400, 12


def best_frozen_dollars(ground: Ground) -> int | None:
    """Cost of the cheapest plan of the three rules; None if none of them finds a plan."""
    costs = []
    for rule in RULES:
        plan = frozen_plan(ground, rule)
        if plan is not None and not check(ground.problem, plan):
            costs.append(cost_of(ground.problem, plan).total)
    return min(costs, default=None)


def frozen_plan(ground: Ground, rule: str) -> tuple[Assignment, ...] | None:
    """The plan of one rule; a pool that finds no place goes first and all begins anew."""
    boosts: dict[str, int] = {}
    for turn in range(1, RESTARTS + 1):
        ledger = Ledger(ground)
        stuck = _attempt(ground, ledger, rule, boosts)
        if stuck is None:
            return ledger.assignments()
        boosts[ground.starts[stuck].task.job] = turn
    return None


def _attempt(ground: Ground, ledger: Ledger, rule: str, boosts: dict[str, int]) -> str | None:
    urgency = find_urgency(ground)
    blocks = find_blocks(ground)
    for key, starts in ground.starts.items():
        if starts.task.pin is not None:
            at = starts.classes[0].runs[0][0]
            free = (of for of, mask in ledger.options(key, Room()) if mask >> at & 1)
            of = next(free, starts.classes[0])
            ledger.place(key, of, of.runs[0][0])
    waiting = [len(block.waits_for) for block in blocks]
    heap = [(*_rank(ground, block, urgency, rule, boosts), n) for n, block in enumerate(blocks) if not waiting[n]]
    heap.sort()
    shelved: list[tuple[int, int, int]] = []
    stuck: str | None = None
    while heap:
        entry = heappop(heap)
        failed = _Block(ground, ledger).lay(blocks[entry[2]])
        if failed is not None:
            stuck = stuck or failed
            shelved.append(entry)
            continue
        stuck = None
        for again in shelved:
            heappush(heap, again)
        shelved = []
        for number, block in enumerate(blocks):
            if entry[2] in block.waits_for:
                waiting[number] -= 1
                if not waiting[number]:
                    heappush(heap, (*_rank(ground, block, urgency, rule, boosts), number))
    return stuck


def _rank(
    ground: Ground, block: Block, urgency: dict[str, Urgency], rule: str, boosts: dict[str, int]
) -> tuple[int, int]:
    boost = max(boosts.get(ground.starts[key].task.job, 0) for key in block.tasks)
    urgent = [urgency[key] for key in block.tasks]
    if rule == "promise":
        return -boost, min(one.latest for one in urgent)
    if rule == "slack":
        return -boost, min(one.latest - one.earliest for one in urgent)
    return -boost, min((one.latest - one.earliest) * 100 // (10 + one.dollars) for one in urgent)


class _Block:
    """Lays one block down, each task at its first free start; a tail that does not fit bumps its head."""

    def __init__(self, ground: Ground, ledger: Ledger) -> None:
        self._ground = ground
        self._ledger = ledger
        self._lowest: dict[str, int] = {}
        self._end_from: dict[str, int] = {}

    def lay(self, block: Block) -> str | None:
        at, bumps = 0, 0
        while at < len(block.tasks):
            key = block.tasks[at]
            room = self._ledger.room(key)
            room.end_from = max(room.end_from, self._end_from.get(key, 0))
            first = min(self._firsts(key, room), key=_first, default=None) if room.is_open() else None
            if first is not None:
                self._ledger.place(key, first[0], first[1])
                at += 1
                continue
            head = self._bump(key, room, block)
            bumps += 1
            if head is None or bumps > BUMPS:
                for placed in block.tasks[:at]:
                    self._ledger.lift(placed)
                return key
            back = block.tasks.index(head)
            for placed in block.tasks[back:at]:
                self._ledger.lift(placed)
            at = back
        return None

    def _firsts(self, key: str, room: Room) -> Iterator[tuple[StartClass, int]]:
        for of, mask in self._ledger.options(key, room, self._lowest.get(key, 0)):
            yield of, lowest(mask)

    def _bump(self, key: str, room: Room, block: Block) -> str | None:
        ties = sorted(((limit, tie) for limit, tie in room.tight if _head(tie) in block.tasks), key=lambda one: one[0])
        firsts = [at for _, at in self._firsts(key, Room(start_from=room.start_from, end_from=room.end_from))]
        if not ties or not firsts:
            return None
        start = self._ground.axis.start_minute(min(firsts))
        for limit, tie in ties:
            head = _head(tie)
            self._lowest[head] = max(self._lowest.get(head, 0), self._ledger.placed[head].position + 1)
            if isinstance(tie, Link):
                if start <= limit:
                    continue
                self._end_from[head] = max(self._end_from.get(head, 0), soonest_end(tie, start))
            return head
        return _head(ties[0][1])


def _first(option: tuple[StartClass, int]) -> tuple[int, int, int]:
    return option[1], option[0].dollars, option[0].length


def _head(tie: Link | GearHold) -> str:
    return tie.before if isinstance(tie, Link) else tie.from_task
