"""What rain does to the salt of a filled pool, and what brings it back."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from jobs.domain.facts import JobFacts, TaskFacts
from jobs.domain.order.water import LEAST_SALT_PPM, SALT_PPM
from jobs.science.chemistry import Doses, after_overflow_ppm, dose
from jobs.science.water_loss import rain_m3
from planner.plans.domain.ready.air import SiteAir, hour_of, moment_of
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import World

SALTED = "add_salt"
SALT = "salt"
AIMED_PPM, LEAST_PPM = SALT_PPM, LEAST_SALT_PPM
# A wet week: rain that thins the salt by more than a test strip can miss; common practice, no source.
WET_MM = 25.0
WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dilution:
    """The salt of one pool after the rain since it was salted, and after the rain that is forecast.

    Attributes
    ----------
    since_at : from when on rain is counted: the salting, at most a week back.
    until_at : end of what the forecast knows, at most a week ahead.
    unknown_hours : hours since then for which nobody knows the rain.
    rain_mm, forecast_mm : fallen, and still to come.
    salt_ppm, salt_then_ppm : now, and after what is forecast too.
    share_lost : share of everything dissolved that will have run over by then, 0 to 1.
    doses : salt that brings it back to ``AIMED_PPM`` then.
    """

    job: JobFacts
    site: str
    since_at: datetime
    until_at: datetime
    unknown_hours: int
    rain_mm: float
    forecast_mm: float
    salt_ppm: float
    salt_then_ppm: float
    share_lost: float
    doses: Doses

    @property
    def is_wet(self) -> bool:
        """Whether the week is one to test the water after."""
        return self.rain_mm + self.forecast_mm >= WET_MM

    @property
    def is_low(self) -> bool:
        """Whether the salt ends below what a cell is run at."""
        return self.salt_then_ppm < LEAST_PPM


def dilutions(world: World, *, waits: Waits | None = None) -> tuple[Dilution, ...]:
    """Every salted pool of a branch that a wet week has thinned, or will."""
    return tuple(_dilutions(world, waits or Waits(world)))


def _dilutions(world: World, waits: Waits) -> Iterator[Dilution]:
    for job in world.jobs:
        found = diluted_water(world, job, waits=waits)
        if found is not None:
            yield found


def diluted_water(world: World, job: JobFacts, *, waits: Waits | None = None) -> Dilution | None:
    """What a wet week did to one pool; ``None`` before its salting, or where it was not wet."""
    salted = next((task for task in job.tasks if task.key == SALTED and task.finished_at is not None), None)
    if salted is None:
        return None
    found = dilution(job, salted, air=(waits or Waits(world)).air_at(salted.site.id), as_of=world.as_of)
    return found if found is not None and found.is_wet else None


def dilution(job: JobFacts, salted: TaskFacts, *, air: SiteAir, as_of: datetime) -> Dilution | None:
    """What the rain of the week before and after ``as_of`` does to a pool that was salted.

    All rain on the water is taken to mix and run over: the pool stands at its design level. ``None`` without a basin
    or before the salting.
    """
    if job.pool is None or salted.finished_at is None or salted.finished_at > as_of:
        return None
    since_at = max(salted.finished_at, as_of - WEEK)
    first, now = hour_of(since_at), hour_of(as_of)
    last = min(hour_of(as_of + WEEK), max(air.known_until, now))
    rain = air.hours(first, max(last - first, 1)).by_name["rain_mm"]
    fallen, coming = rain[: now - first], rain[now - first : last - first]
    rain_mm, forecast_mm = float(np.nansum(fallen)), float(np.nansum(coming))
    basin = job.pool.basin
    volume_m3, surface_m2 = basin.water_volume_m3, basin.water_surface_m2

    def thinned(from_ppm: float, fell_mm: float) -> float:
        return after_overflow_ppm(from_ppm, rain_m3(fell_mm, surface_m2), volume_m3)

    then_ppm = thinned(AIMED_PPM, rain_mm + forecast_mm)
    return Dilution(
        job=job,
        site=salted.site.name,
        since_at=since_at,
        until_at=moment_of(last),
        unknown_hours=int(np.isnan(fallen).sum()),
        rain_mm=rain_mm,
        forecast_mm=forecast_mm,
        salt_ppm=thinned(AIMED_PPM, rain_mm),
        salt_then_ppm=then_ppm,
        share_lost=1 - then_ppm / AIMED_PPM,
        doses=dose(SALT, change_ppm=AIMED_PPM - then_ppm, volume_m3=volume_m3),
    )
