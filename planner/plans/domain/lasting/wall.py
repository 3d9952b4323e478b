"""How long a wall pour takes: the crew's own pace, and no faster than forms, practice, pump and trucks allow."""

from datetime import datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from crews.domain.daylight import daylight_on
from crews.domain.travel import Place
from crews.domain.working_time import local_moment
from jobs.domain.derive import rounded_up_minutes
from jobs.domain.errors import CannotDo
from jobs.domain.facts import BranchFacts, JobFacts, SiteFacts, TaskFacts
from jobs.science.concrete_temperature import delivered_temp_c
from jobs.science.wall_pour import WallPourPlan, wall_pour_plan
from planner.plans.domain.lasting.rules import setup_of
from planner.plans.domain.ready.air import SiteAir, hour_of

WALL_POUR = "wall_pour"
DAY = timedelta(days=1)
# The pour of a far job may fall on any morning until it is promised; nobody looks further than this season.
LONGEST_LOOK = timedelta(days=90)
SHORTEST_LOOK = timedelta(days=14)


class LongestPour(NamedTuple):
    """Minutes a wall pour takes at most, and what stands in its way, in words."""

    minutes: int
    notes: tuple[str, ...]


def is_wall_pour(job: JobFacts, task: TaskFacts) -> bool:
    """Whether a task is a wall pour whose sizes are known."""
    return task.exposure == WALL_POUR and job.pool is not None and bool(task.quantity)


def plan_of_pour(job: JobFacts, task: TaskFacts, *, starts_at: datetime, air: SiteAir) -> WallPourPlan:
    """The plan of a wall pour whose crew starts at ``starts_at``: first concrete after the set-up.

    Darkness is judged by the caller: the plan runs as long as it takes.

    Raises
    ------
    CannotDo
        Where forms, trucks or the passes do not allow the pour; ``OutsideValidRange`` for its sizes.
    """
    assert job.pool is not None
    assert task.quantity
    placed_at = starts_at + setup_of(job, task)
    return wall_pour_plan(
        wall=job.pool.wall_to_pour(task.quantity),
        forms=job.pool.forms,
        supply=job.pool.supply,
        concrete_temp_c=concrete_at(air, placed_at),
        starts_at=placed_at,
        dark_at=placed_at + 3 * DAY,
        chemistry=job.pool.chemistry,
        admixture=job.pool.admixture,
    )


def concrete_at(air: SiteAir, placed_at: datetime) -> float:
    """Temperature at which ready-mix is taken to be placed at a moment [degC]."""
    return float(delivered_temp_c(float(air.hours(hour_of(placed_at), 1).air_temp_c[0])))


def longest_pour(job: JobFacts, task: TaskFacts, *, branch: BranchFacts, air: SiteAir, as_of: datetime) -> LongestPour:
    """Minutes of a wall pour on the coldest opening between now and the promised date: cold concrete rises slowest.

    The listed minutes stand where they are longer. A pour that no day's light is long enough for, or that forms and
    trucks do not allow at all, is told with its remedy.
    """
    mornings = _mornings(job, branch, as_of)
    coldest_at = min(mornings, key=lambda at: float(air.hours(hour_of(at), 1).air_temp_c[0]))
    try:
        plan = plan_of_pour(job, task, starts_at=coldest_at, air=air)
    except CannotDo as cannot:
        return LongestPour(task.work_minutes, (f"{job.name}: {task.title}. {cannot}",))
    pouring = rounded_up_minutes(plan.hours + setup_of(job, task) / timedelta(hours=1))
    minutes = max(task.work_minutes, pouring)
    lights = [(at, _dark_at(task.site, at, branch)) for at in mornings]
    if any(at + timedelta(minutes=minutes) <= dark_at for at, dark_at in lights):
        return LongestPour(minutes, ())
    opens_at, dark_at = max(lights, key=lambda pair: pair[1] - pair[0])
    limited_by = plan.limited_by if minutes == pouring else "crew"
    too_long = CannotDo(
        "wall_pour.past_light",
        field="wall_pour",
        hours=f"{minutes / 60:.1f}",
        limited_by=limited_by.replace("_", " "),
        light=f"{(dark_at - opens_at) / timedelta(hours=1):.1f}",
    )
    return LongestPour(minutes, (f"{job.name}: {task.title}. {too_long}",))


def _mornings(job: JobFacts, branch: BranchFacts, as_of: datetime) -> list[datetime]:
    """Openings of the branch's day from tomorrow to the promised date."""
    first_on = as_of.astimezone(ZoneInfo(branch.zone)).date() + DAY
    until_on = first_on + SHORTEST_LOOK
    if job.promised_on is not None:
        until_on = min(max(until_on, job.promised_on), first_on + LONGEST_LOOK)
    days = (until_on - first_on).days
    return [local_moment(branch.zone, first_on + offset * DAY, branch.opens) for offset in range(days)]


def _dark_at(site: SiteFacts, opens_at: datetime, branch: BranchFacts) -> datetime:
    on = opens_at.astimezone(ZoneInfo(branch.zone)).date()
    place = Place(latitude_deg=site.latitude, longitude_deg=site.longitude)
    closes_at = local_moment(branch.zone, on, branch.closes)
    return min(daylight_on(place, on, branch.zone).sunset_at, closes_at)
