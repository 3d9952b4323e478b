"""What rain and refills do to the salt of a filled pool, and what brings it back."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from jobs.domain.basin import Basin
from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.order.water import LEAST_SALT_PPM, SALT_PPM, STABILISER_PPM
from jobs.science.chemistry import Doses, after_overflow_ppm, after_refill_ppm, dose
from jobs.science.water_loss import rain_m3
from planner.plans.domain.ready.air import SiteAir, hour_of, moment_of
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import ReportFacts, World

SALTED = "add_salt"
SALT, STABILISER, REFILLED = "salt", "cyanuric_acid", "refilled"
# The trade that tests and doses.
WATER_TRADE = "service"
AIMED_PPM, LEAST_PPM = SALT_PPM, LEAST_SALT_PPM
# A wet week: rain that thins the salt by more than a test strip can miss; common practice, no source.
WET_MM = 25.0
WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Refill:
    """A pool let down to a level [m above the deepest floor] and filled up again: a share of it was fresh, 0 to 1."""

    at: datetime
    level_m: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dilution:
    """The salt of one pool after the rain and the refills since it was salted, and after the rain that is forecast.

    Attributes
    ----------
    since_at : from when on water is counted: the salting or the newest test since, at most a week back.
    from_ppm : salt then; ``tested`` says that it was measured.
    until_at : end of what the forecast knows, at most a week ahead.
    unknown_hours : hours since then for which nobody knows the rain.
    rain_mm, forecast_mm : fallen, and still to come.
    refills : when it was filled up with fresh water.
    salt_ppm, salt_then_ppm : now, and after what is forecast too.
    share_lost : share of everything dissolved that will have left by then, 0 to 1.
    doses : salt that brings it back to ``AIMED_PPM`` then; ``None`` where it has that much or more.
    stabiliser : what brings back the stabiliser that left, of what a start is given.
    """

    job: JobFacts
    site: str
    since_at: datetime
    from_ppm: float
    tested: bool
    until_at: datetime
    unknown_hours: int
    rain_mm: float
    forecast_mm: float
    refills: tuple[Refill, ...]
    salt_ppm: float
    salt_then_ppm: float
    share_lost: float
    doses: Doses | None
    stabiliser: Doses

    @property
    def is_wet(self) -> bool:
        """Whether the week's rain is enough to test the water after."""
        return self.rain_mm + self.forecast_mm >= WET_MM

    @property
    def is_thinned(self) -> bool:
        """Whether the water is to be tested: after a wet week, a refill, or a test that found too little salt."""
        return self.is_wet or bool(self.refills) or self.is_low

    @property
    def is_low(self) -> bool:
        """Whether the salt ends below what a cell is run at."""
        return self.salt_then_ppm < LEAST_PPM


def dilutions(world: World, *, waits: Waits | None = None) -> tuple[Dilution, ...]:
    """Every salted pool of a branch that rain or a refill has thinned, or will."""
    return tuple(_dilutions(world, waits or Waits(world)))


def _dilutions(world: World, waits: Waits) -> Iterator[Dilution]:
    for job in world.jobs:
        found = diluted_water(world, job, waits=waits)
        if found is not None:
            yield found


def diluted_water(world: World, job: JobFacts, *, waits: Waits | None = None) -> Dilution | None:
    """What a wet week or a refill did to one pool; ``None`` before its salting, or where neither came."""
    salted = next((task for task in job.tasks if task.key == SALTED and task.finished_at is not None), None)
    if salted is None:
        return None
    air = (waits or Waits(world)).air_at(salted.site.id)
    found = dilution(job, salted, air=air, as_of=world.as_of, reports=world.reports)
    return found if found is not None and found.is_thinned else None


def dilution(
    job: JobFacts, salted: TaskFacts, *, air: SiteAir, as_of: datetime, reports: Sequence[ReportFacts]
) -> Dilution | None:
    """What the week before and after ``as_of`` does to a pool that was salted.

    All rain on the water is taken to mix and run over: the pool stands at its design level. A refill is fresh water
    without salt, filled up to that level. A salt test counts instead of all that came before it. ``None`` without a
    basin or before the salting.
    """
    if job.pool is None or salted.finished_at is None or salted.finished_at > as_of:
        return None
    basin = job.pool.basin
    since_at, from_ppm = max(salted.finished_at, as_of - WEEK), AIMED_PPM
    said = sorted(_said_of(job, reports), key=lambda one: one.happened_at)
    tests = [(one.happened_at, ppm) for one in said if (ppm := _number(one, "salt", "salt_ppm")) is not None]
    tested = bool(tests) and since_at <= tests[-1][0] <= as_of
    if tested:
        since_at, from_ppm = tests[-1]
    refills = tuple(refill for one in said if since_at < one.happened_at <= as_of for refill in _refill(one, basin))
    first, now = hour_of(since_at), hour_of(as_of)
    last = min(hour_of(as_of + WEEK), max(air.known_until, now))
    rain = air.hours(first, max(last - first, 1)).by_name["rain_mm"]
    fallen, coming = rain[: now - first], rain[now - first : last - first]
    rain_mm, forecast_mm = float(np.nansum(fallen)), float(np.nansum(coming))
    volume_m3, surface_m2 = basin.water_volume_m3, basin.water_surface_m2

    def thinned(fell_mm: float) -> float:
        ppm = after_overflow_ppm(from_ppm, rain_m3(fell_mm, surface_m2), volume_m3)
        for refill in refills:
            ppm = after_refill_ppm(ppm, refill.share * volume_m3, volume_m3)
        return ppm

    then_ppm = thinned(rain_mm + forecast_mm)
    lost = 1 - then_ppm / from_ppm if from_ppm > 0 else 0.0
    return Dilution(
        job=job,
        site=salted.site.name,
        since_at=since_at,
        from_ppm=from_ppm,
        tested=tested,
        until_at=moment_of(last),
        unknown_hours=int(np.isnan(fallen).sum()),
        rain_mm=rain_mm,
        forecast_mm=forecast_mm,
        refills=refills,
        salt_ppm=thinned(rain_mm),
        salt_then_ppm=then_ppm,
        share_lost=lost,
        doses=dose(SALT, change_ppm=AIMED_PPM - then_ppm, volume_m3=volume_m3) if then_ppm < AIMED_PPM else None,
        stabiliser=dose(STABILISER, change_ppm=lost * STABILISER_PPM, volume_m3=volume_m3),
    )


def _said_of(job: JobFacts, reports: Sequence[ReportFacts]) -> Iterator[ReportFacts]:
    own = {task.id for task in job.tasks}
    return (one for one in reports if one.task in own and one.kind in (SALT, REFILLED))


def _number(report: ReportFacts, kind: str, name: str) -> float | None:
    value = report.values.get(name)
    return float(value) if report.kind == kind and isinstance(value, int | float) else None


def _refill(report: ReportFacts, basin: Basin) -> Iterator[Refill]:
    level_m = _number(report, REFILLED, "level_m")
    if level_m is not None and level_m < basin.design_level_m:
        share = 1 - basin.volume_at_m3(level_m) / basin.water_volume_m3
        yield Refill(at=report.happened_at, level_m=level_m, share=share)
