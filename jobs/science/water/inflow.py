"""Where a pool's water comes from: running water with its hours of the day, tankers load by load, or all at once."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.domain.units import m3_h_from_gpm
from jobs.science.ranges import Array, require_range

# What comes in where nobody measured it [m3/h]: a hose by common practice; hydrant and tanker as published.
USUAL_M3_H = {
    "hose": m3_h_from_gpm(12.0),
    "hydrant": m3_h_from_gpm(10_000 / 60),
    "tanker": m3_h_from_gpm(6_000 / 45),
}
DAY_H = 24.0
# The last digits of a sum are no water.
SLACK_M3 = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningWater:
    """A hose, or whatever runs evenly, between two hours of the day [h]; from 20 to 6 is overnight.

    Attributes
    ----------
    kind : a key of ``USUAL_M3_H``.
    flow_m3_h : while it runs [m3/h]; ``None`` is what is usual for its kind.
    from_h, until_h : by the clock of the site, 0 to 24; from 0 until 24 it runs day and night.
    """

    kind: str = "hose"
    flow_m3_h: float | None = None
    from_h: float = 0.0
    until_h: float = DAY_H

    def __post_init__(self) -> None:
        if self.kind not in USUAL_M3_H:
            raise CannotDo("filling.unknown_source", field="water", kind=self.kind, known=", ".join(USUAL_M3_H))
        require_range(self.m3_h, name="flow_m3_h", low=0, high=200, unit="m3/h", source="usual_flows")
        require_range(self.from_h, name="from_h", low=0, high=DAY_H, unit="h", source="usual_flows")
        require_range(self.until_h, name="until_h", low=0, high=DAY_H, unit="h", source="usual_flows")

    @property
    def m3_h(self) -> float:
        """Its flow [m3/h]."""
        return USUAL_M3_H[self.kind] if self.flow_m3_h is None else self.flow_m3_h

    @property
    def runs(self) -> tuple[tuple[float, float], ...]:
        """Begin and end of what runs each day [h after its midnight]; an end past 24 is on the next day."""
        overnight = self.until_h <= self.from_h
        return ((self.from_h, self.until_h + DAY_H if overnight else self.until_h),)


@dataclass(frozen=True, slots=True, kw_only=True)
class TankerLoads:
    """Tankers that come each day, load by load.

    Attributes
    ----------
    load_m3 : water of a load [m3].
    loads_each : loads a day.
    from_h, every_h : hour of the day the first load begins to run, and from one to the next [h].
    flow_m3_h : while a load runs [m3/h]; ``None`` is usual.
    """

    load_m3: float
    loads_each: int
    from_h: float
    every_h: float
    flow_m3_h: float | None = None

    def __post_init__(self) -> None:
        require_range(self.m3_h, name="flow_m3_h", low=0.1, high=200, unit="m3/h", source="usual_flows")
        require_range(self.load_m3, name="load_m3", low=0.5, high=50, unit="m3", source="usual_flows")
        require_range(self.loads_each, name="loads_each", low=1, high=48, unit="", source="usual_flows")
        require_range(self.from_h, name="from_h", low=0, high=DAY_H, unit="h", source="usual_flows")
        # All of a day's loads have begun before the first of the next day does.
        most_h = DAY_H / self.loads_each
        require_range(self.every_h, name="every_h", low=0.1, high=most_h, unit="h", source="usual_flows")
        require_range(self.load_m3 / self.m3_h, name="load_h", low=0, high=DAY_H, unit="h", source="usual_flows")

    @property
    def m3_h(self) -> float:
        """Flow while a load runs [m3/h]."""
        return USUAL_M3_H["tanker"] if self.flow_m3_h is None else self.flow_m3_h

    @property
    def runs(self) -> tuple[tuple[float, float], ...]:
        """Begin and end of each load of a day [h after its midnight]."""
        begins = [self.from_h + number * self.every_h for number in range(int(self.loads_each))]
        return tuple((begin, begin + self.load_m3 / self.m3_h) for begin in begins)


WaterSource = RunningWater | TankerLoads


def sources_from(entries: Iterable[Mapping[str, Any]]) -> tuple[WaterSource, ...]:
    """Sources as a person writes them: one with ``load_m3`` comes load by load, any other runs between two hours.

    Raises
    ------
    CannotDo
        ``filling.bad_source`` for a value that is missing, unknown or no number; ``filling.unknown_source``.
    OutsideValidRange
        A value outside its range.

    Source: none; a reading of values.

    >>> [one.m3_h for one in sources_from([{"kind": "hydrant", "from_h": 7, "until_h": 17, "flow_m3_h": 30.0}])]
    [30.0]
    """
    return tuple(_source(entry) for entry in entries)


def _source(entry: Mapping[str, Any]) -> WaterSource:
    try:
        for name, value in entry.items():
            if name != "kind" and (isinstance(value, bool) or not isinstance(value, int | float | None)):
                raise ValueError(f"{name} is no number: {value!r}")
        return TankerLoads(**entry) if "load_m3" in entry else RunningWater(**entry)
    except (TypeError, ValueError, AttributeError) as error:
        raise CannotDo("filling.bad_source", field="water", says=error) from error


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOfWater:
    """What several sources bring from midnight on, the same every day.

    Attributes
    ----------
    marks_h : hours at which a flow changes, from 0 to 24.
    sums_m3, sums_h : water that came until each mark, and hours in which any ran.
    """

    marks_h: tuple[float, ...]
    sums_m3: tuple[float, ...]
    sums_h: tuple[float, ...]

    @property
    def mean_m3_h(self) -> float:
        """Flow over day and night [m3/h]."""
        return self.sums_m3[-1] / DAY_H

    @property
    def longest_dry_h(self) -> float:
        """Most hours the water lags behind its mean flow, whenever it is turned on [h]."""
        if self.mean_m3_h == 0:
            return 0.0
        lead = np.array(self.sums_m3) / self.mean_m3_h - np.array(self.marks_h)
        return float(lead.max() - lead.min())

    def m3_until(self, clock_h: Array) -> Array:
        """Water since midnight of the first day until hours by the clock, over as many days as they reach [m3]."""
        return self._until(clock_h, self.sums_m3)

    def running_h(self, from_h: float, until_h: float) -> float:
        """Hours in which any water runs between two hours by the clock [h]."""
        first, last = self._until(np.array([from_h, until_h]), self.sums_h)
        return float(last - first)

    def _until(self, clock_h: Array, sums: tuple[float, ...]) -> Array:
        days, hour = np.divmod(clock_h, DAY_H)
        return np.asarray(days * sums[-1] + np.interp(hour, self.marks_h, sums), dtype=float)


@lru_cache(maxsize=1024)
def day_of(sources: tuple[WaterSource, ...]) -> DayOfWater:
    """What sources bring together.

    Parameters
    ----------
    sources : tuple of RunningWater and TankerLoads
        They run beside each other: two hoses on one tap share its flow, so enter the share of each.

    Returns
    -------
    DayOfWater
        Flows are added where hours overlap.

    Source: common practice, no source; the sum is arithmetic.

    >>> night = RunningWater(flow_m3_h=2.0, from_h=20, until_h=6)
    >>> both = day_of((night, RunningWater(flow_m3_h=30.0, from_h=8, until_h=9)))
    >>> both.m3_until(np.array([6.0, 24.0, 48.0])).tolist()
    [12.0, 50.0, 100.0]
    """
    runs = [(begin, end, source.m3_h) for source in sources for begin, end in source.runs]
    # What runs past midnight runs in the first hours of every day.
    cut = [(begin, min(end, DAY_H), flow) for begin, end, flow in runs if begin < DAY_H]
    cut += [(max(begin - DAY_H, 0.0), end - DAY_H, flow) for begin, end, flow in runs if end > DAY_H]
    marks = sorted({0.0, DAY_H, *(mark for begin, end, _ in cut for mark in (begin, end))})
    sums_m3, sums_h = [0.0], [0.0]
    for first, last in pairwise(marks):
        flow = sum(m3_h for begin, end, m3_h in cut if begin <= first and last <= end)
        sums_m3.append(sums_m3[-1] + flow * (last - first))
        sums_h.append(sums_h[-1] + (last - first if flow > 0 else 0.0))
    return DayOfWater(marks_h=tuple(marks), sums_m3=tuple(sums_m3), sums_h=tuple(sums_h))


def marks_of(
    sources: Iterable[WaterSource], *, hours: int, clock_h: float = 0.0, pauses: Sequence[tuple[float, float]] = ()
) -> Array:
    """Ends of the steps of a fill [h since it began]: every hour, and wherever a flow begins or ends.

    Parameters
    ----------
    sources, clock_h, pauses
        As ``inflow_m3``.
    hours : int
        Length of the plan [h], 1 to 2000.

    Raises
    ------
    OutsideValidRange
        Too many hours, or no hour of a day.

    Source: none; water comes evenly within a step.

    >>> marks_of([RunningWater(from_h=8.5, until_h=17)], hours=3, clock_h=7.0, pauses=((0.0, 0.25),)).tolist()
    [0.0, 0.25, 1.0, 1.5, 2.0, 3.0]
    """
    require_range(hours, name="hours", low=1, high=2000, unit="h", source="usual_flows")
    require_range(clock_h, name="clock_h", low=0, high=DAY_H, unit="h", source="usual_flows")
    changes = np.array(day_of(tuple(sources)).marks_h) - clock_h
    days = DAY_H * np.arange(hours // DAY_H + 2)
    ends = np.concatenate([np.arange(hours + 1.0), np.add.outer(days, changes).ravel(), np.array(pauses).ravel()])
    # A mark a second beside another is the same mark.
    return np.unique(np.round(ends[(ends >= 0) & (ends <= hours)], 4))


def inflow_m3(
    sources: Iterable[WaterSource],
    *,
    marks_h: Array,
    clock_h: float = 0.0,
    pauses: Sequence[tuple[float, float]] = (),
) -> Array:
    """Water that several sources add in each step of a fill [m3], none of it in a pause.

    Parameters
    ----------
    sources : iterable of RunningWater and TankerLoads
        Where the water comes from.
    marks_h : array
        Begin and ends of the steps [h since the fill began], rising.
    clock_h : float
        Hour of the day at which the fill begins [h], 0 to 24.
    pauses : sequence of (from, until)
        Hours of the fill in which all water is off [h]; they do not overlap.

    Raises
    ------
    OutsideValidRange
        No hour of a day.

    Source: common practice, no source; the sum is arithmetic.

    >>> hoses = [RunningWater(flow_m3_h=2.0), RunningWater(flow_m3_h=1.0, from_h=8.5, until_h=17)]
    >>> inflow_m3(hoses, marks_h=np.arange(4.0), clock_h=7.0, pauses=((0.0, 0.5),)).tolist()
    [1.0, 2.5, 3.0]
    """
    require_range(clock_h, name="clock_h", low=0, high=DAY_H, unit="h", source="usual_flows")
    day = day_of(tuple(sources))
    total = np.diff(day.m3_until(clock_h + marks_h))
    for from_h, until_h in pauses:
        total -= np.diff(day.m3_until(clock_h + np.clip(marks_h, from_h, until_h)))
    # What a pause takes out whole leaves the last digits of a sum.
    return np.where(total < SLACK_M3, 0.0, total)


def by_step(by_hour: Array, marks_h: Array) -> Array:
    """What is known by the hour, spread evenly over steps that begin with its first hour.

    Source: none; arithmetic.

    >>> by_step(np.array([1.0, 4.0]), np.array([0.0, 0.5, 1.0, 2.0])).tolist()
    [0.5, 0.5, 4.0]
    """
    sums = np.concatenate([[0.0], np.cumsum(by_hour)])
    return np.asarray(np.diff(np.interp(marks_h - marks_h[0], np.arange(len(sums), dtype=float), sums)), dtype=float)
