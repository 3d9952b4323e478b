"""Every start a task may have by itself, as runs of positions grouped by crews and time taken.

Calendars, release dates, hours of the day, site windows, forbidden weather and pins are facts about the starts of
one task; they are settled here once, so that neither the greedy planner nor the model needs a rule for them.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product
from typing import Literal

from jobs.words import sentence_for
from planner.solver.axis import Axis
from planner.solver.hours import DayHours, DayList, Hours, Stretch, work_stretches
from planner.solver.problem import Problem, Task
from planner.solver.result import Clash

Runs = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StartClass:
    """Starts that share their crews and the time they take on the axis.

    Parameters
    ----------
    crews : tuple of str
        One for each need, in their order.
    dollars : int
        Price of these crews.
    length : int
        Positions from start to end; for ``elapsed`` and ``arrives`` the least there is.
    pad : int
        How far the true end lies before the position it is rounded up to [min].
    runs : tuple
        Ascending, disjoint (first, last) positions, both included.
    """

    crews: tuple[str, ...]
    dollars: int
    length: int
    pad: int
    runs: Runs


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskStarts:
    """All allowed starts of one task.

    ``ends`` says how the end follows: ``length`` from the class; ``elapsed`` by the clock; ``arrives`` by the clock
    before position ``overnight_from[day]``, from there on the opening of the next day, ``arrivals[day]`` [min];
    ``pinned`` as the pin says.
    """

    task: Task
    ends: Literal["length", "elapsed", "arrives", "pinned"]
    classes: tuple[StartClass, ...]
    levels: tuple[tuple[int, Runs], ...] = ()
    arrivals: tuple[int | None, ...] = ()
    overnight_from: tuple[int, ...] = ()

    def start_minute(self, axis: Axis, position: int) -> int:
        """Return the start [min since origin] of a position."""
        return self.task.pin.start if self.task.pin is not None else axis.start_minute(position)

    def end_minute(self, axis: Axis, position: int, of: StartClass) -> int:
        """Return the exact end [min since origin] of a start on ``position`` in class ``of``."""
        if self.task.pin is not None:
            return self.task.pin.end
        if self.ends == "arrives" and self.runs_overnight(axis, position):
            arrival = self.arrivals[position // axis.units]
            assert arrival is not None
            return arrival
        if self.ends in ("elapsed", "arrives"):
            return axis.start_minute(position) + self.task.span_minutes
        return axis.end_minute(position + of.length) - of.pad

    def runs_overnight(self, axis: Axis, position: int) -> bool:
        """Return whether something that arrives does so when the next day opens, begun on ``position``."""
        return position >= self.overnight_from[position // axis.units]

    def end_position(self, axis: Axis, position: int, of: StartClass) -> int:
        """Return the position at which the task is over; a night rounds up."""
        if self.ends == "length":
            return position + of.length
        return max(position, axis.end_position(self.end_minute(axis, position, of)))

    def weather_dollars(self, minute: int) -> int:
        """Return the expected loss of a start at ``minute`` [dollars]."""
        return sum(one.dollars for one in self.task.weather if one.start <= minute < one.end)

    def class_at(self, position: int, crews: tuple[str, ...]) -> StartClass | None:
        """Return the class of a start on ``position`` with ``crews``, if that is allowed."""
        for one in self.classes:
            if one.crews == crews and any(first <= position <= last for first, last in one.runs):
                return one
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidates:
    """The allowed starts of every task, and a clash for each task that has none."""

    axis: Axis
    tasks: tuple[TaskStarts, ...]
    clashes: tuple[Clash, ...]

    def end_of(self, task: str, crews: tuple[str, ...], start: int) -> int | None:
        """Return when ``task`` ends if begun at minute ``start`` by ``crews``; None if that start is not allowed."""
        starts = next(one for one in self.tasks if one.task.key == task)
        if starts.task.pin is not None:
            return starts.task.pin.end if start == starts.task.pin.start else None
        position = self.axis.start_position(start)
        if position >= self.axis.size or self.axis.start_minute(position) != start:
            return None
        found = starts.class_at(position, crews)
        return None if found is None else starts.end_minute(self.axis, position, found)


def find_candidates(problem: Problem) -> Candidates:
    """Return all allowed starts of every task.

    Parameters
    ----------
    problem : Problem
        Free of faults.

    Returns
    -------
    Candidates
        With one clash for each task that has no allowed start, naming the gate that shut it.
    """
    axis = Axis.of(problem)
    hours = Hours(problem, axis)
    found: list[TaskStarts] = []
    clashes: list[Clash] = []
    for task in problem.tasks:
        starts: TaskStarts | Clash
        if task.pin is None:
            starts = _Search(task, axis, hours).run()
        else:
            starts = pinned_starts(task, axis)
            if not starts.classes:
                starts = _clash(task, "crews")
        if isinstance(starts, Clash):
            clashes.append(starts)
        else:
            found.append(starts)
    return Candidates(axis=axis, tasks=tuple(found), clashes=tuple(clashes))


def crew_choices(task: Task) -> Iterator[tuple[tuple[str, ...], int, int]]:
    """Yield each set of distinct crews that fills the needs: crews, working minutes, dollars."""
    for options in product(*(need.options for need in task.needs)):
        crews = tuple(option.crew for option in options)
        if len(set(crews)) == len(crews):
            minutes = max((option.work_minutes for option in options), default=task.span_minutes)
            yield crews, minutes, sum(option.dollars for option in options)


def pinned_starts(task: Task, axis: Axis) -> TaskStarts:
    """Return the one start of a pinned task, with each choice of crews the pin leaves."""
    pin = task.pin
    assert pin is not None
    at = axis.floor_position(pin.start)
    length = max(0, axis.end_position(pin.end) - at)
    price = {
        (at_need, option.crew): option.dollars for at_need, need in enumerate(task.needs) for option in need.options
    }
    choices = [pin.crews] if pin.crews else [crews for crews, _, _ in crew_choices(task)]
    classes = tuple(
        StartClass(
            crews=crews,
            dollars=sum(price.get((index, crew), 0) for index, crew in enumerate(crews)),
            length=length,
            pad=0,
            runs=((at, at),),
        )
        for crews in choices
    )
    return TaskStarts(task=task, ends="pinned", classes=classes)


def _clash(task: Task, gate: str) -> Clash:
    facts = {
        "field": task.key,
        "task": task.title,
        "job": task.job,
        "earliest_why": f" ({task.earliest_why})" if task.earliest_why else "",
        "latest_why": f" ({task.latest_why})" if task.latest_why else "",
    }
    return Clash(task=task.key, gate=gate, says=" ".join(sentence_for(f"solver.no_start_{gate}", facts)))


Sieve = Callable[[Stretch], Iterator[Stretch]]


class _Search:
    """Finds the starts of one task, sieve by sieve, so that the gate that shuts it can be named."""

    def __init__(self, task: Task, axis: Axis, hours: Hours) -> None:
        self._task = task
        self._axis = axis
        self._hours = hours
        self._arrivals: tuple[int | None, ...] = ()
        self._overnight_from: tuple[int, ...] = ()
        self._forbidden = tuple(
            (axis.start_position(one.start), axis.start_position(one.end) - 1) for one in task.weather if one.forbidden
        )

    def run(self) -> TaskStarts | Clash:
        """Return the starts, or the clash that names the first sieve nothing passed."""
        task = self._task
        sieves: tuple[tuple[str, Sieve], ...] = (
            ("dates", self._by_dates),
            ("hour", self._by_hour),
            ("site", self._by_site),
            ("weather", self._by_weather),
        )
        classes: list[StartClass] = []
        furthest = -1
        for crews, minutes, dollars in crew_choices(task):
            stretches = list(self._by_opening(crews, self._by_run(crews, minutes)))
            depth = -1 + bool(stretches)
            while stretches and depth < len(sieves):
                stretches = [kept for one in stretches for kept in sieves[depth][1](one)]
                depth += bool(stretches)
            furthest = max(furthest, depth)
            classes.extend(_classes(stretches, crews, dollars))
        if not classes:
            return _clash(task, self._first_gate() if furthest < 0 else sieves[furthest][0])
        return TaskStarts(
            task=task,
            ends=self._ends(),
            classes=tuple(classes),
            levels=_levels(task, self._axis),
            arrivals=self._arrivals,
            overnight_from=self._overnight_from,
        )

    def _ends(self) -> Literal["length", "elapsed", "arrives"]:
        if self._task.run == "arrives":
            return "arrives"
        # Something without length ends where it starts, which no position of an end can say.
        return (
            "elapsed" if self._task.run == "elapsed" or not (self._task.needs or self._task.span_minutes) else "length"
        )

    def _first_gate(self) -> str:
        return "crews" if self._task.needs else "calendar"

    def _by_run(self, crews: tuple[str, ...], minutes: int) -> Iterator[Stretch]:
        task, axis = self._task, self._axis
        days = self._hours.of(task.calendar, crews, long_day=task.long_day)
        if task.run in ("work", "attended"):
            yield from work_stretches(
                days, minutes, axis, splits_nights=task.splits_nights, splits_weekends=task.splits_weekends
            )
        elif task.run == "visit":
            # The arrival span ends inside the plain window even where crews may work on.
            plain = self._hours.of(task.calendar, crews, long_day=False)
            yield from work_stretches(plain, max(minutes, 0), axis, splits_nights=False, splits_weekends=False)
        elif task.run == "elapsed":
            for day, hours in enumerate(days):
                if hours is not None:
                    last = (hours.starts_until - 1) // axis.grid_minutes
                    yield Stretch(first=day * axis.units + hours.first, last=day * axis.units + last, length=0, pad=0)
        else:
            yield from self._arriving(days)

    def _by_opening(self, crews: tuple[str, ...], stretches: Iterator[Stretch]) -> Iterator[Stretch]:
        if not self._task.opening_only:
            yield from stretches
            return
        days = self._hours.of(self._task.calendar, crews, long_day=False)
        for one in stretches:
            day = one.first // self._axis.units
            hours = days[day]
            assert hours is not None
            opening = day * self._axis.units + hours.first
            yield from _clip(one, opening, opening)

    def _arriving(self, days: DayList) -> Iterator[Stretch]:
        """Starts that end the same day, then those the next calendar day's opening can end: never over a day off."""
        axis, span = self._axis, self._task.span_minutes
        arrivals: list[int | None] = []
        overnight: list[int] = []
        for day, hours in enumerate(days):
            base = day * axis.units
            then: DayHours | None = days[day + 1] if day + 1 < len(days) else None
            arrival = None if then is None else axis.opens[day + 1] + then.first * axis.grid_minutes
            arrivals.append(arrival)
            if hours is None:
                overnight.append(base)
                continue
            last = min(hours.starts_until - 1, hours.starts_until - span) // axis.grid_minutes
            if last >= hours.first:
                yield Stretch(first=base + hours.first, last=base + last, length=0, pad=0)
            first = max(hours.first, last + 1)
            overnight.append(base + first)
            if arrival is not None:
                last = min(hours.starts_until - 1, arrival - span - axis.opens[day]) // axis.grid_minutes
                if last >= first:
                    yield Stretch(first=base + first, last=base + last, length=0, pad=0)
        self._arrivals, self._overnight_from = tuple(arrivals), tuple(overnight)

    def _by_dates(self, one: Stretch) -> Iterator[Stretch]:
        low = self._axis.start_position(self._task.earliest)
        latest = self._task.latest_start
        high = self._axis.size - 1 if latest is None else self._axis.last_start_position(latest)
        yield from _clip(one, low, high)

    def _by_hour(self, one: Stretch) -> Iterator[Stretch]:
        high = one.last
        if self._task.start_by_minutes is not None:
            units = self._task.start_by_minutes // self._axis.grid_minutes
            high = min(high, one.first // self._axis.units * self._axis.units + units)
        yield from _clip(one, one.first, high)

    def _by_site(self, one: Stretch) -> Iterator[Stretch]:
        if not self._task.windows:
            yield one
            return
        for span in self._task.windows:
            yield from _clip(one, self._axis.start_position(span.start), self._last_for(span.end, one))

    def _last_for(self, end: int, one: Stretch) -> int:
        """Last position in a stretch that still ends by minute ``end``; -1 if there is none."""
        axis = self._axis
        if self._ends() == "elapsed":
            return axis.last_start_position(end - self._task.span_minutes)
        if self._task.run == "arrives":
            day = one.first // axis.units
            arrival = self._arrivals[day]
            if one.first < self._overnight_from[day]:
                return axis.last_start_position(end - self._task.span_minutes)
            return one.last if arrival is not None and arrival <= end else -1
        return axis.last_end_position(end + one.pad) - one.length

    def _by_weather(self, one: Stretch) -> Iterator[Stretch]:
        size = self._axis.size
        pieces = [one]
        for low, high in self._forbidden:
            if high < one.first or low > one.last:
                continue
            pieces = [kept for piece in pieces for kept in (*_clip(piece, 0, low - 1), *_clip(piece, high + 1, size))]
        yield from pieces


def _clip(one: Stretch, low: int, high: int) -> Iterator[Stretch]:
    first, last = max(one.first, low), min(one.last, high)
    if first <= last:
        yield (
            one
            if (first, last) == (one.first, one.last)
            else Stretch(first=first, last=last, length=one.length, pad=one.pad)
        )


def _classes(stretches: list[Stretch], crews: tuple[str, ...], dollars: int) -> Iterator[StartClass]:
    by_time: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for one in stretches:
        by_time.setdefault((one.length, one.pad), []).append((one.first, one.last))
    for (length, pad), runs in sorted(by_time.items()):
        yield StartClass(crews=crews, dollars=dollars, length=length, pad=pad, runs=join(runs))


def join(runs: list[tuple[int, int]]) -> Runs:
    """Return runs ascending, with those that touch or overlap made one.

    >>> join([(5, 6), (0, 2), (3, 4), (9, 9)])
    ((0, 6), (9, 9))
    """
    joined: list[tuple[int, int]] = []
    for first, last in sorted(runs):
        if joined and first <= joined[-1][1] + 1:
            joined[-1] = (joined[-1][0], max(joined[-1][1], last))
        else:
            joined.append((first, last))
    return tuple(joined)


def _levels(task: Task, axis: Axis) -> tuple[tuple[int, Runs], ...]:
    """Positions by what the sky costs a start there, cheapest first; the rest of the axis costs nothing."""
    by_dollars: dict[int, list[tuple[int, int]]] = {}
    for segment in task.weather:
        first, last = axis.start_position(segment.start), axis.start_position(segment.end) - 1
        if not segment.forbidden and segment.dollars and first <= last:
            by_dollars.setdefault(segment.dollars, []).append((first, last))
    return tuple((dollars, join(runs)) for dollars, runs in sorted(by_dollars.items()))
