"""Sets clock times once the days are known: idle gaps closed, the better hour of the day taken.

Each task in turn is taken up and laid down again with the same crews: at the cheapest hour of its day, the earliest of
equals, or, where nobody was told a day, on an earlier day that costs no more. All rules hold after every move, and
the cost never rises.
"""

from collections.abc import Iterator

from planner.solver.candidates import StartClass
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Placement
from planner.solver.masks import lowest
from planner.solver.problem import Promise
from planner.solver.result import Assignment

PASSES = 8


def set_clock_times(ground: Ground, ledger: Ledger) -> tuple[Assignment, ...]:
    """Return a plan with clock times settled.

    Parameters
    ----------
    ground : Ground
        The problem.
    ledger : Ledger
        A whole plan that keeps every rule; changed in place.

    Returns
    -------
    tuple of Assignment
        In the problem's order, at the same cost or a lower one.
    """
    sequencer = _Sequencer(ground, ledger)
    for _ in range(PASSES):
        if not sequencer.pass_once():
            break
    return ledger.assignments()


class _Sequencer:
    def __init__(self, ground: Ground, ledger: Ledger) -> None:
        self._ground = ground
        self._ledger = ledger
        self._promises: dict[str, list[Promise]] = {promise.task: [] for promise in ground.problem.promises}
        for promise in ground.problem.promises:
            self._promises[promise.task].append(promise)
        self._open = ground.problem.open_days

    def pass_once(self) -> bool:
        """Try every task once, in the order of their starts; say whether any moved."""
        rank = {key: number for number, key in enumerate(self._ground.order)}
        placed = sorted(self._ledger.placed.values(), key=lambda one: (one.position, rank[one.task]))
        free = [one.task for one in placed if self._ground.starts[one.task].task.pin is None]
        return bool(sum([self._try(key) for key in free]))

    def _try(self, key: str) -> bool:
        old = self._ledger.placed[key]
        old_cost = self._cost(key)
        self._ledger.lift(key)
        best: tuple[int, int] = (old_cost, old.position)
        best_of = old.of
        for of, position in self._worth_trying(key, old):
            self._ledger.place(key, of, position)
            rank = (self._cost(key), position)
            self._ledger.lift(key)
            if rank < best:
                best, best_of = rank, of
        self._ledger.place(key, best_of, best[1])
        return best[1] != old.position

    def _worth_trying(self, key: str, old: Placement) -> Iterator[tuple[StartClass, int]]:
        units = self._ground.axis.units
        day = old.position // units
        in_day = ((1 << units) - 1) << (day * units)
        sooner = 0 if key in self._ground.told else (1 << (day * units)) - 1
        for of, mask in self._ledger.options(key, self._ledger.room(key)):
            if of.crews != old.of.crews:
                continue
            for _, level in self._ground.level_masks[key]:
                for part in (mask & level & in_day, mask & level & sooner):
                    if part:
                        yield of, lowest(part)

    def _cost(self, key: str) -> int:
        """Dollars that depend on where one task lies, the others being where they are."""
        axis = self._ground.axis
        placed = self._ledger.placed
        made = placed[key]
        dollars = made.of.dollars + self._ground.starts[key].weather_dollars(made.start)
        for promise in self._promises.get(key, ()):
            dollars += promise.dollars_per_day * max(0, axis.day_index(made.end) - axis.day_index(promise.due))
        for term in self._open:
            if key in (term.from_task, term.until_task):
                since = term.since if term.since is not None else placed[term.from_task].start
                days = axis.day_index(placed[term.until_task].end) - axis.day_index(since)
                dollars += term.dollars_per_day * max(0, days)
        told = self._ground.told.get(key)
        if told is not None:
            moved = abs(axis.day_index(made.start) - axis.day_index(told.start))
            dollars += told.day_dollars * moved + (told.move_dollars if moved else 0)
        return dollars
