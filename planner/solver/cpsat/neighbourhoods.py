"""Which tasks to set free next: a few pools, a stretch of time, a trade over such, or what stands around a dear start.

Which of these is drawn depends on what each has saved so far.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from planner.solver.cpsat.chances import Chances
from planner.solver.cpsat.excess import Excess
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """Tasks to draw pieces around, and which share of the pieces (0 to 1)."""

    tasks: tuple[str, ...] = ()
    share: float = 0.5


NOWHERE = Around()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Tasks to set free, in the problem's order, and how far they must be able to move [positions], if that matters."""

    kind: str
    tasks: tuple[str, ...]
    reach: int = 0


class Neighbourhoods:
    """Draws neighbourhoods of a plan, the same ones for the same beginning of ``random``.

    Parameters
    ----------
    ground : Ground
        The problem.
    random : Random
        Sets what is drawn.
    around : Around
        Tasks that pieces shall rather be drawn around.
    """

    def __init__(self, ground: Ground, random: Random, around: Around = NOWHERE) -> None:
        self._ground = ground
        self._around = tuple(key for key in around.tasks if ground.starts[key].task.pin is None)
        self._around_share = around.share if self._around else 0.0
        self._random = random
        self._free = [key for key, starts in ground.starts.items() if starts.task.pin is None]
        self._jobs: dict[str, list[str]] = {}
        for key in self._free:
            self._jobs.setdefault(ground.starts[key].task.job, []).append(key)
        self._late = {promise.task: promise.due for promise in ground.problem.promises}
        free = set(self._free)
        self._beside = {
            key: tuple(
                other
                for other in (
                    *(link.before for link in ground.links_in[key]),
                    *(link.after for link in ground.links_out[key]),
                )
                if other in free
            )
            for key in self._free
        }
        trades: dict[str, list[str]] = {}
        for key in self._free:
            for trade in dict.fromkeys(need.trade for need in ground.starts[key].task.needs):
                trades.setdefault(trade, []).append(key)
        self._trades = dict(sorted(trades.items()))
        self._excess = Excess(ground)
        self._ways: dict[str, Callable[[Ledger, int], tuple[set[str], int]]] = {
            "pools": lambda ledger, size: (self._pools(ledger, size), 0),
            "stretch": lambda ledger, size: (self._stretch(ledger, self._free, size), 0),
            "trade": lambda ledger, size: (self._trade(ledger, size), 0),
            "dear": self._dear,
        }
        self._kinds = Chances(tuple(self._ways), random)

    def draw(self, ledger: Ledger, size: int) -> Drawn:
        """Return about ``size`` tasks.

        Parameters
        ----------
        ledger : Ledger
            The plan.
        size : int
            How many tasks to set free.
        """
        reach = 0
        if self._around_share and self._random.random() < self._around_share:
            kind, chosen = "near", self._near(self._random.choice(self._around), ledger, size)
        else:
            kind = self._kinds.draw()
            chosen, reach = self._ways[kind](ledger, size)
        return Drawn(kind=kind, tasks=tuple(key for key in self._free if key in chosen), reach=reach)

    def learn(self, drawn: Drawn, saved: float, work: float) -> None:
        """Take note of what a neighbourhood saved for how much work."""
        if drawn.kind in self._ways:
            self._kinds.learn(drawn.kind, saved, work)

    def _dear(self, ledger: Ledger, size: int) -> tuple[set[str], int]:
        """A task that pays more than it must, its pool, and who stands in its way to where it would pay less."""
        excess = [self._excess.of(key, ledger.placed[key]) for key in self._free]
        if not any(excess):
            return self._stretch(ledger, self._free, size), 0
        key = self._random.choices(self._free, excess)[0]
        position = ledger.placed[key].position
        to = self._excess.cheaper(key, ledger.placed[key], self._random)
        mine = self._jobs[self._ground.starts[key].task.job]
        chosen = set(sorted(mine, key=lambda other: abs(ledger.placed[other].position - position))[: size // 2])
        crews = self._crews_of(key)
        low, high = min(position, to), max(position, to)

        def apart(other: str) -> int:
            at = ledger.placed[other].position
            return max(low - at, at - high, 0) + abs(at - to) // 4

        beside = [other for other in self._free if not crews.isdisjoint(ledger.placed[other].of.crews)]
        for other in sorted(beside, key=apart):
            if len(chosen) >= size:
                break
            chosen.add(other)
            chosen.update(self._beside[other])
        return chosen, abs(to - position) + 2 * self._ground.axis.units

    def _crews_of(self, key: str) -> set[str]:
        return {option.crew for need in self._ground.starts[key].task.needs for option in need.options}

    def _near(self, key: str, ledger: Ledger, size: int) -> set[str]:
        """Tasks near one in time: of its own pool, or that its crews could meet; those of the pool count as nearer."""
        middle = ledger.placed[key].position
        task = self._ground.starts[key].task
        crews = {option.crew for need in task.needs for option in need.options}
        crews.update(crew for other in self._jobs[task.job] for crew in ledger.placed[other].of.crews)

        def apart(other: str) -> tuple[int, int]:
            made = ledger.placed[other]
            away = abs(made.position - middle)
            mine = self._ground.starts[other].task.job == task.job
            return (away // 2 if mine else away), made.position

        beside = [
            other
            for other in self._free
            if self._ground.starts[other].task.job == task.job or not crews.isdisjoint(ledger.placed[other].of.crews)
        ]
        return {key, *sorted(beside, key=apart)[:size]}

    def _pools(self, ledger: Ledger, size: int) -> set[str]:
        """A pool, rather a late one, and those whose crews it meets at the same time."""
        jobs = list(self._jobs)
        weights = [1 + 3 * self._is_late(job, ledger) for job in jobs]
        first = self._random.choices(jobs, weights)[0]
        meets = self._meetings(first, ledger)
        others = sorted(meets, key=lambda job: -meets[job] * self._random.uniform(0.5, 1.0))
        chosen: set[str] = set()
        for job in (first, *others):
            room = size - len(chosen)
            mine = self._jobs[job]
            if not chosen or len(mine) <= room:
                chosen.update(mine)
            elif room > size // 4:
                chosen.update(self._stretch(ledger, mine, room))
        return chosen

    def _is_late(self, job: str, ledger: Ledger) -> bool:
        return any(ledger.placed[key].end > self._late.get(key, ledger.placed[key].end) for key in self._jobs[job])

    def _meetings(self, one: str, ledger: Ledger) -> dict[str, int]:
        """How often the crews of a job are on each other job within some days of being on it."""
        near = 5 * self._ground.axis.units
        by_crew: dict[str, list[int]] = {}
        for key in self._jobs[one]:
            made = ledger.placed[key]
            for crew in made.of.crews:
                by_crew.setdefault(crew, []).append(made.position)
        for positions in by_crew.values():
            positions.sort()
        meets = {job: 1 for job in self._jobs if job != one}
        for job in meets:
            for key in self._jobs[job]:
                made = ledger.placed[key]
                for crew in made.of.crews:
                    mine = by_crew.get(crew)
                    if mine is not None:
                        since, until = made.position - near, made.position + near
                        meets[job] += bisect_left(mine, until) - bisect_right(mine, since)
        return meets

    def _stretch(self, ledger: Ledger, keys: list[str], size: int) -> set[str]:
        """Tasks that follow one another in time."""
        ordered = sorted(keys, key=lambda key: ledger.placed[key].position)
        first = self._random.randint(0, max(0, len(ordered) - size))
        return set(ordered[first : first + size])

    def _trade(self, ledger: Ledger, size: int) -> set[str]:
        """Tasks of one trade that follow one another, each with those just before and after it."""
        if not self._trades:
            return self._stretch(ledger, self._free, size)
        trade = self._random.choice(list(self._trades))
        chosen: set[str] = set()
        for key in self._stretch(ledger, self._trades[trade], max(2, size // 3)):
            chosen.add(key)
            chosen.update(self._beside[key])
        return chosen
