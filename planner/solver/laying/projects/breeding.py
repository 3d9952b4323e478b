"""Searches plans of a plain project by breeding lists: the better half of each generation lives on.

A genetic search over lists (Hartmann 1998) in which a child keeps a stretch in which much is in use (peak crossover,
Valls, Ballestín and Quintanilla 2008) and is pulled back from the end and forward again before it is judged (double
justification, the same 2005), which rarely makes a plan longer and often makes it shorter. Of plans that cost the same,
that in which everything starts sooner is the better parent. All chance comes from one seed, so that equal counts of
plans give equal plans.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import accumulate
from operator import add
from random import Random

from planner.solver.laying.projects.packing import Packing
from planner.solver.laying.projects.project import Project

FAMILY = 40
SWAPS = 0.05
# Generations without a better plan after which all but the best are drawn anew.
STALE = 25
# A child keeps a stretch of a plan of such a share of its length, the busiest of so many drawn.
STRETCH, LOOKS = (0.25, 0.6), 4
Value = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bred:
    """A plan of a plain project: its dollars, its starts [positions] by task number, and plans tried so far."""

    dollars: int
    starts: tuple[int, ...]
    tried: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _One:
    """One plan: what it is worth (dollars, then the sum of its starts), its list and its starts."""

    value: Value
    order: tuple[int, ...]
    starts: tuple[int, ...]


def breed(project: Project, seed: int, is_over: Callable[[int, int], bool]) -> Iterator[Bred]:
    """Yield each better plan until ``is_over`` says so of the plans tried and the best dollars so far.

    Parameters
    ----------
    project : Project
        The project.
    seed : int
        Sets all chance.
    is_over : callable
        Asked after each plan with how many were tried and the best dollars.
    """
    breeder = _Breeder(project, seed)
    best: _One | None = None
    quiet = 0
    family: list[_One] = []
    while True:
        children = breeder.drawn(family) if len(family) < FAMILY else breeder.children(family)
        better = False
        for child in children:
            family.append(child)
            if best is None or child.value < best.value:
                better = True
                cheaper = best is None or child.value[0] < best.value[0]
                best = child
                if cheaper:
                    yield Bred(dollars=child.value[0], starts=child.starts, tried=breeder.tried)
            if is_over(breeder.tried, best.value[0]):
                return
        quiet = 0 if better else quiet + 1
        assert best is not None
        family = breeder.fittest(family) if quiet < STALE else [best]
        quiet %= STALE


class _Breeder:
    """Makes plans of one project."""

    def __init__(self, project: Project, seed: int) -> None:
        self._project = project
        self._random = Random(seed)
        self._forward = Packing(project)
        self._backward = Packing(project, backwards=True)
        self._latest = _latest_ends(project)
        # What each task has in use while it runs, a thousand being all there is of one counted thing.
        self._uses = tuple(
            sum(1000 * amount // project.counts[thing] for thing, amount in mine) for mine in project.demands
        )
        self.tried = 0

    def drawn(self, family: list[_One]) -> Iterator[_One]:
        """Yield enough plans to fill a family, from lists drawn at random, rather the pressing tasks first."""
        return (self._judged(self._draw(number)) for number in range(FAMILY - len(family)))

    def children(self, family: list[_One]) -> Iterator[_One]:
        """Yield two children of each pair."""
        pairs = list(family)
        self._random.shuffle(pairs)
        for mother, father in zip(pairs[::2], pairs[1::2], strict=False):
            for one, other in ((mother, father), (father, mother)):
                yield self._judged(self._swapped(self._crossed(one, other)))

    @staticmethod
    def fittest(family: list[_One]) -> list[_One]:
        """Return the best plans of a family, equal ones once."""
        once = {one.starts: one for one in family}
        return sorted(once.values(), key=lambda one: (one.value, one.starts))[:FAMILY]

    def _judged(self, order: list[int]) -> _One:
        """A list laid down, pulled back from the end, and laid down again."""
        project = self._project
        lengths = project.lengths
        plain = self._forward.lay(order)
        back = self._backward.lay(sorted(order, key=lambda task: (-plain[task] - lengths[task], -task)))
        again = sorted(order, key=lambda task: (-back[task] - lengths[task], task))
        settled = self._forward.lay(again)
        self.tried += 3
        best = min((plain, settled), key=lambda starts: (project.dollars(starts), sum(starts)))
        by_start = tuple(sorted(order, key=lambda task: (best[task], task)))
        return _One(value=(project.dollars(best), sum(best)), order=by_start, starts=tuple(best))

    def _draw(self, number: int) -> list[int]:
        project, latest, random = self._project, self._latest, self._random
        waiting = [len(before) for before in project.before]
        ready = [task for task, count in enumerate(waiting) if not count]
        order: list[int] = []
        while ready:
            if number:
                worst = max(latest[task] for task in ready)
                at = random.choices(range(len(ready)), [(worst - latest[task] + 1) ** 2 for task in ready])[0]
            else:
                at = min(range(len(ready)), key=lambda index: latest[ready[index]])
            task = ready.pop(at)
            order.append(task)
            for after in project.after[task]:
                waiting[after] -= 1
                if not waiting[after]:
                    ready.append(after)
        return order

    def _crossed(self, mother: _One, father: _One) -> list[int]:
        """A busy stretch of one plan as it is, what lies before and after it in the order of the other."""
        lengths = self._project.lengths
        since, until = self._busy(mother.starts)
        stretch, before = [], set()
        for task in mother.order:
            if mother.starts[task] + lengths[task] <= since:
                before.add(task)
            elif mother.starts[task] < until:
                stretch.append(task)
        held = before.union(stretch)
        first = [task for task in father.order if task in before]
        return [*first, *stretch, *(task for task in father.order if task not in held)]

    def _busy(self, starts: tuple[int, ...]) -> tuple[int, int]:
        """A stretch of a plan, of some stretches drawn that in which most is in use."""
        changes = [0] * (max(map(add, starts, self._project.lengths)) + 1)
        for start, length, use in zip(starts, self._project.lengths, self._uses, strict=True):
            changes[start] += use
            changes[start + length] -= use
        before = [0, *accumulate(accumulate(changes))]
        last = len(changes) - 1
        span = min(last, max(3, round(last * self._random.uniform(*STRETCH))))
        drawn = [self._random.randint(0, last - span) for _ in range(LOOKS)]
        since = max(drawn, key=lambda at: before[at + span] - before[at])
        return since, since + span

    def _swapped(self, order: list[int]) -> list[int]:
        """A list with some neighbours swapped that do not wait for each other."""
        before = self._project.before
        for at in range(len(order) - 1):
            if self._random.random() < SWAPS and order[at] not in before[order[at + 1]]:
                order[at], order[at + 1] = order[at + 1], order[at]
        return order


def _latest_ends(project: Project) -> list[int]:
    """Latest ends that the links alone allow in a plan no longer than the longest chain."""
    earliest: list[int] = []
    for task, before in enumerate(project.before):
        begins = max((earliest[other] for other in before), default=project.releases[task])
        earliest.append(max(begins, project.releases[task]) + project.lengths[task])
    latest = [max(earliest)] * len(project.lengths)
    for task in reversed(range(len(latest))):
        for after in project.after[task]:
            latest[task] = min(latest[task], latest[after] - project.lengths[after])
    return latest
