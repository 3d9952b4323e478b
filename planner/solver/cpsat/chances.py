"""Which way to go on, learnt on the way: what saved more dollars for its work is drawn more often."""

from collections.abc import Sequence
from random import Random
from typing import Generic, TypeVar

Way = TypeVar("Way")

# What lies so many draws back counts a third.
MEMORY = 30.0
# Nobody is drawn less often than this, in parts of the best.
LEAST = 0.15
# Work in which a way is taken to save what all do on average, in parts of the average work of a draw.
TRUST = 2.0


class Chances(Generic[Way]):
    """Ways to draw among, and what each has saved.

    Parameters
    ----------
    ways : sequence
        The ways.
    random : Random
        Sets what is drawn.
    """

    def __init__(self, ways: Sequence[Way], random: Random) -> None:
        self._ways = tuple(ways)
        self._random = random
        self._saved = dict.fromkeys(self._ways, 0.0)
        self._work = dict.fromkeys(self._ways, 0.0)
        self._draws = 0.0

    def draw(self) -> Way:
        """Return a way."""
        rates = self.rates()
        least = max(LEAST * max(rates), 1e-9)
        return self._random.choices(self._ways, [max(rate, least) for rate in rates])[0]

    def rates(self) -> list[float]:
        """Return dollars for a unit of work by way, the average as long as little is known of one."""
        work = sum(self._work.values())
        if not work:
            return [1.0] * len(self._ways)
        average = sum(self._saved.values()) / work
        known = TRUST * work / self._draws
        return [(self._saved[way] + known * average) / (self._work[way] + known) for way in self._ways]

    def learn(self, way: Way, saved: float, work: float) -> None:
        """Take note of what a way saved for how much work."""
        keep = 1.0 - 1.0 / MEMORY
        for each in self._ways:
            self._saved[each] *= keep
            self._work[each] *= keep
        self._draws = self._draws * keep + 1.0
        self._saved[way] += max(0.0, saved)
        self._work[way] += work
