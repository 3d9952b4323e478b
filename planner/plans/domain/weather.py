"""What the sky does to every start of a task, as the solver reads it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from crews.domain.working_time import WorkCalendar
from jobs.domain.exposure import Exposure
from jobs.domain.facts import TaskFacts
from planner.forecast.domain.judgement import StartJudgement
from planner.forecast.domain.outside.alerts import Alert
from planner.forecast.domain.outside.events import forbidding
from planner.plans.domain.people import minutes_with
from planner.plans.domain.timeline import Timeline
from planner.plans.domain.world import Judges, World
from planner.solver.problem import Span, StartWeather

NEAR_MINUTES = 120
FAR_MINUTES = 300


def stay_end(task: TaskFacts, minutes: int, start_at: datetime, calendar: WorkCalendar) -> datetime:
    """End of a stay that begins at ``start_at``: over the nights if the work may split, else the same day."""
    if task.splits_nights or task.run == "attended":
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


def weather_of_starts(
    world: World, judges: Judges, task: TaskFacts, line: Timeline, spans: Sequence[Span]
) -> tuple[StartWeather, ...]:
    """Judge every candidate start of an exposed task: every two hours inside the forecast, every half-day beyond.

    A public warning that asks to move the work forbids it as the forecast does, from its start until it is safe.

    Parameters
    ----------
    spans : sequence of Span
        The branch's working windows inside the horizon.
    """
    exposure: Exposure = world.exposures[task.exposure]
    if not exposure.exposed:
        return ()
    sky = world.skies.get(task.site.id)
    forecast_until = line.minute(sky.series.end_at) if sky is not None and sky.series is not None else 0
    pieces: list[tuple[int, int]] = []
    for span in spans:
        step = NEAR_MINUTES if span.start < forecast_until else FAR_MINUTES
        pieces += [(at, min(at + step, span.end)) for at in range(span.start, span.end, step)]
    ways = ways_of(world, task)
    starts = [
        (line.at(start), max(stay_end(task, minutes, line.at(start), calendar) for calendar, minutes in ways))
        for start, _ in pieces
    ]
    found = judges.at(task.site.id).table(exposure, starts, soil=task.site.soil, admixture=task.admixture)
    alerts = sky.alerts if sky is not None else ()
    judged = [_under_warnings(judgement, alerts, exposure) for judgement in found]
    segments: list[StartWeather] = []
    for (start, end), judgement in zip(pieces, judged, strict=True):
        last = segments[-1] if segments else None
        same = (
            last is not None
            and last.end == start
            and last.forbidden == judgement.forbidden
            and last.dollars == judgement.dollars
        )
        if last is not None and same:
            segments[-1] = StartWeather(
                start=last.start, end=end, forbidden=last.forbidden, dollars=last.dollars, reason=last.reason
            )
        else:
            segments.append(
                StartWeather(
                    start=start,
                    end=end,
                    forbidden=judgement.forbidden,
                    dollars=judgement.dollars,
                    reason="; ".join(judgement.reasons),
                )
            )
    return tuple(segments)


def _under_warnings(judgement: StartJudgement, alerts: Sequence[Alert], exposure: Exposure) -> StartJudgement:
    """A judgement with the public warnings that forbid the start, first."""
    until_at = max(judgement.safe_at, judgement.end_at)
    found = forbidding(alerts, exposure, from_at=judgement.start_at, until_at=until_at)
    if not found:
        return judgement
    return replace(
        judgement, forbidden=True, reasons=(*(alert.headline or alert.event for alert in found), *judgement.reasons)
    )
