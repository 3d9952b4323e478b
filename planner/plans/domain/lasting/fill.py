"""How long a stretch of a fill runs: to its level by the pool's curve, and again from a level the site has read."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

import numpy as np

from crews.domain.working_time import WorkCalendar
from jobs.domain.derive import rounded_up_minutes
from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.fillstops import fill_stops
from jobs.science.evaporation import surface_wind_m_s
from jobs.science.psychrometrics import humidity_percent
from jobs.science.ranges import Array
from jobs.science.water.filling import Fill, fill_curve, hour_of_level, retimed
from jobs.science.water.inflow import DAY_H, by_step, day_of, inflow_m3, marks_of
from jobs.science.water_loss import UNDISTURBED_SHARE, USUAL_MM_PER_DAY, water_evaporation_mm_h
from planner.plans.domain.lasting.rules import rule_of
from planner.plans.domain.ready.air import AirHours, SiteAir, hours_since_epoch

HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)
USUAL_MM_H = USUAL_MM_PER_DAY / 24
# Longer than any stretch of a fill that has not been given up.
LONGEST_H = 1000
# Ranges of the evaporation formula; hours outside lose what is usual.
WATER_MAX_C, WIND_MAX_M_S, DEW_MIN_C = 40.0, 10.0, -40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Levels [m above the deepest floor] between which one task fills, and the water between them [m3]."""

    from_m: float
    until_m: float
    water_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """What is left of a running fill [min], and the share of its planned flow that really came."""

    minutes: int
    share: float


def stretch_of(job: JobFacts, task: TaskFacts) -> Stretch | None:
    """The levels of a fill task; ``None`` for other work, a pool without a basin or a stretch it does not need."""
    rule = rule_of(job, task)
    if job.pool is None or rule is None or not rule.by_flow:
        return None
    number = rule.quantity.removeprefix("fill_").removesuffix("_m3")
    levels: tuple[float, ...]
    if number == "water":
        number, levels = "1", (0.0, job.pool.basin.design_level_m)
    else:
        levels = (0.0, *(stop.level_m for stop in fill_stops(job.pool)))
    if not number.isdecimal() or not 0 < int(number) < len(levels):
        return None
    low, high = levels[int(number) - 1], levels[int(number)]
    basin = job.pool.basin
    return Stretch(from_m=low, until_m=high, water_m3=basin.volume_at_m3(high) - basin.volume_at_m3(low))


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Hours of the day in which somebody may begin a fill, and whether he stays with it and shuts it off."""

    opens: time
    closes: time
    attended: bool

    @property
    def opens_h(self) -> float:
        return _clock_h(self.opens)

    @property
    def closes_h(self) -> float:
        return _clock_h(self.closes) or DAY_H


@lru_cache(maxsize=4096)
def planned_minutes(pool: PoolDesign, stretch: Stretch, hours: Hours, *, share: float = 1.0) -> int:
    """Minutes of a stretch still to come, with usual evaporation and no rain: nobody counts on rain.

    Where the water has hours of its own, the longest it takes from any hour of the working day on: the plan may begin
    it at any. Attended water counts working minutes only.

    Raises
    ------
    CannotDo
        ``filling.not_reached`` where the pool loses what comes in, ``filling.none_while_attended``.
    """
    if not pool.water:
        return _minutes_from(pool, stretch, hours, clock_h=0.0, share=share)
    begins = [hours.opens_h, *range(math.floor(hours.opens_h) + 1, math.ceil(hours.closes_h))]
    return max(_minutes_from(pool, stretch, hours, clock_h=float(begin), share=share) for begin in begins)


def _minutes_from(pool: PoolDesign, stretch: Stretch, hours: Hours, *, clock_h: float, share: float) -> int:
    day = day_of(pool.sources)
    pauses: tuple[tuple[float, float], ...] = ()
    mean_m3_h, wait_h = day.mean_m3_h * share, day.longest_dry_h
    if hours.attended and pool.water:
        came = day.m3_until(np.array([hours.opens_h, hours.closes_h]))
        if came[1] <= came[0]:
            raise CannotDo(
                "filling.none_while_attended",
                field="water",
                opens=f"{hours.opens:%H:%M}",
                closes=f"{hours.closes:%H:%M}",
            )
        mean_m3_h, wait_h = float(came[1] - came[0]) / DAY_H * share, DAY_H
        pauses = _nights(hours, clock_h)
    count = min(math.ceil(2 * stretch.water_m3 / mean_m3_h + wait_h) + 48, LONGEST_H)
    marks = marks_of(pool.sources, hours=count, clock_h=clock_h, pauses=pauses)
    fill = Fill(
        marks_h=marks,
        start_level_m=stretch.from_m,
        inflow_m3=share * inflow_m3(pool.sources, marks_h=marks, clock_h=clock_h, pauses=pauses),
        rain_mm=np.zeros(len(marks) - 1),
        evaporation_mm=USUAL_MM_H * np.diff(marks),
        catch_m2=pool.basin.water_surface_m2,
    )
    arrives_h = hour_of_level(pool.basin, fill_curve(pool.basin, fill), stretch.until_m)
    off_h = sum(max(0.0, min(until, arrives_h) - begin) for begin, until in pauses)
    return rounded_up_minutes(arrives_h - off_h)


def _nights(hours: Hours, clock_h: float) -> tuple[tuple[float, float], ...]:
    """Hours since a start at ``clock_h`` in which nobody is there, day after day."""
    closed_h = DAY_H - (hours.closes_h - hours.opens_h)
    first = hours.closes_h - clock_h
    return tuple((first + DAY_H * day, first + DAY_H * day + closed_h) for day in range(int(LONGEST_H // DAY_H)))


def _clock_h(at: time) -> float:
    return at.hour + at.minute / 60


def rest_of(
    pool: PoolDesign,
    stretch: Stretch,
    task: TaskFacts,
    *,
    reading: tuple[datetime, float],
    air: SiteAir,
    calendar: WorkCalendar,
    as_of: datetime,
) -> Rest:
    """What is left of a running fill after a level reading, with rain and evaporation as measured and forecast.

    Water that somebody looks after runs in working hours only; other water runs through the night.

    Raises
    ------
    CannotDo
        ``filling.reading_outside``, ``filling.reading_shows_no_flow``, ``filling.not_reached``, or a level outside
        the basin.
    """
    assert task.started_at is not None
    read_at, level_m = reading
    began_at, basin = task.started_at, pool.basin
    first = math.floor(hours_since_epoch(began_at) + 0.5)
    hours = air.hours(first, LONGEST_H)
    pauses = _pauses(calendar, began_at) if task.run == "attended" else ()
    clock_h = _clock_h(began_at.astimezone(ZoneInfo(calendar.zone)).time())
    marks = marks_of(pool.sources, hours=LONGEST_H, clock_h=clock_h, pauses=pauses)
    fill = Fill(
        marks_h=marks,
        start_level_m=stretch.from_m,
        inflow_m3=inflow_m3(pool.sources, marks_h=marks, clock_h=clock_h, pauses=pauses),
        rain_mm=by_step(np.nan_to_num(hours.by_name["rain_mm"]), marks),
        evaporation_mm=by_step(evaporation_mm(hours), marks),
        catch_m2=basin.water_surface_m2,
    )
    rest, share = retimed(basin, fill, reading_h=(read_at - began_at) / HOUR, reading_level_m=level_m)
    if level_m >= stretch.until_m:
        return Rest(minutes=0, share=share)
    arrives_at = began_at + hour_of_level(basin, fill_curve(basin, rest), stretch.until_m) * HOUR
    if arrives_at <= as_of:
        return Rest(minutes=0, share=share)
    if task.run == "attended":
        left = calendar.working_minutes_between(max(as_of, read_at), arrives_at)
    else:
        left = math.ceil((arrives_at - as_of) / MINUTE)
    return Rest(minutes=rounded_up_minutes(left / 60), share=share)


def arrival_of(
    pool: PoolDesign, stretch: Stretch, task: TaskFacts, *, start_at: datetime, air: SiteAir, calendar: WorkCalendar
) -> datetime:
    """When a fill that is turned on at ``start_at`` reaches its level, with rain and evaporation as forecast.

    Raises
    ------
    CannotDo
        ``filling.not_reached``, or a level outside the basin.
    """
    whole = rest_of(
        pool,
        stretch,
        replace(task, started_at=start_at),
        reading=(start_at, stretch.from_m),
        air=air,
        calendar=calendar,
        as_of=start_at,
    )
    if task.run == "attended":
        return calendar.add_working(start_at, whole.minutes)
    return start_at + whole.minutes * MINUTE


def evaporation_mm(hours: AirHours) -> Array:
    """What open water as warm as the air loses in each hour [mm]; a quarter inch a day where the air is not known.

    Source: carrier; the quarter inch: common practice, no source.
    """
    air_c, dew_c, wind_10m = (hours.by_name[name] for name in ("air_temp_c", "dew_point_c", "wind_m_s"))
    with np.errstate(invalid="ignore"):
        fits = (air_c >= 0) & (air_c <= WATER_MAX_C) & (dew_c >= DEW_MIN_C) & (wind_10m >= 0)
        wind = surface_wind_m_s(np.where(fits, wind_10m, 0.0))
        fits &= wind <= WIND_MAX_M_S
    air_c, wind = np.where(fits, air_c, 20.0), np.where(fits, wind, 0.0)
    humid = humidity_percent(air_c, np.minimum(np.where(fits, dew_c, 10.0), air_c))
    loses = water_evaporation_mm_h(air_c, air_c, humid, wind, share=UNDISTURBED_SHARE)
    return np.asarray(np.where(fits, loses, USUAL_MM_H), dtype=float)


def _pauses(calendar: WorkCalendar, began_at: datetime) -> Sequence[tuple[float, float]]:
    """Hours since the start in which nobody is there and the water is off."""
    first_on = calendar.date_of(began_at)
    windows = calendar.windows(first_on, first_on + timedelta(hours=LONGEST_H) + timedelta(days=1))
    pauses, off_from = [], 0.0
    for opens_at, closes_at in windows:
        opens_h, closes_h = ((moment - began_at) / HOUR for moment in (opens_at, closes_at))
        if opens_h > off_from:
            pauses.append((off_from, opens_h))
        off_from = max(closes_h, 0.0)
    if off_from < LONGEST_H:
        pauses.append((off_from, float(LONGEST_H)))
    return tuple(pauses)
