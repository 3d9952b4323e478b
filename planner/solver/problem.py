"""The scheduling problem of one branch, as plain frozen values.

Time
----
Every moment is a whole number of elapsed minutes since ``Problem.origin_at`` (aware, UTC), on a grid of
``grid_minutes``. ``Problem.days`` lists every calendar day of the horizon (weekends too) with the branch's
planning window of that day; all windows have the same length, so that the axis with nights cut out has the
same number of grid units each day. On a day when clocks change only the distance between two days' windows
differs. Dollars are whole.
"""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal

TaskKind = Literal["work", "clock", "visit", "delivery"]

# How the end of a task follows from its start:
#   work      working minutes inside the crew's windows (pauses outside them if it may split)
#   attended  working minutes inside the task's calendar, no crew (a fill somebody looks after)
#   elapsed   minutes on the clock, day and night (a wet cure)
#   arrives   ends after its minutes where that is inside the window it starts in or that of the next day; where
#             it falls in the night between, it is throttled to end when the next day opens
#   visit     an outsider's arrival span: from its start to ``span_minutes`` later, one day
Run = Literal["work", "attended", "elapsed", "arrives", "visit"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Half-open stretch of minutes."""

    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One calendar day of the horizon with the branch's planning window [minutes since origin].

    ``long_until`` is how long ``long_day`` work may run, the whole window where it is not given: the evening after it
    is only for crews whose calendar reaches into it. ``clock`` is the local hour of opening [minutes after midnight],
    only for saying moments; ``None`` if not known.
    """

    on: date
    opens: int
    closes: int
    clock: int | None = None
    long_until: int | None = None

    @property
    def long_closes(self) -> int:
        """How long ``long_day`` work may run."""
        return self.closes if self.long_until is None else self.long_until


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Working windows, ascending, disjoint, at most one a day: a crew's, an authority's, the branch's."""

    key: str
    windows: tuple[Span, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """A crew that does one thing at a time in its calendar's windows.

    Outside them it works only for pay, where an option names its ``paid_calendar``: ``overtime_dollars`` an hour on
    days its calendar has hours, ``day_off_dollars`` an hour on others.
    """

    key: str
    name: str
    calendar: str
    overtime_dollars: int = 0
    day_off_dollars: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewOption:
    """One crew that could fill a need: working minutes it would take, and what choosing it costs [dollars].

    ``calendar`` replaces the crew's own for this task, empty where it does not: days on which too few come are
    left out, and days on which fewer come are shorter. ``paid_calendar`` holds these hours and those the crew would
    work for pay, empty where there are none.
    """

    crew: str
    work_minutes: int
    dollars: int = 0
    calendar: str = ""
    paid_calendar: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """Exactly one of the options is taken; a task with two needs takes two different crews jointly."""

    trade: str
    options: tuple[CrewOption, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparing:
    """What can be prepared for a start: its price, the loss left to expect [dollars], and work it adds [minutes]."""

    title: str
    dollars: int
    loss_dollars: int
    minutes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class StartWeather:
    """What the sky does to a start inside [start, end): forbidden, or allowed at an expected loss [dollars].

    ``ways`` are what can be prepared, each of them enough where the bare start is forbidden. A start goes the way that
    costs least, loss and price together; where that is ``settled``, the first of ``ways``, or bare without any.
    """

    start: int
    end: int
    forbidden: bool
    dollars: int
    reason: str = ""
    ways: tuple[Preparing, ...] = ()
    settled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A start that may not change: work under way, or frozen by the office. ``end`` is what remains' end."""

    start: int
    end: int
    crews: tuple[str, ...] = ()
    why: Literal["started", "frozen"] = "frozen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One open task (finished tasks are not in the problem: their links became ``earliest`` of others).

    ``earliest`` and ``latest_start`` bound the start. ``long_day`` work may run past its crew's hours to
    ``Day.long_closes`` (a pour). ``windows`` restrict the whole stay on site (empty = no restriction).
    ``site`` is where it is done, empty where that is nowhere in particular.
    ``start_by_minutes``: latest start after the day opens (None = any). ``opening_only``: starts exactly when
    its calendar's day opens.
    """

    key: str
    job: str
    title: str
    kind: TaskKind
    run: Run
    needs: tuple[Need, ...] = ()
    span_minutes: int = 0
    calendar: str = ""
    splits_nights: bool = False
    splits_weekends: bool = False
    long_day: bool = False
    opening_only: bool = False
    start_by_minutes: int | None = None
    earliest: int = 0
    earliest_why: str = ""
    latest_start: int | None = None
    latest_why: str = ""
    windows: tuple[Span, ...] = ()
    weather: tuple[StartWeather, ...] = ()
    pin: Pin | None = None
    site: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """How long a crew drives from one site to another, either way [minutes]."""

    sites: tuple[str, str]
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """A lag that depends on when it begins: non-decreasing steps ``(until, value)``.

    For a moment ``t`` the value is that of the first step with ``t <= until``; past the last step there is
    none (the start is not allowed).
    """

    steps: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """``after`` may start once ``before`` has ended and the wait is over.

    Minimum: ``min_minutes`` of elapsed time, or ``ready`` (steps from end of ``before`` to the earliest start
    of ``after``). Maximum, end to start: ``max_minutes`` of elapsed time, or ``close`` (steps from the end of
    ``before`` to the latest start of ``after``).
    """

    before: str
    after: str
    kind: str
    min_minutes: int = 0
    ready: Wait | None = None
    max_minutes: int | None = None
    close: Wait | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GearHold:
    """``amount`` pieces of ``gear`` held from the start of one task to the end of another.

    ``since`` is given instead of ``from_task`` where the first task is already finished or started before
    the horizon.
    """

    gear: str
    from_task: str
    until_task: str
    amount: int = 1
    since: int | None = None
    whole_days: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """A counted kind of gear of the branch."""

    key: str
    name: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyLimit:
    """At most ``count`` of ``tasks`` may start on one calendar day (an inspector's round, a pump)."""

    key: str
    tasks: tuple[str, ...]
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """Lateness of a job: dollars for each calendar day (begun) that ``task`` ends after ``due``."""

    job: str
    task: str
    due: int
    dollars_per_day: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDays:
    """Dollars for each calendar day between the start of one task and the end of another (an open dig).

    ``since`` as in ``GearHold``.
    """

    job: str
    from_task: str
    until_task: str
    dollars_per_day: int
    since: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What people were told of a start: dollars if its day moves, per day moved, and if its crews change."""

    task: str
    start: int
    crews: tuple[str, ...]
    move_dollars: int
    day_dollars: int
    crew_dollars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Everything the solver may know."""

    branch: str
    origin_at: datetime
    grid_minutes: int
    days: tuple[Day, ...]
    calendars: tuple[Calendar, ...]
    crews: tuple[Crew, ...]
    tasks: tuple[Task, ...]
    links: tuple[Link, ...] = ()
    gear: tuple[Gear, ...] = ()
    holds_of_gear: tuple[GearHold, ...] = ()
    limits: tuple[DailyLimit, ...] = ()
    promises: tuple[Promise, ...] = ()
    open_days: tuple[OpenDays, ...] = ()
    told: tuple[Told, ...] = ()
    drives: tuple[Drive, ...] = ()
    notes: tuple[str, ...] = field(default=())
