"""What the sky does to every start of a task, as the solver reads it."""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import partial
from typing import NamedTuple
from zoneinfo import ZoneInfo

from crews.domain.daylight import daylight_on
from crews.domain.travel import Place
from crews.domain.working_time import WorkCalendar
from jobs.domain.exposure import Exposure, Soil
from jobs.domain.facts import TaskFacts
from jobs.science.setting import Admixture
from jobs.words import sentence_for
from planner.forecast.domain.judge import Start
from planner.forecast.domain.judgement import StartJudgement
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.outside.events import forbidding
from planner.plans.domain.lasting.preparing import (
    Preparings,
    Rooms,
    followed_the_same_day,
    settle,
    with_no_time,
    with_room,
)
from planner.plans.domain.people import OR_LIGHTS, minutes_with
from planner.plans.domain.timeline import Timeline
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import Judges, Prepared, Stay, World
from planner.solver.problem import Need, Preparing, Span, StartWeather

NEAR_MINUTES = 120
FAR_MINUTES = 300

Ways = tuple[Preparing, ...]
# First and end minute of starts that are judged as one.
Piece = tuple[int, int]


def stay_end(task: TaskFacts, minutes: int, start_at: datetime, calendar: WorkCalendar) -> datetime:
    """End of a stay that begins at ``start_at``: over the nights if the work may split, else the same day."""
    if _over_nights(task):
        return calendar.add_working(start_at, minutes)
    return start_at + timedelta(minutes=minutes)


def ways_of(world: World, task: TaskFacts) -> tuple[tuple[WorkCalendar, int], ...]:
    """The different days and minutes [min] of the crews that could do a task each by itself; without any the branch's.

    Which crew comes is the solver's to choose: the weather of a start must hold for each.
    """
    found: dict[object, tuple[WorkCalendar, int]] = {}
    for crew in world.crews.crews:
        minutes = minutes_with(task, (crew,)) if task.trade in crew.trades else None
        if minutes is not None:
            days = crew.calendar
            found.setdefault((days.week, days.holidays, days.days_off, days.changed_hours, minutes), (days, minutes))
    return tuple(found.values()) or ((world.crews.branch_calendar, task.remaining_minutes or task.work_minutes),)


def end_with(world: World, task: TaskFacts, start_at: datetime, crews: Sequence[str]) -> datetime:
    """End of a stay with these crews (keys), by their head count and the first one's days; without, by the branch's."""
    with_them = [crew for crew in world.crews.crews if crew.key in crews]
    minutes = minutes_with(task, with_them) if with_them else None
    calendar = with_them[0].calendar if with_them else world.crews.branch_calendar
    return stay_end(task, minutes or task.remaining_minutes or task.work_minutes, start_at, calendar)


class _Stay(NamedTuple):
    """How long the crews that may come stay, each by its days, and whether they go on over nights."""

    ways: tuple[tuple[WorkCalendar, int], ...]
    over_nights: bool


class StartWeathers:
    """What the sky does to every start of every exposed task of a plan, kept where tasks share it.

    Starts are judged every two hours inside the forecast, every half-day beyond. A public warning that asks to move the
    work forbids it as the forecast does, from its start until it is safe, and nothing prepared lifts it.

    Parameters
    ----------
    spans : sequence of Span
        The branch's working windows inside the horizon; work into the evening is judged in it too.
    """

    def __init__(
        self,
        world: World,
        *,
        judges: Judges,
        line: Timeline,
        spans: Sequence[Span],
        waits: Waits,
        as_bought: bool = False,
    ) -> None:
        self._as_bought = as_bought
        self._told = {stay.task: stay for stay in world.told}
        self._preparings = Preparings()
        self._rooms = Rooms(world, line, waits)
        self._followed = followed_the_same_day(world)
        self._world = world
        self._judges = judges
        self._line = line
        self._spans = spans
        self._pieces: dict[tuple[int, bool], list[Piece]] = {}
        self._starts: dict[tuple[int, bool, _Stay], list[Start]] = {}
        self._far: dict[tuple[int, _Stay, int, Exposure, Soil, Admixture, bool], tuple[StartWeather, ...]] = {}

    def of(self, task: TaskFacts, needs: Sequence[Need], site: Sequence[Span]) -> tuple[StartWeather, ...]:
        """The weather of a task's starts, with what pays to prepare; empty for work that is not exposed.

        Parameters
        ----------
        needs : sequence of Need
            Who could do the task.
        site : sequence of Span
            The hours of its site, empty where nothing is cut.
        """
        exposure = self._world.exposures[task.exposure]
        if not exposure.exposed:
            return ()
        room = self._rooms.of(task, needs, site)
        segments = tuple(one if not one.ways else with_room(one, room) for one in self._judged(task, exposure))
        if task.id in self._followed:
            segments = tuple(map(with_no_time, segments))
        told = self._told.get(task.id)
        return segments if told is None else tuple(self._as_told(task, exposure, told, one) for one in segments)

    def _judged(self, task: TaskFacts, exposure: Exposure) -> tuple[StartWeather, ...]:
        sky, soil, admixture = self._world.skies.get(task.site.id), task.site.soil, task.admixture
        until = self._line.minute(sky.series.end_at) if sky is not None and sky.series is not None else 0
        pieces = self._pieces_of(until, evening=task.evening)
        starts = self._starts_of(until, task)
        judge = self._judges.at(task.site.id)
        alerts = sky.alerts if sky is not None else ()
        has_crew = task.run == "work"
        if alerts or task.evening:
            bare = judge.table(exposure, starts, soil=soil, admixture=admixture)
            warned = [_under_warnings(one, alerts, exposure) for one in bare]
            lamps = _Lamps(task, exposure, self._line)
            lit = [lamps.over(one) for one in warned]
            found = zip(self._ways(task, exposure, bare, has_crew=has_crew), bare, warned, strict=True)
            ways = [lamps.beside(ways, one) if one is under else () for ways, one, under in found]
            return tuple(_merged(pieces, lit, ways))
        near = bisect_left(starts, judge.usual_from(exposure, soil, admixture), key=lambda start: start[0])
        key = (until, self._stay_of(task), near, exposure, soil, admixture, has_crew)
        if key not in self._far:
            usual = judge.table(exposure, starts[near:], soil=soil, admixture=admixture)
            ways = self._ways(task, exposure, usual, has_crew=has_crew)
            self._far[key] = tuple(_merged(pieces[near:], usual, ways))
        judged = judge.table(exposure, starts[:near], soil=soil, admixture=admixture)
        ways = self._ways(task, exposure, judged, has_crew=has_crew)
        return _joined(_merged(pieces[:near], judged, ways), self._far[key])

    def _ways(
        self, task: TaskFacts, exposure: Exposure, judged: Sequence[StartJudgement], *, has_crew: bool
    ) -> list[Ways]:
        if not has_crew:
            return [self._preparings.ways(exposure, one) for one in judged]
        return [self._preparings.ways(exposure, one, later=partial(self._later, task, exposure, one)) for one in judged]

    def _later(
        self, task: TaskFacts, exposure: Exposure, judgement: StartJudgement, minutes: int
    ) -> StartJudgement | None:
        """The same work so many minutes later; ``None`` where a public warning forbids it then."""
        by = timedelta(minutes=minutes)
        found = self._judges.at(task.site.id).start(
            exposure,
            start_at=judgement.start_at + by,
            end_at=judgement.end_at + by,
            soil=task.site.soil,
            admixture=task.admixture,
        )
        sky = self._world.skies.get(task.site.id)
        return found if _under_warnings(found, sky.alerts if sky is not None else (), exposure) is found else None

    def _as_told(self, task: TaskFacts, exposure: Exposure, told: Stay, segment: StartWeather) -> StartWeather:
        """The segment of the start people were told, prepared for as they were told."""
        start = self._line.minute(told.start_at)
        sky = self._world.skies.get(task.site.id)
        if not segment.start <= start < segment.end:
            return segment
        judge = self._judges.at(task.site.id)
        first = told.prepared.minutes if told.prepared is not None and task.run == "work" else 0
        begins_at = self._line.at(segment.start + first)
        ends_at = max(stay_end(task, minutes, begins_at, calendar) for calendar, minutes in ways_of(self._world, task))
        judgement = judge.start(
            exposure, start_at=begins_at, end_at=ends_at, soil=task.site.soil, admixture=task.admixture
        )
        if _under_warnings(judgement, sky.alerts if sky is not None else (), exposure) is not judgement:
            return segment
        return settle(segment, exposure, judgement, told, always=self._as_bought)

    def _pieces_of(self, forecast_until: int, *, evening: bool) -> list[Piece]:
        key = (forecast_until, evening)
        if key not in self._pieces:
            pieces: list[Piece] = []
            for span in self._line.into_evenings(self._spans) if evening else self._spans:
                step = NEAR_MINUTES if span.start < forecast_until else FAR_MINUTES
                pieces += [(at, min(at + step, span.end)) for at in range(span.start, span.end, step)]
            self._pieces[key] = pieces
        return self._pieces[key]

    def _starts_of(self, forecast_until: int, task: TaskFacts) -> list[Start]:
        """Start and last end of the task's stay for every piece."""
        stay = self._stay_of(task)
        key = (forecast_until, task.evening, stay)
        if key not in self._starts:
            pieces = self._pieces_of(forecast_until, evening=task.evening)
            moments = [self._line.at(start) for start, _ in pieces]
            self._starts[key] = [
                (at, max(stay_end(task, minutes, at, calendar) for calendar, minutes in stay.ways)) for at in moments
            ]
        return self._starts[key]

    def _stay_of(self, task: TaskFacts) -> _Stay:
        return _Stay(ways=ways_of(self._world, task), over_nights=_over_nights(task))


def _over_nights(task: TaskFacts) -> bool:
    return task.splits_nights or task.run == "attended"


def _merged(pieces: Sequence[Piece], judged: Sequence[StartJudgement], ways: Sequence[Ways]) -> list[StartWeather]:
    """Pieces that touch and read alike as one, with the reason of the first."""
    segments: list[StartWeather] = []
    for (start, end), judgement, prepared in zip(pieces, judged, ways, strict=True):
        last = segments[-1] if segments else None
        alike = (judgement.forbidden, judgement.dollars, prepared)
        if last is not None and last.end == start and (last.forbidden, last.dollars, last.ways) == alike:
            segments[-1] = _until(last, end)
        else:
            segments.append(
                StartWeather(
                    start=start,
                    end=end,
                    forbidden=judgement.forbidden,
                    dollars=judgement.dollars,
                    reason="; ".join(judgement.reasons),
                    ways=prepared,
                )
            )
    return segments


def _joined(near: list[StartWeather], far: tuple[StartWeather, ...]) -> tuple[StartWeather, ...]:
    if near and far and near[-1].end == far[0].start:
        last, first = near[-1], far[0]
        if (last.forbidden, last.dollars, last.ways) == (first.forbidden, first.dollars, first.ways):
            return (*near[:-1], _until(last, first.end), *far[1:])
    return (*near, *far)


def _until(last: StartWeather, end: int) -> StartWeather:
    return replace(last, end=end)


class _Lamps:
    """The price of lamps over work that may run past sunset."""

    def __init__(self, task: TaskFacts, exposure: Exposure, line: Timeline) -> None:
        self._place = Place(latitude_deg=task.site.latitude, longitude_deg=task.site.longitude)
        self._zone = line.zone
        measures = [one for one in exposure.measures if "dark" in one.answers] if exposure.light == OR_LIGHTS else []
        self._measure = min(measures, key=lambda one: one.dollars, default=None)
        self._sunsets: dict[date, datetime] = {}

    def over(self, judgement: StartJudgement) -> StartJudgement:
        """A judgement with the lamps' price where the work ends in the dark."""
        if self._measure is None or judgement.end_at <= self._sunset(judgement.start_at):
            return judgement
        reason = sentence_for("plans.lamps", {"title": self._measure.title, "dollars": self._measure.dollars})[0]
        return replace(
            judgement, dollars=judgement.dollars + self._measure.dollars, reasons=(*judgement.reasons, reason)
        )

    def beside(self, ways: Ways, judgement: StartJudgement) -> Ways:
        """The ways to prepare, with the lamps where the work, after what is prepared, ends in the dark."""
        measure = self._measure
        if measure is None:
            return ways
        sunset_at = self._sunset(judgement.start_at)
        return tuple(
            replace(way, title=Prepared.joined((way.title, measure.title)), dollars=way.dollars + measure.dollars)
            if judgement.end_at + timedelta(minutes=way.minutes) > sunset_at
            else way
            for way in ways
        )

    def _sunset(self, at: datetime) -> datetime:
        on = at.astimezone(ZoneInfo(self._zone)).date()
        if on not in self._sunsets:
            self._sunsets[on] = daylight_on(self._place, on, self._zone).sunset_at
        return self._sunsets[on]


def _under_warnings(judgement: StartJudgement, alerts: Sequence[Alert], exposure: Exposure) -> StartJudgement:
    """A judgement with the public warnings that forbid the start, first."""
    until_at = max(judgement.safe_at, judgement.end_at)
    found = forbidding(alerts, exposure, from_at=judgement.start_at, until_at=until_at)
    if not found:
        return judgement
    return replace(
        judgement, forbidden=True, reasons=(*(alert.headline or alert.event for alert in found), *judgement.reasons)
    )
