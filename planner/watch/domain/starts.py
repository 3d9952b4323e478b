"""The verdict on one exposed start, with its arithmetic."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from jobs.domain.exposure import Exposure, Hazard
from jobs.domain.facts import JobFacts, TaskFacts
from jobs.science.setting import set_shares
from jobs.words import sentence_for
from planner.forecast.domain.judgement import RainSafe, StartJudgement, expected_loss
from planner.forecast.domain.limits.measures import allows, lifted_limits
from planner.plans.domain.lasting.preparing import bought_measures, lets_go, limits_answered
from planner.plans.domain.world import Judges, Prepared, Stay, World
from planner.watch.domain.concrete.drying import drying_of
from planner.watch.domain.heat import heat_reading
from planner.watch.domain.measures import Choice, cheapest_choice, choose, hazards_of
from planner.watch.domain.moving import Moving, moving_of
from planner.watch.domain.official import at_least, official_of
from planner.watch.domain.readings import ASKED_OF_FORECAST, asks_to_prepare, held, near_hazards, readings_of
from planner.watch.domain.report import Line, Reading, StartWatch, Unit, Verdict
from planner.watch.domain.skies import sky_over, usable_series
from planner.watch.domain.thresholds import KNOWN_SHARE
from planner.watch.domain.verdict import Case, raised, steadied, verdict_of

ESTIMATES = "computed; shares spared are estimates"


@dataclass(frozen=True, slots=True, kw_only=True)
class Previous:
    """The verdict on the run before, official warnings left out; it counts only while the start is the same."""

    task: int
    start_at: datetime
    verdict: Verdict


def watch_start(
    world: World,
    judges: Judges,
    *,
    job: JobFacts,
    task: TaskFacts,
    stay: Stay,
    stays: Mapping[int, Stay],
    now: datetime,
    previous: Previous | None = None,
) -> StartWatch:
    """Watch one planned start of an exposed task.

    It is judged over the work itself, after what the plan bought to prepare, and that lifts what it answers. A start
    whose planned time is past, of which nobody said that it began, is judged from ``now`` on.
    """
    exposure = world.exposures[task.exposure]
    sky = sky_over(world, task.site)
    series = usable_series(sky)
    judge = judges.at(task.site.id)
    from_at = max(stay.work_at, min(now, stay.end_at))
    judgement = judge.start(
        exposure, start_at=from_at, end_at=stay.end_at, soil=task.site.soil, admixture=task.admixture
    )
    drying = drying_of(exposure, series, from_at, stay.end_at)
    heat = heat_reading(series, from_at, stay.end_at) if series is not None and task.kind == "work" else None
    readings = readings_of(exposure, judgement, drying, heat)
    hazards = hazards_of(judgement)
    moving = moving_of(world, judge, series, job=job, task=task, stay=stay, stays=stays, now=now)
    choice, lifts = _choice(exposure, judgement, stay.prepared, hazards=hazards, near=near_hazards(readings))
    case = partial(_case, exposure=exposure, judgement=judgement, stay=stay, moving=moving, usable=series is not None)
    fresh = verdict_of(case(readings=readings, hazards=hazards, chance=judgement.chance_hit))
    verdict = fresh
    if previous is not None and previous.start_at == stay.start_at:
        worse = {hazard: raised(chance) for hazard, chance in hazards.items()}
        still = verdict_of(
            case(readings=tuple(map(held, readings)), hazards=worse, chance=raised(judgement.chance_hit), holds=True)
        )
        verdict = steadied(previous.verdict, fresh, still)
    warnings = official_of(sky.alerts, exposure, from_at=from_at, until_at=max(judgement.safe_at, stay.end_at))
    return StartWatch(
        task=task.id,
        job=job.name,
        site=task.site.name,
        title=task.title,
        exposure=exposure.key,
        crews=stay.crews,
        start_at=stay.start_at,
        work_at=stay.work_at,
        end_at=stay.end_at,
        forbidden=not lets_go(exposure, judgement, stay.prepared),
        lifted=lifts,
        prepared=stay.prepared,
        verdict=at_least(verdict, warnings),
        forecast_verdict=verdict,
        fresh_verdict=fresh,
        unreported=stay.start_at < now,
        freshness=sky.freshness,
        issued_at=sky.series.issued_at if sky.series is not None else None,
        chance_hit=judgement.chance_hit,
        loss_dollars=exposure.loss_dollars,
        known_share=judgement.known_share if series is not None else 0.0,
        safe_at=judgement.safe_at,
        readings=readings,
        drying=drying,
        measures=choice.measures,
        going_dollars=choice.dollars,
        moving_dollars=moving.dollars,
        move_to=None if moving.later.forbidden else moving.later.start_at,
        free_until=moving.free_until,
        fee_lost=moving.fee_lost,
        arithmetic=(*going_lines(exposure, judgement, choice), *moving_lines(job, moving)),
        judgement=judgement,
        run=sky.run,
        warnings=warnings,
    )


def _choice(
    exposure: Exposure,
    judgement: StartJudgement,
    prepared: Prepared | None,
    *,
    hazards: Mapping[Hazard, float],
    near: frozenset[Hazard],
) -> tuple[Choice, bool]:
    """The measures to prepare, and whether they lift what forbids the start with what was bought for it so far."""
    loss = exposure.loss_dollars
    if not lets_go(exposure, judgement, prepared):
        lifting = cheapest_choice(
            bought_measures(exposure),
            hazards=hazards,
            near=near,
            loss_dollars=loss,
            suffices=lambda taken: allows(exposure, judgement, hazards, taken),
        )
        if lifting is not None:
            return lifting, True
    return choose(exposure.measures, hazards=hazards, near=near, loss_dollars=loss), False


def _case(
    *,
    exposure: Exposure,
    judgement: StartJudgement,
    stay: Stay,
    moving: Moving,
    usable: bool,
    readings: tuple[Reading, ...],
    hazards: Mapping[Hazard, float],
    chance: float,
    holds: bool = False,
) -> Case:
    """What the verdict is made from; ``holds`` takes limits inside the held margin, and a raised chance, as reached."""
    choice, lifts = _choice(exposure, judgement, stay.prepared, hazards=hazards, near=near_hazards(readings))
    forbidden = not lifts and not lets_go(exposure, judgement, stay.prepared)
    if holds:
        levels = {"air_min_c", "air_max_c", "wind_max_m_s", "gust_max_m_s", *(("thunder",) if exposure.sets else ())}
        banning = levels - limits_answered(exposure, stay.prepared)
        banning -= lifted_limits(choice.measures) if lifts else frozenset()
        forbidden = (
            forbidden
            or any(reading.state == "reached" and reading.limit in banning for reading in readings)
            or hazards.get("rain", 0.0) >= exposure.forbid_chance
        )
    return Case(
        usable=usable and (judgement.known_share >= KNOWN_SHARE or judgement.forbidden),
        complete=all(reading.known_share >= 1.0 for reading in readings if reading.limit in ASKED_OF_FORECAST),
        forbidden=forbidden,
        near=lifts or any(asks_to_prepare(reading) for reading in readings),
        pays=bool(choice.measures),
        chance=chance,
        going_dollars=choice.dollars,
        moving_dollars=moving.dollars,
    )


def line(code: str, value: float, unit: Unit, source: str, **facts: object) -> Line:
    """A step of an arithmetic, its label from the words."""
    return Line(label=sentence_for(f"watch.line.{code}", facts)[0], value=value, unit=unit, source=source)


def going_lines(exposure: Exposure, judgement: StartJudgement, choice: Choice) -> tuple[Line, ...]:
    """What going costs: how long rain can hurt it, the chance times the loss, then with the measures."""
    data, forecast, sum_of = "exposure data", "forecast and climate", "computed"
    lines = [
        *(rain_safe_lines(judgement.rain_safe) if judgement.rain_safe is not None else ()),
        line("chance", judgement.chance_hit, "share", forecast),
        line("loss", exposure.loss_dollars, "dollars", data),
        line("expected", expected_loss(judgement.chance_hit, exposure.loss_dollars), "dollars", sum_of),
    ]
    for taken in choice.measures:
        lines.append(line("measure", taken.dollars, "dollars", data, title=taken.title))
        spares = "spares" if taken.pays else "asked_for"
        lines.append(line(spares, taken.spared_dollars, "dollars", ESTIMATES, title=taken.title))
    if choice.measures:
        lines += [
            line("chance_left", choice.chance_left, "share", ESTIMATES),
            line("expected_left", choice.loss_left_dollars, "dollars", sum_of),
        ]
    lines += [
        line("left_out", one.spared_dollars, "dollars", ESTIMATES, title=one.title, price=one.dollars)
        for one in choice.left_out
    ]
    return (*lines, line("going", choice.dollars, "dollars", sum_of))


def rain_safe_lines(safe: RainSafe) -> tuple[Line, ...]:
    """How long after placing rain can hurt concrete, from the set at its temperature and what is added for it."""
    shift = () if safe.admixture == "none" else (line(f"set_{safe.admixture}", _slowest(safe), "share", "astm_c494"),)
    return (
        line("rain_safe_at_21c", safe.hours_at_21c, "h", "exposure data"),
        line("sets_at", safe.concrete_temp_c, "degc", "forecast and climate"),
        *shift,
        line(
            "rain_safe", safe.hours, "h", "psu_setting; that harm by rain follows the set: common practice, no source"
        ),
    )


def _slowest(safe: RainSafe) -> float:
    _, latest = set_shares(safe.admixture)
    return latest


def moving_lines(job: JobFacts, moving: Moving) -> tuple[Line, ...]:
    """What moving costs: fees, people told again, lateness, the sky of the later day."""
    later = moving.later
    lines = [
        line("fee", fee.dollars, "dollars", "booking, no longer free to cancel", supplier=fee.supplier)
        for fee in moving.fees
        if fee.lost
    ]
    lines += [
        line("days", later.days, "count", "working calendar"),
        line("told", later.told_dollars, "dollars", "common practice, no source"),
    ]
    if later.late_days:
        lines.append(line("late", later.late_dollars, "dollars", "promised date", days=later.late_days, job=job.name))
    lines += [
        line("later_weather", later.weather_dollars, "dollars", "forecast and climate"),
        line("moving", moving.dollars, "dollars", "computed"),
    ]
    return tuple(lines)
