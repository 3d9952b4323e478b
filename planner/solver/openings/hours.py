"""Working hours by day: the windows of a task with the crews chosen, and how work fills them."""

from collections.abc import Iterator
from dataclasses import dataclass

from planner.solver.axis import Axis
from planner.solver.problem import Calendar, CrewOption, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHours:
    """Hours of one day: starts from unit ``first`` while before ``starts_until``; work until ``works_until`` [min].

    Minutes count from the opening of the branch's day.
    """

    first: int
    starts_until: int
    works_until: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Starts of one day that all take the same time on the axis.

    ``pad`` is how far the true end lies before the position it is rounded up to [min].
    """

    first: int
    last: int
    length: int
    pad: int


DayList = tuple[DayHours | None, ...]


class Hours:
    """Looks up and intersects calendars, day by day.

    Parameters
    ----------
    problem : Problem
        Free of faults: at most one window a day, inside the branch's.
    axis : Axis
        Its axis.
    """

    def __init__(self, problem: Problem, axis: Axis) -> None:
        self._axis = axis
        self._long_minutes = problem.days[0].long_closes - problem.days[0].opens
        self._calendars = {calendar.key: calendar for calendar in problem.calendars}
        self._crew_calendars = {crew.key: crew.calendar for crew in problem.crews}
        self._plain: dict[str, tuple[tuple[int, int] | None, ...]] = {}
        self._known: dict[tuple[str, tuple[str, ...], bool], DayList] = {}
        # Calendars that are equal day by day have one list of days.
        self._shared: dict[DayList, DayList] = {}

    def of(self, calendar: str, options: tuple[CrewOption, ...], *, long_day: bool, paid: bool = False) -> DayList:
        """Return the hours of each day for a task's own calendar (may be empty) and its crews.

        Parameters
        ----------
        calendar : str
            Key of the task's own calendar, or empty.
        options : tuple of CrewOption
            Crews chosen; each brings its own calendar or that of the option.
        long_day : bool
            Whether crews may work on for a long day.
        paid : bool
            Whether hours the crews work for pay count too.

        Returns
        -------
        tuple
            One entry a day; None where nobody may start.
        """
        of_crews = tuple(
            (option.paid_calendar if paid else "") or option.calendar or self._crew_calendars[option.crew]
            for option in options
        )
        key = (calendar, of_crews, long_day)
        if key not in self._known:
            days = self._intersect(calendar, tuple(sorted(set(of_crews))), long_day=long_day)
            self._known[key] = self._shared.setdefault(days, days)
        return self._known[key]

    def _intersect(self, calendar: str, of_crews: tuple[str, ...], *, long_day: bool) -> DayList:
        own = [self._windows(calendar)] if calendar else []
        crews = [self._windows(key) for key in of_crews]
        close = self._axis.day_minutes
        if not own and not crews:
            return (DayHours(first=0, starts_until=close, works_until=close),) * len(self._axis.opens)
        days: list[DayHours | None] = []
        # Few days differ from all others.
        known: dict[tuple[tuple[int, int] | None, ...], DayHours | None] = {}
        for spans in zip(*own, *crews, strict=True):
            if spans not in known:
                known[spans] = self._one_day(spans, self._stretched(spans, len(own)) if long_day else spans)
            days.append(known[spans])
        return tuple(days)

    def _stretched(self, spans: tuple[tuple[int, int] | None, ...], own: int) -> tuple[tuple[int, int] | None, ...]:
        """The spans with those of crews, which come after the task's ``own``, reaching as far as a long day."""
        crews = (span and (span[0], max(span[1], self._long_minutes)) for span in spans[own:])
        return (*spans[:own], *crews)

    def _one_day(
        self, starting: tuple[tuple[int, int] | None, ...], working: tuple[tuple[int, int] | None, ...]
    ) -> DayHours | None:
        spans = [span for span in starting if span is not None]
        if len(spans) < len(starting):
            return None
        opens, closes = max(span[0] for span in spans), min(span[1] for span in spans)
        if opens >= closes:
            return None
        works = min(span[1] for span in working if span is not None)
        return DayHours(first=self._axis.on_grid(opens), starts_until=closes, works_until=works)

    def of_crew(self, option: CrewOption) -> tuple[tuple[int, int] | None, ...]:
        """Return the crew's own hours of each day, from the opening of the branch's day [min]; None on a day off."""
        return self._windows(option.calendar or self._crew_calendars[option.crew])

    def _windows(self, key: str) -> tuple[tuple[int, int] | None, ...]:
        if key not in self._plain:
            self._plain[key] = self._by_day(self._calendars[key])
        return self._plain[key]

    def _by_day(self, calendar: Calendar) -> tuple[tuple[int, int] | None, ...]:
        found: list[tuple[int, int] | None] = [None] * len(self._axis.opens)
        for span in calendar.windows:
            day = self._axis.day_index(span.start)
            opens = self._axis.opens[day]
            found[day] = (span.start - opens, span.end - opens)
        return tuple(found)


def work_stretches(
    days: DayList, minutes: int, axis: Axis, *, splits_nights: bool, splits_weekends: bool
) -> Iterator[Stretch]:
    """Yield, day by day, the starts from which ``minutes`` of work end within the horizon.

    For a start and an end on given days the time on the axis is the same whatever the hour, so a day has only
    one stretch for each day it could end on.

    Parameters
    ----------
    days : tuple
        Hours of each day.
    minutes : int
        Working time [min], > 0.
    axis : Axis
        The axis.
    splits_nights, splits_weekends : bool
        Whether the work may pause over a night, and over whole days without work.
    """
    grid = axis.grid_minutes
    for day, hours in enumerate(days):
        if hours is None:
            continue
        last_unit = (hours.starts_until - 1) // grid
        fits = min(last_unit, (hours.works_until - minutes) // grid)
        if fits >= hours.first:
            length = axis.on_grid(minutes)
            base = day * axis.units
            yield Stretch(first=base + hours.first, last=base + fits, length=length, pad=length * grid - minutes)
        if splits_nights:
            later = max(hours.first, fits + 1)
            yield from _split(days, day, (later, last_unit), minutes, axis, splits_weekends=splits_weekends)


def _split(
    days: DayList, day: int, units: tuple[int, int], minutes: int, axis: Axis, *, splits_weekends: bool
) -> Iterator[Stretch]:
    """Yield the stretches that begin on ``day`` in ``units`` and end on a later day."""
    hours = days[day]
    assert hours is not None
    grid = axis.grid_minutes
    low, high = units
    filled, seen = 0, day
    for end_day in range(day + 1, len(days)):
        then = days[end_day]
        if high < low or (end_day - seen > 1 and not splits_weekends):
            return
        if then is None:
            continue
        seen = end_day
        capacity = then.works_until - then.first * grid
        # Left for this day after a start at unit k: minutes - (works_until - k * grid) - filled.
        offset = minutes - hours.works_until - filled
        reach = min(high, (capacity - offset) // grid)
        if reach >= low:
            end_minutes = then.first * grid + offset
            shift = -(-end_minutes // grid)
            yield Stretch(
                first=day * axis.units + low,
                last=day * axis.units + reach,
                length=(end_day - day) * axis.units + shift,
                pad=shift * grid - end_minutes,
            )
            low = reach + 1
        filled += capacity


def arriving_stretches(
    days: DayList, span: int, axis: Axis
) -> tuple[list[Stretch], tuple[int | None, ...], tuple[int, ...], tuple[int, ...]]:
    """Starts that end the same day, when the next calendar day opens, or inside it: never over a day off.

    Also, for each day, when the next day opens, from which position on a start runs over the night, and from which
    on it ends by the clock again.
    """
    grid = axis.grid_minutes
    stretches: list[Stretch] = []
    arrivals: list[int | None] = []
    overnight: list[int] = []
    next_day: list[int] = []
    for day, hours in enumerate(days):
        base = day * axis.units
        then = days[day + 1] if day + 1 < len(days) else None
        arrival = None if then is None else axis.opens[day + 1] + then.first * grid
        arrivals.append(arrival)
        if hours is None:
            overnight.append(base)
            next_day.append(base)
            continue
        latest = hours.starts_until - 1
        last = min(latest, hours.starts_until - span) // grid
        if last >= hours.first:
            stretches.append(Stretch(first=base + hours.first, last=base + last, length=0, pad=0))
        first = max(hours.first, last + 1)
        overnight.append(base + first)
        morning = first - 1
        if then is not None and arrival is not None:
            morning = max(morning, min(latest, arrival - span - axis.opens[day]) // grid)
            closes = axis.opens[day + 1] + then.starts_until
            last = min(latest, closes - span - axis.opens[day]) // grid
            if last >= first:
                stretches.append(Stretch(first=base + first, last=base + last, length=0, pad=0))
        next_day.append(base + morning + 1)
    return stretches, tuple(arrivals), tuple(overnight), tuple(next_day)
