"""Scales of the calculators' pictures: round ticks, and values as places on the paper."""

import math
from dataclasses import dataclass

from planner.web.presenters.canvas import px

# Every picture is drawn this wide, so that its words stay readable on a phone.
WIDTH = 360.0
SIZE = 13.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A value from ``low`` to ``high`` as a place from ``start`` to ``end``."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """The place of a value."""
        return px(self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A place on an axis and the number that stands there."""

    place: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Words at a place; ``anchor`` is start, middle or end."""

    x: float
    y: float
    anchor: str
    words: str


def ticks(scale: Scale, *, about: int = 5) -> tuple[Tick, ...]:
    """Round numbers along a scale.

    >>> [tick.words for tick in ticks(Scale(low=0.0, high=19.0, start=0.0, end=190.0))]
    ['0', '5', '10', '15']
    """
    step = _round_step((scale.high - scale.low) / about)
    first = math.ceil(scale.low / step - 1e-9)
    last = math.floor(scale.high / step + 1e-9)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    return tuple(
        Tick(place=scale.at(number * step), words=f"{number * step + 0.0:,.{places}f}")
        for number in range(first, last + 1)
    )


def _round_step(least: float) -> float:
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least - 1e-9 * power)
