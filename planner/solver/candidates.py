"""Every start a task may have by itself, as runs of positions grouped by crews and time taken.

Calendars, release dates, hours of the day, site windows, forbidden weather and pins are facts about the starts of
one task; they are settled here once, so that neither the greedy planner nor the model needs a rule for them.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import reduce
from operator import and_
from typing import Literal

from jobs.words import sentence_for
from planner.solver.axis import Axis
from planner.solver.masks import Runs, mask_of, runs_of
from planner.solver.openings.choices import TURNS, Choice, all_choices, has_many, some_choices
from planner.solver.openings.hours import DayList, Hours
from planner.solver.openings.paid import PaidStarts
from planner.solver.openings.sky import levels, starts_by_added_minutes, taken
from planner.solver.openings.unbound import Unbound, starts_by_hours
from planner.solver.problem import Problem, Task
from planner.solver.result import Clash


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
    paid : int
        How much of the price is for hours the crews work for pay only.
    """

    crews: tuple[str, ...]
    dollars: int
    length: int
    pad: int
    runs: Runs
    paid: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskStarts:
    """All allowed starts of one task.

    ``ends`` says how the end follows: ``length`` from the class; ``elapsed`` by the clock; ``arrives`` by the clock
    before position ``overnight_from[day]``, from there on the opening of the next day, ``arrivals[day]`` [min], and
    from ``next_day_from[day]`` on by the clock again, inside the next day; ``pinned`` as the pin says.
    """

    task: Task
    ends: Literal["length", "elapsed", "arrives", "pinned"]
    classes: tuple[StartClass, ...]
    levels: tuple[tuple[int, Runs], ...] = ()
    arrivals: tuple[int | None, ...] = ()
    overnight_from: tuple[int, ...] = ()
    next_day_from: tuple[int, ...] = ()

    def start_minute(self, axis: Axis, position: int) -> int:
        """Return the start [min since origin] of a position."""
        return self.task.pin.start if self.task.pin is not None else axis.start_minute(position)

    def end_minute(self, axis: Axis, position: int, of: StartClass) -> int:
        """Return the exact end [min since origin] of a start on ``position`` in class ``of``."""
        if self.task.pin is not None:
            return self.task.pin.end
        if self.ends == "arrives" and self.waits_for_morning(axis, position):
            arrival = self.arrivals[position // axis.units]
            assert arrival is not None
            return arrival
        if self.ends in ("elapsed", "arrives"):
            return axis.start_minute(position) + self.task.span_minutes
        return axis.end_minute(position + of.length) - of.pad

    def waits_for_morning(self, axis: Axis, position: int) -> bool:
        """Return whether something that arrives is throttled to do so when the next day opens."""
        day = position // axis.units
        return self.overnight_from[day] <= position < self.next_day_from[day]

    def runs_overnight(self, axis: Axis, position: int) -> bool:
        """Return whether something that arrives does so on the day after the one it is begun on."""
        return position >= self.overnight_from[position // axis.units]

    def end_position(self, axis: Axis, position: int, of: StartClass) -> int:
        """Return the position at which the task is over; a night rounds up."""
        if self.ends == "length":
            return position + of.length
        return max(position, axis.end_position(self.end_minute(axis, position, of)))

    def weather_dollars(self, minute: int) -> int:
        """Return what the sky costs a start at ``minute``: expected loss and what is prepared [dollars]."""
        for one in self.task.weather:
            if one.start <= minute < one.end:
                way = taken(one)
                return one.dollars if way is None else way[0]
        return 0

    def class_at(self, axis: Axis, position: int, crews: tuple[str, ...], end: int) -> StartClass | None:
        """Return the class of a start on ``position`` with ``crews``, rather one that ends at minute ``end``."""
        fitting = [
            one
            for one in self.classes
            if one.crews == crews and any(first <= position <= last for first, last in one.runs)
        ]
        exact = (one for one in fitting if self.end_minute(axis, position, one) == end)
        return next(exact, fitting[0] if fitting else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidates:
    """The allowed starts of every task, and a clash for each task that has none.

    ``is_whole`` says whether every choice of crews is among them; where it is not, nothing can be proven.
    """

    axis: Axis
    tasks: tuple[TaskStarts, ...]
    clashes: tuple[Clash, ...]
    is_whole: bool = True


def find_candidates(problem: Problem, standing: Mapping[str, tuple[str, ...]] | None = None) -> Candidates:
    """Return the allowed starts of every task: all of them, save where a task has very many choices of crews.

    Parameters
    ----------
    problem : Problem
        Free of faults.
    standing : mapping, optional
        Crews by task that must be among the choices, however many there are; crews people were told always are.

    Returns
    -------
    Candidates
        With one clash for each task that has no allowed start, naming the gate that shut it.
    """
    axis = Axis.of(problem)
    hours = Hours(problem, axis)
    search = _Search(axis, hours, PaidStarts(axis, hours, problem.crews))
    wanted: dict[str, Wanted] = {told.task: (told.crews,) for told in problem.told}
    for key, crews in (standing or {}).items():
        wanted[key] = (*wanted.get(key, ()), crews)
    found: list[TaskStarts] = []
    clashes: list[Clash] = []
    is_whole = True
    for number, task in enumerate(problem.tasks):
        starts: TaskStarts | Clash
        if task.pin is None:
            starts, these_are_all = search.run(task, number % TURNS, wanted.get(task.key, ()))
            is_whole = is_whole and these_are_all
        else:
            starts = pinned_starts(task, axis)
            if not starts.classes:
                starts = _clash(task, "crews")
        if isinstance(starts, Clash):
            clashes.append(starts)
        else:
            found.append(starts)
    return Candidates(axis=axis, tasks=tuple(found), clashes=tuple(clashes), is_whole=is_whole)


def pinned_starts(task: Task, axis: Axis) -> TaskStarts:
    """Return the one start of a pinned task, with each choice of crews the pin leaves."""
    pin = task.pin
    assert pin is not None
    at = axis.floor_position(pin.start)
    length = max(0, axis.end_position(pin.end) - at)
    price = {
        (at_need, option.crew): option.dollars for at_need, need in enumerate(task.needs) for option in need.options
    }
    choices = [pin.crews] if pin.crews else [choice.crews for choice in all_choices(task)]
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


# In place of a turn: no selection.
EVERY = -1
# Crews, their price, how much of it is for paid hours, and the starts.
Offer = tuple[tuple[str, ...], int, int, Unbound]
Offers = tuple[Offer, ...]
Wanted = tuple[tuple[str, ...], ...]
Sieves = tuple[tuple[str, int | None], ...]


class _Search:
    """Finds the starts of tasks; where there are none, sieve by sieve, so that the gate that shuts it is named."""

    def __init__(self, axis: Axis, hours: Hours, paid: PaidStarts) -> None:
        self._paid = paid
        self._axis = axis
        self._hours = hours
        self._known: dict[tuple[object, ...], Unbound] = {}
        self._runs: dict[int, Runs] = {}
        self._offered: dict[tuple[object, ...], tuple[Offers, bool]] = {}
        self._classes: dict[tuple[int, int], tuple[StartClass, ...]] = {}
        self._every_day = mask_of((day * axis.units, day * axis.units) for day in range(len(axis.opens)))

    def run(self, task: Task, turn: int, wanted: Wanted) -> tuple[TaskStarts | Clash, bool]:
        """Return the starts, or the clash naming the sieve nothing passed, and whether all crews were asked."""
        sieves = self._sieves(task)
        found, are_all = self._starts(task, turn, wanted, sieves)
        if not found.classes and not are_all:
            found, are_all = self._starts(task, EVERY, (), sieves)
        if found.classes:
            return found, are_all
        depths = []
        for minutes, sky in starts_by_added_minutes(task, self._axis):
            offers, _ = self._offers(task, EVERY, (), minutes)
            depths += [self._depth(found, unbound, (*sieves, ("weather", sky))) for *_, unbound in offers]
        furthest = max(depths, default=-1)
        gate = "crews" if task.needs else "calendar"
        return _clash(task, gate if furthest < 0 else (*sieves, ("weather", 0))[furthest][0]), are_all

    def _offers(self, task: Task, turn: int, wanted: Wanted, added_minutes: int) -> tuple[Offers, bool]:
        """Crews, price and starts by hours of every choice, and whether these are all; alike tasks share them."""
        how = (task.run, task.splits_nights, task.splits_weekends, task.opening_only, task.long_day)
        many = (turn, wanted) if has_many(task) else ()
        key = (task.needs, task.calendar, task.span_minutes, how, many, added_minutes)
        if key not in self._offered:
            choices, are_all = some_choices(task, turn, wanted) if turn >= 0 else (all_choices(task), True)
            offers = tuple(
                offer for choice in choices for offer in self._offers_of(task, choice, choice.minutes + added_minutes)
            )
            self._offered[key] = offers, are_all
        return self._offered[key]

    def _offers_of(self, task: Task, choice: Choice, minutes: int) -> Iterator[Offer]:
        """The choice in its usual hours, then in those it works for pay, by what these cost."""
        _, usual = self._unbound(task, choice, minutes)
        yield choice.crews, choice.dollars, 0, usual
        if task.run == "work" and any(option.paid_calendar for option in choice.options):
            days, unbound = self._unbound(task, choice, minutes, paid=True)
            for dollars, starts in self._paid.split(choice, days, unbound, usual):
                yield choice.crews, choice.dollars + dollars, dollars, starts

    def _starts(self, task: Task, turn: int, wanted: Wanted, sieves: Sieves) -> tuple[TaskStarts, bool]:
        """The starts that pass, and whether all crews were asked."""
        allowed = reduce(and_, (sieve for _, sieve in sieves if sieve is not None))
        starts = TaskStarts(task=task, ends=_ends(task), classes=())
        classes: tuple[StartClass, ...] = ()
        are_all = True
        for minutes, sky in starts_by_added_minutes(task, self._axis):
            offers, are_all = self._offers(task, turn, wanted, minutes)
            if offers and offers[-1][3].arrivals:
                starts = _with_arrivals(starts, offers[-1][3])
            made = self._classes_of(starts, offers, allowed & sky)
            classes = (*classes, *made) if classes else made
        return replace(starts, classes=classes, levels=levels(task, self._axis)), are_all

    def _classes_of(self, starts: TaskStarts, offers: Offers, allowed: int) -> tuple[StartClass, ...]:
        """The starts with any of the offers; tasks that differ only in name share their classes."""
        key = (id(offers), allowed)
        classes = self._classes.get(key) if not starts.task.windows else None
        if classes is None:
            # Choices with the same hours and minutes have the same starts.
            passing = {id(unbound): unbound for *_, unbound in offers}
            runs = {which: self._passing(starts, unbound, allowed) for which, unbound in passing.items()}
            classes = tuple(
                StartClass(crews=crews, dollars=dollars, length=length, pad=pad, runs=those, paid=paid)
                for crews, dollars, paid, unbound in offers
                for length, pad, those in runs[id(unbound)]
            )
            if not starts.task.windows:
                self._classes[key] = classes
        return classes

    def _sieves(self, task: Task) -> Sieves:
        """What a start must pass before the sky, in the order in which it is named; None if that depends on its end."""
        axis = self._axis
        low = axis.start_position(task.earliest)
        high = axis.size - 1 if task.latest_start is None else axis.last_start_position(task.latest_start)
        by_hour = self._early_hours(task)
        return ("dates", mask_of([(low, high)])), ("hour", by_hour), ("site", None)

    def _passing(self, starts: TaskStarts, unbound: Unbound, allowed: int) -> tuple[tuple[int, int, Runs], ...]:
        """Length, pad and runs of the starts that pass every sieve."""
        found = []
        for (length, pad), mask in unbound.masks:
            passed = self._on_site(starts, (length, pad), mask & allowed)
            if passed and passed not in self._runs:
                self._runs[passed] = runs_of(passed)
            if passed:
                found.append((length, pad, self._runs[passed]))
        return tuple(found)

    def _depth(self, starts: TaskStarts, unbound: Unbound, sieves: Sieves) -> int:
        """Number of the first sieve that nothing passes; -1 if there is nothing to sieve."""
        furthest = -1
        starts = _with_arrivals(starts, unbound)
        for time, starting in unbound.masks:
            mask, depth = starting, -1 + bool(starting)
            while mask and depth < len(sieves):
                sieve = sieves[depth][1]
                mask &= self._on_site(starts, time, mask) if sieve is None else sieve
                depth += bool(mask)
            furthest = max(furthest, depth)
        return furthest

    def _early_hours(self, task: Task) -> int:
        """Starts of every day up to the latest hour the task may start at."""
        until = self._axis.units
        if task.start_by_minutes is not None:
            until = min(until, task.start_by_minutes // self._axis.grid_minutes + 1)
        return self._every_day * ((1 << until) - 1)

    def _on_site(self, starts: TaskStarts, time: tuple[int, int], mask: int) -> int:
        """Starts whose whole stay lies inside one of the site's windows; a later start never ends earlier."""
        if not starts.task.windows or not mask:
            return mask
        axis = self._axis
        allowed = 0
        one = StartClass(crews=(), dollars=0, length=time[0], pad=time[1], runs=())
        positions = [position for first, last in runs_of(mask) for position in range(first, last + 1)]
        for span in starts.task.windows:
            fitting = bisect_right(positions, span.end, key=lambda position: starts.end_minute(axis, position, one))
            if fitting:
                allowed |= mask_of([(axis.start_position(span.start), positions[fitting - 1])])
        return mask & allowed

    def _unbound(self, task: Task, choice: Choice, minutes: int, *, paid: bool = False) -> tuple[DayList, Unbound]:
        long_day = task.long_day and task.run in ("work", "attended")
        days = self._hours.of(task.calendar, choice.options, long_day=long_day, paid=paid)
        # Crews with the same hours share one list of days.
        key = (id(days), minutes, task.run, task.splits_nights, task.splits_weekends, task.opening_only)
        if key not in self._known:
            self._known[key] = starts_by_hours(task, days, minutes, self._axis)
        return days, self._known[key]


def _with_arrivals(starts: TaskStarts, unbound: Unbound) -> TaskStarts:
    since, until = unbound.overnight_from, unbound.next_day_from
    return replace(starts, arrivals=unbound.arrivals, overnight_from=since, next_day_from=until)


def _ends(task: Task) -> Literal["length", "elapsed", "arrives"]:
    if task.run == "arrives":
        return "arrives"
    # Something without length ends where it starts, which no position of an end can say.
    instant = not task.needs and not task.span_minutes
    return "elapsed" if instant or task.run == "elapsed" else "length"
