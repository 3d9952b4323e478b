"""Order and critical path of a network of activities with lags."""

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from jobs.domain.errors import CannotDo


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity:
    """An activity of the network; durations in any one unit, not negative."""

    key: str
    duration: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """``after`` starts at the earliest ``lag`` after ``before`` has ended."""

    before: str
    after: str
    lag: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """Earliest and latest times of an activity, from a start of the network at 0.

    Attributes
    ----------
    total_float : how far it may slip before the whole gets later.
    free_float : how far it may slip before any activity after it starts later than its earliest.
    """

    key: str
    earliest_start: float
    earliest_finish: float
    latest_start: float
    latest_finish: float
    total_float: float
    free_float: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CriticalPath:
    """Timings in build order, length of the whole, and one longest path (the first by the order given)."""

    length: float
    timings: tuple[Timing, ...]
    path: tuple[str, ...]

    def timing(self, key: str) -> Timing:
        """The timing of one activity.

        Raises
        ------
        KeyError
            If the network has no such activity.
        """
        for timing in self.timings:
            if timing.key == key:
                return timing
        raise KeyError(key)


def build_order(keys: Sequence[str], pairs: Iterable[tuple[str, str]], *, file: str = "") -> tuple[str, ...]:
    """Keys so that each comes after everything before it; ties in the order given.

    Parameters
    ----------
    keys : Sequence[str]
        Every activity once.
    pairs : Iterable[tuple[str, str]]
        (before, after), each a known key.
    file : str
        Named in the error.

    Returns
    -------
    tuple[str, ...]
        All keys.

    Raises
    ------
    CannotDo
        ``network.cycle`` naming the cycle, ``network.unknown_activity``, ``network.duplicate``.

    Examples
    --------
    >>> build_order(["pour", "dig", "form"], [("dig", "form"), ("form", "pour")])
    ('dig', 'form', 'pour')
    """
    place = {key: at for at, key in enumerate(keys)}
    if len(place) != len(keys):
        twice = next(key for at, key in enumerate(keys) if key in keys[:at])
        raise CannotDo("network.duplicate", field=twice)
    afters: dict[str, set[str]] = {key: set() for key in keys}
    for before, after in pairs:
        for end in (before, after):
            if end not in place:
                raise CannotDo("network.unknown_activity", field=end, before=before, after=after)
        afters[before].add(after)
    waiting_for = dict.fromkeys(keys, 0)
    for found in afters.values():
        for after in found:
            waiting_for[after] += 1
    ready = [place[key] for key in keys if waiting_for[key] == 0]
    heapq.heapify(ready)
    order: list[str] = []
    while ready:
        key = keys[heapq.heappop(ready)]
        order.append(key)
        for after in afters[key]:
            waiting_for[after] -= 1
            if waiting_for[after] == 0:
                heapq.heappush(ready, place[after])
    if len(order) < len(keys):
        cycle = _find_cycle([key for key in keys if waiting_for[key]], afters, place)
        raise CannotDo("network.cycle", field="link", cycle=" to ".join(cycle), file=file or "the network")
    return tuple(order)


def _find_cycle(left: Sequence[str], afters: Mapping[str, set[str]], place: Mapping[str, int]) -> list[str]:
    """One cycle, closed by its first activity, begun at the activity that was given first."""
    befores: dict[str, list[str]] = {key: [] for key in left}
    for key in left:
        for after in afters[key]:
            if after in befores:
                befores[after].append(key)
    # What is left has something before it that is left too, so walking backwards must come round.
    walked: list[str] = [left[0]]
    while True:
        back = min(befores[walked[-1]], key=place.__getitem__)
        if back in walked:
            cycle = walked[walked.index(back) :][::-1]
            first = min(range(len(cycle)), key=lambda at: place[cycle[at]])
            cycle = cycle[first:] + cycle[:first]
            return [*cycle, cycle[0]]
        walked.append(back)


def tasks_after(key: str, pairs: Iterable[tuple[str, str]]) -> frozenset[str]:
    """Every activity that cannot start before ``key`` has ended.

    Examples
    --------
    >>> sorted(tasks_after("dig", [("dig", "form"), ("form", "pour"), ("fence", "fill")]))
    ['form', 'pour']
    """
    afters: dict[str, set[str]] = {}
    for before, after in pairs:
        afters.setdefault(before, set()).add(after)
    reached: set[str] = set()
    open_keys = [key]
    while open_keys:
        for after in afters.get(open_keys.pop(), ()):
            if after not in reached:
                reached.add(after)
                open_keys.append(after)
    return frozenset(reached)


def critical_path(activities: Sequence[Activity], arrows: Sequence[Arrow]) -> CriticalPath:
    """Earliest and latest times, floats and a longest path.

    ``ES = max(EF before + lag)``, ``LF = min(LS after - lag)``, ``total = LS - ES``,
    ``free = min(ES after - lag) - EF``; an activity with nothing after it ends against the length of the whole.

    Parameters
    ----------
    activities : Sequence[Activity]
        Every activity once, durations not negative.
    arrows : Sequence[Arrow]
        Links between them, lags not negative.

    Returns
    -------
    CriticalPath
        Timings in build order.

    Raises
    ------
    CannotDo
        For a cycle (named), an unknown or repeated activity, a negative duration or lag.

    References
    ----------
    The arithmetic is that of any textbook of operations research; the tests hold printed networks.

    Examples
    --------
    >>> found = critical_path(
    ...     [Activity(key="dig", duration=2), Activity(key="steel", duration=1), Activity(key="pour", duration=1)],
    ...     [Arrow(before="dig", after="pour", lag=3), Arrow(before="steel", after="pour")],
    ... )
    >>> found.length, found.timing("steel").total_float, found.path
    (6, 4.0, ('dig', 'pour'))
    """
    for activity in activities:
        if not activity.duration >= 0:
            raise CannotDo("network.negative", field=activity.key, value=activity.duration)
    for arrow in arrows:
        if not arrow.lag >= 0:
            raise CannotDo("network.negative", field=f"{arrow.before} to {arrow.after}", value=arrow.lag)
    order = build_order([activity.key for activity in activities], [(arrow.before, arrow.after) for arrow in arrows])
    duration = {activity.key: activity.duration for activity in activities}
    into: dict[str, list[Arrow]] = {key: [] for key in order}
    out_of: dict[str, list[Arrow]] = {key: [] for key in order}
    for arrow in arrows:
        into[arrow.after].append(arrow)
        out_of[arrow.before].append(arrow)
    start: dict[str, float] = {}
    for key in order:
        start[key] = max((start[a.before] + duration[a.before] + a.lag for a in into[key]), default=0)
    length = max((start[key] + duration[key] for key in order), default=0)
    latest: dict[str, float] = {}
    for key in reversed(order):
        finish = min((latest[a.after] - a.lag for a in out_of[key]), default=length)
        latest[key] = finish - duration[key]
    timings = tuple(_timing(key, start, duration[key], latest[key], out_of[key], length) for key in order)
    return CriticalPath(length=length, timings=timings, path=_longest_path(order, start, duration, into, length))


def _timing(
    key: str, start: Mapping[str, float], duration: float, latest_start: float, out_of: Sequence[Arrow], length: float
) -> Timing:
    finish = start[key] + duration
    return Timing(
        key=key,
        earliest_start=start[key],
        earliest_finish=finish,
        latest_start=latest_start,
        latest_finish=latest_start + duration,
        total_float=latest_start - start[key],
        free_float=min((start[arrow.after] - arrow.lag for arrow in out_of), default=length) - finish,
    )


def _longest_path(
    order: Sequence[str],
    start: Mapping[str, float],
    duration: Mapping[str, float],
    into: Mapping[str, Sequence[Arrow]],
    length: float,
) -> tuple[str, ...]:
    key = next((key for key in order if start[key] + duration[key] == length), None)
    path: list[str] = []
    while key is not None:
        path.append(key)
        # The same sum as the forward pass, so that equality is exact and the path is complete.
        key = next(
            (a.before for a in into[key] if start[a.before] + duration[a.before] + a.lag == start[key]),
            None,
        )
    return tuple(reversed(path))
