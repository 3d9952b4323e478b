"""Refuses a problem that makes no sense as data, before anybody tries to solve it.

A fault is a mistake in the input, not a clash of wishes: a plan that cannot exist is an answer of the solver.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from jobs.domain.errors import CannotDo
from jobs.words import sentence_for
from planner.solver.checks.days import Days
from planner.solver.checks.runs import intersect
from planner.solver.problem import Calendar, Link, Problem, StartWeather, Task, Wait


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One mistake in the input: its code in ``jobs.words``, the thing it is in, and the values the sentence names."""

    code: str
    field: str
    facts: tuple[tuple[str, object], ...] = ()

    @property
    def says(self) -> str:
        """The sentence, with its remedy."""
        return " ".join(sentence_for(self.code, {"field": self.field, **dict(self.facts)}))


def find_faults(problem: Problem) -> tuple[Fault, ...]:
    """Every mistake in the input, in a fixed order; later checks wait until the days and keys make sense.

    Parameters
    ----------
    problem : Problem
        Any values at all.

    Returns
    -------
    tuple of Fault
        Empty if the problem may be solved.
    """
    faults = tuple(_horizon_faults(problem))
    if faults:
        return faults
    faults = (*_double_faults(problem), *_dangling_faults(problem))
    if faults:
        return faults
    found: list[Fault] = []
    for calendar in problem.calendars:
        found.extend(_calendar_faults(calendar, problem))
    for task in problem.tasks:
        found.extend(_task_faults(task, problem.grid_minutes))
        found.extend(_stretch_faults(task, problem.grid_minutes))
    for link in problem.links:
        found.extend(_link_faults(link))
    found.extend(_paid_faults(problem))
    found.extend(_drive_faults(problem))
    found.extend(_cycle_faults(problem))
    found.extend(_amount_faults(problem))
    return tuple(found)


def refuse_faulty(problem: Problem) -> None:
    """Let a problem without faults pass.

    Raises
    ------
    CannotDo
        For the first fault, naming the thing and the remedy.
    """
    for fault in find_faults(problem):
        raise CannotDo(fault.code, field=fault.field, **dict(fault.facts))


def _fault(code: str, where: str, **facts: object) -> Fault:
    return Fault(code=f"problem.{code}", field=where, facts=tuple(facts.items()))


def _horizon_faults(problem: Problem) -> Iterator[Fault]:
    if problem.origin_at.utcoffset() is None:
        yield _fault("origin", "origin")
    if problem.grid_minutes < 1:
        yield _fault("grid", "grid", value=problem.grid_minutes)
        return
    if not problem.days:
        yield _fault("no_days", "days")
        return
    for before, day in pairwise(problem.days):
        if (day.on - before.on).days != 1 or day.opens < before.closes:
            yield _fault("days_order", "days", on=day.on.isoformat(), before=before.on.isoformat())
    first = problem.days[0]
    expected = first.closes - first.opens
    if expected <= 0:
        yield _fault("span", "days", name=f"The window of {first.on.isoformat()}", start=first.opens, end=first.closes)
    elif expected % problem.grid_minutes:
        yield _fault("off_grid", "days", name="The planning window", value=expected, grid=problem.grid_minutes)
    for day in problem.days:
        if day.closes - day.opens != expected:
            on, at = day.on.isoformat(), first.on.isoformat()
            yield _fault("day_length", "days", on=on, minutes=day.closes - day.opens, first=at, expected=expected)
        long_day = first.long_closes - first.opens
        if day.long_until is not None and not day.opens < day.long_until <= day.closes:
            name = f"The long day of {day.on.isoformat()}"
            yield _fault("span", "days", name=name, start=day.opens, end=day.long_until)
        elif day.closes - day.opens == expected and day.long_closes - day.opens != long_day:
            on, at = day.on.isoformat(), first.on.isoformat()
            minutes = day.long_closes - day.opens
            yield _fault("day_length", "days", on=on, minutes=minutes, first=at, expected=long_day)


def _double_faults(problem: Problem) -> Iterator[Fault]:
    named = {
        "calendars": [calendar.key for calendar in problem.calendars],
        "crews": [crew.key for crew in problem.crews],
        "tasks": [task.key for task in problem.tasks],
        "kinds of gear": [gear.key for gear in problem.gear],
        "daily limits": [limit.key for limit in problem.limits],
        "announced starts": [told.task for told in problem.told],
    }
    for what, keys in named.items():
        yield from (_fault("twice", key, what=what, key=key) for key, count in Counter(keys).items() if count > 1)
    for task in problem.tasks:
        for need in task.needs:
            crews = [option.crew for option in need.options]
            if len(set(crews)) == len(crews):
                continue
            what = f"options for {need.trade} of {task.key}"
            yield from (
                _fault("twice", task.key, what=what, key=key) for key, count in Counter(crews).items() if count > 1
            )
    for limit in problem.limits:
        what = f"tasks in {limit.key}"
        keys_in = Counter(limit.tasks)
        yield from (_fault("twice", limit.key, what=what, key=key) for key, count in keys_in.items() if count > 1)


def _named_things(problem: Problem) -> Iterator[tuple[str, str, str]]:
    """Every reference of the problem that is not plainly known: who names it, the kind of thing, its key."""
    crews = {crew.key for crew in problem.crews}
    for crew in problem.crews:
        yield crew.key, "calendar", crew.calendar
    for task in problem.tasks:
        if task.calendar:
            yield task.key, "calendar", task.calendar
        for need in task.needs:
            if not crews.issuperset([option.crew for option in need.options]):
                yield from ((task.key, "crew", option.crew) for option in need.options)
            yield from ((task.key, "calendar", option.calendar) for option in need.options if option.calendar)
            yield from ((task.key, "calendar", option.paid_calendar) for option in need.options if option.paid_calendar)
        if task.pin is not None:
            yield from ((task.key, "crew", key) for key in task.pin.crews)
    for link in problem.links:
        yield _link_name(link), "task", link.before
        yield _link_name(link), "task", link.after
    for hold in problem.holds_of_gear:
        yield f"the hold of {hold.gear}", "gear", hold.gear
        if hold.since is None and hold.from_task:
            yield f"the hold of {hold.gear}", "task", hold.from_task
        yield f"the hold of {hold.gear}", "task", hold.until_task
    for limit in problem.limits:
        yield from ((limit.key, "task", key) for key in limit.tasks)
    for promise in problem.promises:
        yield f"the promise of {promise.job}", "task", promise.task
    for term in problem.open_days:
        if term.since is None and term.from_task:
            yield f"the open days of {term.job}", "task", term.from_task
        yield f"the open days of {term.job}", "task", term.until_task
    for told in problem.told:
        yield "what people were told", "task", told.task
        yield from (("what people were told", "crew", key) for key in told.crews)


def _dangling_faults(problem: Problem) -> Iterator[Fault]:
    known = {
        "calendar": {calendar.key for calendar in problem.calendars},
        "crew": {crew.key for crew in problem.crews},
        "task": {task.key for task in problem.tasks},
        "gear": {gear.key for gear in problem.gear},
    }
    for where, what, key in _named_things(problem):
        if key not in known[what]:
            yield _fault("unknown", where, what=what, key=key or "nothing")


def _calendar_faults(calendar: Calendar, problem: Problem) -> Iterator[Fault]:
    days = Days(problem.days)
    for before, span in pairwise(calendar.windows):
        if span.start < before.end:
            yield _fault("windows_order", calendar.key, start=span.start)
        elif days.index(span.start) == days.index(before.start):
            on = problem.days[max(0, min(days.index(span.start), len(problem.days) - 1))].on
            yield _fault("window_two_a_day", calendar.key, on=on.isoformat())
    for span in calendar.windows:
        day = days.window_holding(span.start)
        if span.end <= span.start:
            yield _fault("span", calendar.key, name="A window", start=span.start, end=span.end)
        elif day is None or span.end > day.closes:
            yield _fault("window_outside_day", calendar.key, start=span.start, end=span.end)
        elif (span.start - day.opens) % problem.grid_minutes:
            late = span.start - day.opens
            yield _fault("off_grid", calendar.key, name="An opening", value=late, grid=problem.grid_minutes)


def _task_faults(task: Task, grid: int) -> Iterator[Fault]:
    if task.run == "work" and not task.needs:
        yield _fault("no_needs", task.key)
    if task.run != "work" and task.needs:
        yield _fault("needs_without_work", task.key, run=task.run)
    if task.splits_weekends and not task.splits_nights:
        yield _fault("weekend_without_night", task.key)
    for need in task.needs:
        if not need.options:
            yield _fault("no_options", task.key, trade=need.trade)
        for option in need.options:
            if option.work_minutes <= 0:
                yield _fault("not_positive", task.key, name=f"The work of {option.crew}", value=option.work_minutes)
            elif task.pin is None and option.work_minutes % grid:
                name = f"The work of {option.crew}"
                yield _fault("off_grid", task.key, name=name, value=option.work_minutes, grid=grid)
            if option.dollars < 0:
                yield _fault("negative", task.key, name=f"The price of {option.crew}", value=option.dollars)
    if task.span_minutes < 0:
        yield _fault("negative", task.key, name="The length", value=task.span_minutes)
    if task.run == "attended" and task.span_minutes == 0:
        yield _fault("not_positive", task.key, name="The length", value=0)
    if task.start_by_minutes is not None and task.start_by_minutes < 0:
        yield _fault("negative", task.key, name="The latest start of the day", value=task.start_by_minutes)


def _paid_faults(problem: Problem) -> Iterator[Fault]:
    """Paid hours that leave out some of a crew's own."""
    windows = {calendar.key: calendar.windows for calendar in problem.calendars}
    own = {crew.key: crew.calendar for crew in problem.crews}
    seen: set[tuple[str, str]] = set()
    for task in problem.tasks:
        for option in (option for need in task.needs for option in need.options if option.paid_calendar):
            pair = (option.calendar or own[option.crew], option.paid_calendar)
            if pair in seen:
                continue
            seen.add(pair)
            usual, paid = (windows[key] for key in pair)
            if intersect(usual, paid) != usual:
                yield _fault("paid_narrower", option.paid_calendar, crew=option.crew)


def _drive_faults(problem: Problem) -> Iterator[Fault]:
    """Drives to nowhere, from a site to itself, told twice, or backwards in time."""
    sites = {task.site for task in problem.tasks if task.site}
    seen: set[frozenset[str]] = set()
    for drive in problem.drives:
        where = f"the drive from {drive.sites[0]} to {drive.sites[1]}"
        pair = frozenset(drive.sites)
        yield from (
            _fault("unknown", where, what="site", key=site or "nothing") for site in drive.sites if site not in sites
        )
        if len(pair) < 2 or pair in seen:
            yield _fault("twice", where, what="drives", key=" and ".join(drive.sites))
        seen.add(pair)
        if drive.minutes < 0:
            yield _fault("negative", where, name="The drive", value=drive.minutes)


def _stretch_faults(task: Task, grid: int) -> Iterator[Fault]:
    if task.pin is not None:
        if task.pin.end < task.pin.start:
            yield _fault("pin_end", task.key, start=task.pin.start, end=task.pin.end)
        given = task.pin.crews
        if given and (len(given) != len(task.needs) or len(set(given)) != len(given)):
            names = ", ".join(given)
            yield _fault("pin_crews", task.key, given=len(given), crews=names, needed=len(task.needs))
    for span in task.windows:
        if span.end <= span.start:
            yield _fault("span", task.key, name="A window", start=span.start, end=span.end)
    for segment in task.weather:
        if segment.end <= segment.start:
            yield _fault("span", task.key, name="Weather", start=segment.start, end=segment.end)
        if segment.dollars < 0:
            yield _fault("negative", task.key, name="The weather's price", value=segment.dollars)
        if segment.ways:
            yield from _preparing_faults(task, segment, grid)
    for before, segment in pairwise(task.weather):
        if segment.start < before.end:
            yield _fault("windows_order", f"the weather of {task.key}", start=segment.start)


def _preparing_faults(task: Task, segment: StartWeather, grid: int) -> Iterator[Fault]:
    titles = Counter(way.title for way in segment.ways)
    what = f"ways to prepare {task.key}"
    yield from (_fault("twice", task.key, what=what, key=key) for key, count in titles.items() if count > 1)
    for way in segment.ways:
        for name, value in (("price", way.dollars), ("loss", way.loss_dollars), ("time", way.minutes)):
            if value < 0:
                yield _fault("negative", task.key, name=f"The {name} of {way.title}", value=value)
        if way.minutes and task.run != "work":
            yield _fault("preparing_without_work", task.key, title=way.title, run=task.run)
        elif way.minutes > 0 and way.minutes % grid:
            yield _fault("off_grid", task.key, name=f"The time of {way.title}", value=way.minutes, grid=grid)


def _link_name(link: Link) -> str:
    return f"the link from {link.before} to {link.after}"


def _link_faults(link: Link) -> Iterator[Fault]:
    where = _link_name(link)
    if link.min_minutes < 0:
        yield _fault("negative", where, name="The least wait", value=link.min_minutes)
    if link.max_minutes is not None and link.max_minutes < max(0, link.min_minutes):
        yield _fault("link_limits", where, least=link.min_minutes, most=link.max_minutes)
    for name, wait in (("The least wait", link.ready), ("The longest wait", link.close)):
        if wait is not None:
            yield from _wait_faults(wait, where, name)


def _wait_faults(wait: Wait, where: str, name: str) -> Iterator[Fault]:
    if not wait.steps:
        yield _fault("steps_empty", where, name=name)
    for (until, value), (later, later_value) in pairwise(wait.steps):
        if later <= until or later_value < value:
            yield _fault("steps_order", where, name=name, until=later)


def _cycle_faults(problem: Problem) -> Iterator[Fault]:
    sorter: TopologicalSorter[str] = TopologicalSorter({task.key: () for task in problem.tasks})
    for link in problem.links:
        sorter.add(link.after, link.before)
    try:
        sorter.prepare()
    except CycleError as error:
        path = " → ".join(error.args[1])
        yield _fault("cycle", error.args[1][0], path=path)


def _amount_faults(problem: Problem) -> Iterator[Fault]:
    for where, name, value in _amounts(problem):
        if value < 0:
            yield _fault("negative", where, name=name, value=value)
    for hold in problem.holds_of_gear:
        if hold.since is None and not hold.from_task:
            yield _fault("no_beginning", f"the hold of {hold.gear} until {hold.until_task}")
    for term in problem.open_days:
        if term.since is None and not term.from_task:
            yield _fault("no_beginning", f"the open days of {term.job}")


def _amounts(problem: Problem) -> Iterator[tuple[str, str, int]]:
    """Every number of the branch-wide terms that may not be negative: where it is, its name, its value."""
    for crew in problem.crews:
        yield crew.key, "The price of an hour of overtime", crew.overtime_dollars
        yield crew.key, "The price of an hour on a day off", crew.day_off_dollars
    yield from ((gear.key, "The count", gear.count) for gear in problem.gear)
    yield from ((limit.key, "The count", limit.count) for limit in problem.limits)
    for hold in problem.holds_of_gear:
        yield f"the hold of {hold.gear} until {hold.until_task}", "The amount", hold.amount
    for promise in problem.promises:
        yield f"the promise of {promise.job}", "The price of a day", promise.dollars_per_day
    for term in problem.open_days:
        yield f"the open days of {term.job}", "The price of a day", term.dollars_per_day
    for told in problem.told:
        where = f"what people were told of {told.task}"
        yield where, "The price of a move", told.move_dollars
        yield where, "The price of a day moved", told.day_dollars
        yield where, "The price of another crew", told.crew_dollars
