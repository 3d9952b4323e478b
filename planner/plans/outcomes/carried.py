"""A plan worked through a weather: what is hit waits and pushes what follows, or all that is left is laid anew."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from planner.plans.outcomes.anew import Anew, Risks
from planner.plans.outcomes.weathers import Weather
from planner.solver.candidates import StartClass, find_candidates
from planner.solver.check import cost_of
from planner.solver.laying.blocks import Block, find_blocks
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Room, soonest_end
from planner.solver.masks import lowest
from planner.solver.problem import Link, Problem
from planner.solver.result import Assignment

# Tasks tied together are laid down and taken up again so many times.
MOST_TURNS = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """The plan a weather leaves, and each task's wait for its own sky [min]; what found no place has neither."""

    plan: tuple[Assignment, ...]
    waits: Mapping[str, int]

    @property
    def ends(self) -> dict[str, int]:
        """Ends by task [min since origin]."""
        return {one.task: one.end for one in self.plan}


class _Choice(NamedTuple):
    of: StartClass
    position: int
    wait: int


@dataclass(slots=True, kw_only=True)
class _Bounds:
    """First position and soonest end [min] of each task of a block."""

    not_before: dict[str, int]
    end_from: dict[str, int] = field(default_factory=dict)


class Carrying:
    """Works one plan through any weather, as an office does that plans anew where that is cheaper than waiting.

    A weather that hits nothing leaves the plan as it is. Else everything from the first broken start on is laid down
    in two ways, and the one that costs less is taken: late days, open digs, crews and moves of what people were told,
    no sky, as it is known by then. One way is the planner's own greedy (see ``anew``). The other is to wait: in the
    order of their planned starts, each task takes its planned start, or the first later one that its links, its
    crews, its gear, inspectors and calendars leave and that the weather does not hit: with its own crews where they
    come as soon, else with the first that are free, and never earlier than planned. Work over several days ends a
    working day later for every day of it that is hit, or after the weekend where it may not go over one. Tasks tied by
    a longest wait or by gear move together: where one finds no place, the one that holds it from above comes later too.
    A latest start that counts from finished work lapses, as in any plan. A task that still finds no place within the
    days looked at has no end, nor has what comes after it. More rain never makes a chain of tasks earlier; where pools
    share a crew, one that waits may let another go first.

    Parameters
    ----------
    problem : Problem
        What the plan answers; free of faults, every task with a start.
    plan : sequence of Assignment
        The plan; tasks it leaves out are left out here too.
    risks : Risks
        What may hit a start.
    """

    def __init__(self, problem: Problem, plan: Sequence[Assignment], risks: Risks) -> None:
        self._planned = {one.task: one for one in plan}
        free = _only(problem, self._planned.keys())
        self._ground = Ground(problem=free, candidates=find_candidates(free, {one.task: one.crews for one in plan}))
        self._risks = risks
        self._blocks = find_blocks(self._ground)
        begins = [min(self._planned[key].start for key in block.tasks) for block in self._blocks]
        self._order = self._in_order(begins)
        self._anew = Anew(self._ground, self._planned, risks)
        self._without_sky = replace(free, tasks=tuple(replace(one, weather=()) for one in free.tasks))

    def _in_order(self, begins: Sequence[int]) -> tuple[int, ...]:
        """Blocks by planned start, each after those it waits for."""
        order: list[int] = []
        laid: set[int] = set()
        waiting = sorted(range(len(begins)), key=lambda number: (begins[number], number))
        while waiting:
            number = next(one for one in waiting if laid.issuperset(self._blocks[one].waits_for))
            waiting.remove(number)
            laid.add(number)
            order.append(number)
        return tuple(order)

    def through(self, weather: Weather) -> Carried:
        """Return what becomes of the plan in a weather."""
        waited = self.waiting(weather)
        broken_at = self._broken_at(weather)
        if broken_at is None:
            return waited
        laid = (Carried(plan=plan, waits=waits) for plan, waits in self._anew.drafts(weather, waited.plan, broken_at))
        return min((waited, *laid), key=self._rank)

    def _rank(self, one: Carried) -> tuple[int, int]:
        """Tasks without a place, then dollars."""
        return -len(one.plan), cost_of(self._without_sky, one.plan).total

    def _broken_at(self, weather: Weather) -> int | None:
        """The first planned start that a weather hits [min]."""
        starts = (
            one.start
            for key, one in self._planned.items()
            if self._ground.starts[key].task.pin is None and self._risks.is_exposed(key) and self._is_hit(one, weather)
        )
        return min(starts, default=None)

    def _is_hit(self, one: Assignment, weather: Weather) -> bool:
        axis = self._ground.axis
        if axis.day_index(one.end - 1) > axis.day_index(one.start):
            return self._risks.lost_days(weather, one.task, one.start, one.end) > 0
        return self._risks.hit(weather, one.task, one.start, one.end)

    def waiting(self, weather: Weather) -> Carried:
        """Return what becomes of the plan where everything hit waits and pushes what follows it."""
        ledger = Ledger(self._ground, holds_on=False)
        for key, starts in self._ground.starts.items():
            if starts.task.pin is not None:
                of = next((of for of in starts.classes if of.crews == self._planned[key].crews), starts.classes[0])
                ledger.place(key, of, of.runs[0][0])
        waits: dict[str, int] = {}
        lost: set[int] = set()
        for number in self._order:
            block = self._blocks[number]
            if not lost.isdisjoint(block.waits_for):
                lost.add(number)
                continue
            made = self._laid(ledger, block, weather)
            if made is None:
                lost.add(number)
            else:
                waits.update(made)
        return Carried(plan=ledger.assignments(), waits=waits)

    def _laid(self, ledger: Ledger, block: Block, weather: Weather) -> dict[str, int] | None:
        """Lay a block down; the waits for the sky by task, or None where it finds no place."""
        bounds = _Bounds(
            not_before={key: self._ground.axis.start_position(self._planned[key].start) for key in block.tasks}
        )
        waits = dict.fromkeys(block.tasks, 0)
        at = 0
        for _ in range(MOST_TURNS):
            if at == len(block.tasks):
                return waits
            key = block.tasks[at]
            room = ledger.room(key)
            room.end_from = max(room.end_from, bounds.end_from.get(key, 0))
            found = self._choice(ledger, key, room, bounds.not_before[key], weather)
            if found is None:
                # Where it could go if nothing held it from above: what holds it must come later.
                room = Room(start_from=room.start_from, end_from=room.end_from)
                wanted = self._choice(ledger, key, room, bounds.not_before[key], weather)
                head = None if wanted is None else self._hold_back(ledger, key, wanted.position, block, bounds)
                if wanted is None or head is None:
                    break
                waits[key] = max(waits[key], wanted.wait)
                back = block.tasks.index(head)
                for placed in block.tasks[back:at]:
                    ledger.lift(placed)
                at = back
                continue
            waits[key] = max(waits[key], found.wait)
            ledger.place(key, found.of, found.position)
            at += 1
        for placed in block.tasks[:at]:
            ledger.lift(placed)
        return None

    def _hold_back(self, ledger: Ledger, key: str, wanted: int, block: Block, bounds: "_Bounds") -> str | None:
        """Raise the bound of the task of this block that holds ``key`` too early; return it, or None if none does."""
        start = self._minute(key, wanted)
        for limit, tie in sorted(ledger.room(key).tight, key=lambda one: one[0]):
            is_link = isinstance(tie, Link)
            head = tie.before if isinstance(tie, Link) else tie.from_task
            if head not in block.tasks or (is_link and start <= limit):
                continue
            begun = ledger.placed[head].position
            bounds.not_before[head] = max(bounds.not_before[head], begun + 1)
            if isinstance(tie, Link):
                bounds.end_from[head] = max(bounds.end_from.get(head, 0), soonest_end(tie, start))
            return head
        return None

    def _choice(self, ledger: Ledger, key: str, room: Room, not_before: int, weather: Weather) -> "_Choice | None":
        """The start of a task in a room; None if there is none."""
        options = list(ledger.options(key, room, not_before)) if room.is_open() else []
        if not options:
            return None
        # One's own crews first, and the end as planned: of two that come as soon, the first is taken.
        options.sort(key=lambda one: self._differs(key, *one))
        of, mask = min(options, key=lambda one: lowest(one[1]))
        if not self._risks.is_exposed(key):
            return _Choice(of, lowest(mask), 0)
        first = self._minute(key, lowest(mask))
        dry = [(of, position) for of, mask in options if (position := self._dry(key, of, mask, weather)) is not None]
        if not dry:
            return None
        of, position = min(dry, key=lambda one: one[1])
        return _Choice(of, position, self._minute(key, position) - first)

    def _differs(self, key: str, of: StartClass, mask: int) -> tuple[bool, bool, int]:
        """Whether a class has other crews than planned, whether its first start has another end, and what is bought."""
        planned, starts = self._planned[key], self._ground.starts[key]
        end = starts.end_minute(self._ground.axis, lowest(mask), of)
        return of.crews != planned.crews, end != planned.end, of.paid

    def _minute(self, key: str, position: int) -> int:
        return self._ground.starts[key].start_minute(self._ground.axis, position)

    def _dry(self, key: str, of: StartClass, mask: int, weather: Weather) -> int | None:
        """The first start of a mask that a weather lets be."""
        axis, starts, risks = self._ground.axis, self._ground.starts[key], self._risks
        since = self._minute(key, lowest(mask))
        while mask:
            position = lowest(mask)
            start, end = starts.start_minute(axis, position), starts.end_minute(axis, position, of)
            if axis.day_index(end - 1) > axis.day_index(start):
                if risks.lost_days(weather, key, since, end) <= risks.worked_days(since, start):
                    return position
                after = (position // axis.units + 1) * axis.units
            else:
                if not risks.hit(weather, key, start, end):
                    return position
                after = max(position + 1, axis.start_position(risks.step_of(start)[1]))
            mask = mask >> after << after
        return None


def _only(problem: Problem, keys: Set[str]) -> Problem:
    """A problem without the tasks that are not planned, and without latest starts."""
    return replace(
        problem,
        tasks=tuple(replace(one, latest_start=None) for one in problem.tasks if one.key in keys),
        links=tuple(one for one in problem.links if {one.before, one.after} <= keys),
        holds_of_gear=tuple(
            one
            for one in problem.holds_of_gear
            if one.until_task in keys and (one.since is not None or one.from_task in keys)
        ),
        limits=tuple(replace(one, tasks=tuple(key for key in one.tasks if key in keys)) for one in problem.limits),
        promises=tuple(one for one in problem.promises if one.task in keys),
        told=tuple(one for one in problem.told if one.task in keys),
    )
