"""Grid, calendars and run kinds: where a start may lie and how the end follows from it."""

from bisect import bisect_right
from collections.abc import Iterator

from planner.solver.checks.days import Days
from planner.solver.checks.placed import Placed
from planner.solver.checks.preparing import way_at
from planner.solver.problem import Problem, Span, Task
from planner.solver.result import Assignment, Breach

Windows = tuple[Span, ...]


class TaskWindows:
    """The windows of a task with the crews chosen: its own calendar and theirs, intersected."""

    def __init__(self, problem: Problem, days: Days) -> None:
        self._days = days
        self._calendars = {calendar.key: calendar.windows for calendar in problem.calendars}
        self._crew_calendars = {crew.key: crew.calendar for crew in problem.crews}
        self._planning: Windows = tuple(Span(start=day.opens, end=day.closes) for day in problem.days)
        self._known: dict[tuple[str, tuple[str, ...], bool], Windows] = {}
        self._stretched: dict[str, Windows] = {}

    def of(self, task: Task, crews: tuple[str, ...], *, stretched: bool, paid: bool = False) -> Windows:
        """Windows in which the task may start, or (stretched) work.

        Parameters
        ----------
        task : Task
            The task.
        crews : tuple of str
            Keys of the crews chosen.
        stretched : bool
            Whether crews' windows reach as far as a long day.
        paid : bool
            Whether hours the crews work for pay count too.

        Returns
        -------
        tuple of Span
            Ascending, disjoint [minutes since origin].
        """
        calendars = tuple(sorted(self._of_crews(task, crews, paid=paid)))
        key = (task.calendar, calendars, stretched)
        if key not in self._known:
            sets = [self._stretch(name) if stretched else self._calendars[name] for name in calendars]
            if task.calendar:
                sets.append(self._calendars[task.calendar])
            windows = sets[0] if sets else self._planning
            for other in sets[1:]:
                windows = intersect(windows, other)
            self._known[key] = windows
        return self._known[key]

    def of_crew(self, task: Task, at: int, crew: str) -> Windows:
        """The crew's own windows for the need of a number: those of its option's calendar where it names one."""
        return self._calendars[self._brought(task, at, crew) or self._crew_calendars[crew]]

    def _of_crews(self, task: Task, crews: tuple[str, ...], *, paid: bool) -> set[str]:
        """Calendars of the crews: the crew's own, or the one its option brings for this task."""
        return {
            (self._brought(task, at, crew, paid=paid) if at < len(task.needs) else "") or self._crew_calendars[crew]
            for at, crew in enumerate(crews)
        }

    @staticmethod
    def _brought(task: Task, at: int, crew: str, *, paid: bool = False) -> str:
        option = next((option for option in task.needs[at].options if option.crew == crew), None)
        if option is None:
            return ""
        return (option.paid_calendar if paid else "") or option.calendar

    def _stretch(self, name: str) -> Windows:
        if name not in self._stretched:
            stretched = []
            for span in self._calendars[name]:
                day = self._days.window_holding(span.start)
                stretched.append(Span(start=span.start, end=max(span.end, day.long_closes if day else span.end)))
            self._stretched[name] = tuple(stretched)
        return self._stretched[name]


def intersect(left: Windows, right: Windows) -> Windows:
    """The stretches common to two ascending sets of spans.

    Examples
    --------
    >>> intersect((Span(start=0, end=5), Span(start=8, end=9)), (Span(start=3, end=9),))
    (Span(start=3, end=5), Span(start=8, end=9))
    """
    common = []
    i = j = 0
    while i < len(left) and j < len(right):
        start, end = max(left[i].start, right[j].start), min(left[i].end, right[j].end)
        if start < end:
            common.append(Span(start=start, end=end))
        if left[i].end < right[j].end:
            i += 1
        else:
            j += 1
    return tuple(common)


def holding(windows: Windows, minute: int) -> int | None:
    """Index of the window that holds the moment, if any."""
    index = bisect_right(windows, minute, key=lambda span: span.start) - 1
    return index if index >= 0 and minute < windows[index].end else None


def end_of_work(task: Task, start: int, minutes: int, windows: Windows, days: Days) -> int | str:
    """When ``minutes`` of work begun at ``start`` are used up inside ``windows``, or why it cannot be.

    Parameters
    ----------
    task : Task
        Says which pauses are allowed.
    start : int
        Inside one of the windows [minutes since origin].
    minutes : int
        Working time [minutes].
    windows : tuple of Span
        Working windows.
    days : Days
        The horizon.

    Returns
    -------
    int or str
        The end [minutes since origin], or a sentence that says which pause is not allowed.
    """
    index = holding(windows, start)
    if index is None:
        return "it starts outside working hours"
    moment = start
    left = minutes
    while left > windows[index].end - moment:
        left -= windows[index].end - moment
        if index + 1 == len(windows):
            return "its work does not end within the horizon"
        if not task.splits_nights:
            return "it does not fit into the day and may not stop over a night"
        apart = days.index(windows[index + 1].start) - days.index(windows[index].start)
        if apart > 1 and not task.splits_weekends:
            return "it would stop over days without work, which it may not"
        index += 1
        moment = windows[index].start
    return moment + left


def work_minutes(task: Task, crews: tuple[str, ...]) -> int:
    """Working time of a task with the crews chosen [minutes]: the longest of its joint crews'."""
    if not task.needs:
        return task.span_minutes
    chosen = zip(task.needs, crews, strict=False)
    return max((o.work_minutes for need, crew in chosen for o in need.options if o.crew == crew), default=0)


def _preparing_minutes(task: Task, start: int) -> int:
    way = way_at(task, start) if task.run == "work" else None
    return way.minutes if way is not None else 0


def end_by_run(
    task: Task, assignment: Assignment, windows: TaskWindows, days: Days, *, paid: bool = False
) -> int | str:
    """The end the run kind gives for the assignment's start and crews, or a sentence why there is none."""
    start = assignment.start
    plain = windows.of(task, assignment.crews, stretched=False, paid=paid)
    at = holding(plain, start)
    if at is None:
        return "it starts outside the hours of its crews or calendar"
    if task.run in ("work", "attended"):
        stretched = windows.of(task, assignment.crews, stretched=task.long_day, paid=paid)
        minutes = work_minutes(task, assignment.crews) + _preparing_minutes(task, start)
        return end_of_work(task, start, minutes, stretched, days)
    end = start + task.span_minutes
    if task.run == "arrives":
        return end if end <= plain[at].end else _arrival(start, end, plain[at + 1 :], days)
    if task.run == "visit" and end > plain[at].end:
        return "its arrival span does not fit into one day"
    return end


def _arrival(start: int, soonest: int, later: Windows, days: Days) -> int | str:
    if not later or days.index(later[0].start) != days.index(start) + 1:
        return "it would run over a day without work, and may over one night only"
    if soonest > later[0].end:
        return "it would not be over when the next day closes"
    return max(soonest, later[0].start)


def may_be_paid(task: Task, crews: tuple[str, ...]) -> bool:
    """Whether any of the crews chosen would work for pay."""
    chosen = zip(task.needs, crews, strict=False)
    return task.run == "work" and any(o.paid_calendar for need, crew in chosen for o in need.options if o.crew == crew)


def is_paid(task: Task, assignment: Assignment, windows: TaskWindows, days: Days) -> bool:
    """Whether an assignment runs in paid windows: its own do not give its end, and these do."""
    if task.pin is not None or not may_be_paid(task, assignment.crews):
        return False
    ends = (end_by_run(task, assignment, windows, days, paid=paid) for paid in (False, True))
    return tuple(end == assignment.end for end in ends) == (False, True)


def run_breaches(placed: Placed) -> Iterator[Breach]:
    """Pins, grid, calendar, run kind, opening and start-by of every task."""
    windows = TaskWindows(placed.problem, placed.days)
    known = {crew.key for crew in placed.problem.crews}
    for task, assignment in placed.pairs():
        if task.pin is not None:
            yield from _pin_breaches(task, assignment, placed.days)
            continue
        yield from _grid_breaches(task, assignment, placed)
        # Crews nobody knows have no calendar; the crews' own rule reports them.
        if known.issuperset(assignment.crews):
            yield from _end_breaches(task, assignment, windows, placed.days)


def _pin_breaches(task: Task, assignment: Assignment, days: Days) -> Iterator[Breach]:
    pin = task.pin
    assert pin is not None
    if (assignment.start, assignment.end) != (pin.start, pin.end):
        says = f"{task.title} is {pin.why} at {days.say(pin.start)} and may not move to {days.say(assignment.start)}."
        yield Breach(rule="pin", task=task.key, says=says)
    if pin.crews and assignment.crews != pin.crews:
        yield Breach(
            rule="pin", task=task.key, says=f"{task.title} is {pin.why} with {', '.join(pin.crews)}, no one else."
        )


def _grid_breaches(task: Task, assignment: Assignment, placed: Placed) -> Iterator[Breach]:
    start = assignment.start
    day = placed.days.window_holding(start)
    if day is None:
        says = f"{task.title} starts outside the day's planning hours ({placed.days.say(start)})."
        yield Breach(rule="grid", task=task.key, says=says)
    elif (start - day.opens) % placed.problem.grid_minutes:
        steps = f"two steps of {placed.problem.grid_minutes} minutes"
        says = f"{task.title} starts between {steps} ({placed.days.say(start)})."
        yield Breach(rule="grid", task=task.key, says=says)
    elif task.start_by_minutes is not None and start > day.opens + task.start_by_minutes:
        says = f"{task.title} starts at {placed.days.say(start)}, later in the day than it may."
        yield Breach(rule="start_by", task=task.key, says=says)


def _end_breaches(task: Task, assignment: Assignment, windows: TaskWindows, days: Days) -> Iterator[Breach]:
    paid = is_paid(task, assignment, windows, days)
    end = end_by_run(task, assignment, windows, days, paid=paid)
    if isinstance(end, str):
        yield Breach(
            rule="run", task=task.key, says=f"{task.title} cannot run from {days.say(assignment.start)}: {end}."
        )
        return
    if end != assignment.end:
        says = f"{task.title} ends at {days.say(end)}, not at {days.say(assignment.end)}."
        yield Breach(rule="run", task=task.key, says=says)
    plain = windows.of(task, assignment.crews, stretched=False, paid=paid)
    at = holding(plain, assignment.start)
    if task.opening_only and at is not None and plain[at].start != assignment.start:
        says = f"{task.title} starts at {days.say(assignment.start)}, but only when the day opens is allowed."
        yield Breach(rule="opening", task=task.key, says=says)
