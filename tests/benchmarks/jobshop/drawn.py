"""Small problems drawn at random, with the rules that our solver and a general scheduling library both know.

Time is in whole units. Jobs are chains of tasks with least and sometimes longest waits between them; each task takes
one of the crews of its trade, each with its own length; crews are away for some units, and work rests meanwhile; some
tasks hold a piece of counted gear; each job is late at its own price from its due unit on.
"""

from dataclasses import dataclass
from random import Random


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One task: crew and length of each way to do it, units to wait after the one before, and whether it holds gear."""

    ways: tuple[tuple[int, int], ...]
    least_wait: int
    longest_wait: int | None
    gear: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A job: its steps one after another, when it may begin and is due [units], and dollars for each late unit."""

    steps: tuple[Step, ...]
    from_unit: int
    due: int
    dollars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A problem: units in which each crew is away (half-open), pieces of gear, and the chains."""

    name: str
    away: tuple[tuple[tuple[int, int], ...], ...]
    gear: int
    chains: tuple[Chain, ...]

    @property
    def units(self) -> int:
        """So many units hold every plan there is any reason for."""
        work = sum(max(length for _, length in step.ways) for chain in self.chains for step in chain.steps)
        waits = sum(step.least_wait for chain in self.chains for step in chain.steps)
        away = sum(until - begin for spans in self.away for begin, until in spans)
        return work + waits + away + max(chain.from_unit for chain in self.chains) + 5


def draw(seed: int) -> Drawn:
    """The problem of a seed."""
    by = Random(seed)
    crews = by.randint(2, 3)
    trades = [tuple(by.sample(range(crews), by.randint(1, 2))) for _ in range(3)]
    return Drawn(
        name=f"drawn {seed}",
        away=tuple(_away(by) for _ in range(crews)),
        gear=by.randint(1, 2),
        chains=tuple(_chain(by, trades) for _ in range(by.randint(2, 4))),
    )


def _away(by: Random) -> tuple[tuple[int, int], ...]:
    if by.random() < 0.5:
        return ()
    begin = by.randint(2, 8)
    return ((begin, begin + by.randint(1, 3)),)


def _chain(by: Random, trades: list[tuple[int, ...]]) -> Chain:
    steps = []
    for number in range(by.randint(2, 4)):
        least = by.choice((0, 0, 1, 3)) if number else 0
        longest = least + by.randint(2, 5) if number and by.random() < 0.25 else None
        ways = tuple((crew, by.randint(1, 4)) for crew in by.choice(trades))
        steps.append(Step(ways=ways, least_wait=least, longest_wait=longest, gear=by.random() < 0.4))
    return Chain(steps=tuple(steps), from_unit=by.randint(0, 3), due=by.randint(3, 10), dollars=by.randint(1, 9))
