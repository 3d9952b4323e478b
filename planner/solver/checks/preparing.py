"""Which way a start goes under its sky: bare, or with something prepared."""

from bisect import bisect_right
from dataclasses import dataclass

from planner.solver.problem import Preparing, StartWeather, Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """What a start under some sky costs: the loss to expect, and what is prepared, ``None`` where nothing is."""

    loss_dollars: int
    prepared: Preparing | None = None

    @property
    def dollars(self) -> int:
        """Loss and price together."""
        return self.loss_dollars + self.price_dollars

    @property
    def price_dollars(self) -> int:
        return self.prepared.dollars if self.prepared is not None else 0

    @property
    def minutes(self) -> int:
        """Work that preparing adds."""
        return self.prepared.minutes if self.prepared is not None else 0


NO_SKY = Way(loss_dollars=0)


def way_of(segment: StartWeather) -> Way | None:
    """The way every start of a segment goes; ``None`` where weather forbids them.

    Examples
    --------
    >>> cover = Preparing(title="Sheet", dollars=60, loss_dollars=90)
    >>> wet = StartWeather(start=0, end=120, forbidden=False, dollars=300, ways=(cover,))
    >>> way = way_of(wet)
    >>> way.prepared.title, way.loss_dollars, way.price_dollars
    ('Sheet', 90, 60)
    """
    bare = () if segment.forbidden else (Way(loss_dollars=segment.dollars),)
    ways = tuple(Way(loss_dollars=one.loss_dollars, prepared=one) for one in segment.ways)
    if segment.settled:
        return next(iter((*ways, *bare)), None)
    return min((*bare, *ways), key=lambda way: way.dollars, default=None)


def segment_at(task: Task, start: int) -> StartWeather | None:
    """The segment of a task's weather that holds a start."""
    index = bisect_right(task.weather, start, key=lambda segment: segment.start) - 1
    return task.weather[index] if index >= 0 and start < task.weather[index].end else None


def way_at(task: Task, start: int) -> Way | None:
    """The way a task goes if it starts at ``start`` [minutes since origin]; ``None`` where weather forbids it."""
    segment = segment_at(task, start)
    return NO_SKY if segment is None else way_of(segment)
