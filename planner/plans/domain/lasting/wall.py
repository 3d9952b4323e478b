"""How long a wall pour takes: the crew's own pace, and no faster than forms, practice, pump and trucks allow."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from crews.domain.daylight import daylight_on
from crews.domain.travel import Place
from crews.domain.working_time import local_moment
from jobs.domain.derive import rounded_up_minutes
from jobs.domain.errors import CannotDo
from jobs.domain.facts import BranchFacts, JobFacts, SiteFacts, TaskFacts
from jobs.domain.takeoff import pour_nets
from jobs.domain.units import psf_from_kpa
from jobs.science.concrete_temperature import delivered_temp_c
from jobs.science.wall_pour import WallPourPlan, wall_pour_plan
from jobs.words import sentence_for
from planner.plans.domain.lasting.rules import rule_of, setup_of
from planner.plans.domain.ready.air import SiteAir, hour_of
from planner.plans.domain.timeline import GRID_MINUTES

WALL_POUR, SHELL_POUR = "wall_pour", "shell_pour"
DAY = timedelta(days=1)
# The pour of a far job may fall on any morning until it is promised; nobody looks further than this season.
LONGEST_LOOK = timedelta(days=90)
SHORTEST_LOOK = timedelta(days=14)
# What is tried for a pour that is too long: so many more trucks, forms so much stiffer.
MORE_TRUCKS = 4
STIFFER = (1.25, 1.5, 2.0)
QUARTER = timedelta(minutes=GRID_MINUTES)


class LongestPour(NamedTuple):
    """Minutes a wall pour takes at most, and what stands in its way, in words."""

    minutes: int
    notes: tuple[str, ...]


def is_wall_pour(job: JobFacts, task: TaskFacts) -> bool:
    """Whether a task is a wall pour whose sizes are known."""
    return task.exposure == WALL_POUR and job.pool is not None and bool(task.quantity)


def has_walls(job: JobFacts, task: TaskFacts) -> bool:
    """Whether a pour fills wall forms: walls alone, or a shell whose walls follow its floor the same day."""
    return task.exposure in (WALL_POUR, SHELL_POUR) and job.pool is not None and bool(task.quantity)


def before_walls(job: JobFacts, task: TaskFacts) -> timedelta:
    """Time before the first concrete of the walls: set-up and, in a shell, the floor at the listed pace."""
    setup, rule = setup_of(job, task), rule_of(job, task)
    if task.exposure != SHELL_POUR or rule is None or rule.rate is None:
        return setup
    assert task.quantity
    return setup + timedelta(hours=(task.quantity - walls_m3(job, task)) / rule.rate)


def walls_m3(job: JobFacts, task: TaskFacts) -> float:
    """The walls' share of the concrete of a pour [m3]."""
    assert job.pool is not None
    assert task.quantity
    if task.exposure != SHELL_POUR:
        return task.quantity
    nets = pour_nets(job.pool)
    return task.quantity * nets.core_m3 / (nets.slab_m3 + nets.core_m3 + nets.solids_m3)


def plan_of_pour(job: JobFacts, task: TaskFacts, *, starts_at: datetime, air: SiteAir) -> WallPourPlan:
    """The plan of the walls of a pour whose crew starts at ``starts_at``: after the set-up, and after a shell's floor.

    Darkness is judged by the caller: the plan runs as long as it takes.

    Raises
    ------
    CannotDo
        Where forms, trucks or the passes do not allow the pour; ``OutsideValidRange`` for its sizes.
    """
    assert job.pool is not None
    placed_at = starts_at + before_walls(job, task)
    return wall_pour_plan(
        wall=job.pool.wall_to_pour(walls_m3(job, task)),
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

    The listed minutes stand where they are longer. A pour that no day's light is long enough for, or not yet, or that
    forms and trucks do not allow at all, is told with its remedies and what each comes to.
    """
    mornings = _mornings(job, branch, as_of)
    coldest_at = min(mornings, key=lambda at: float(air.hours(hour_of(at), 1).air_temp_c[0]))
    try:
        plan = plan_of_pour(job, task, starts_at=coldest_at, air=air)
    except CannotDo as cannot:
        return LongestPour(task.work_minutes, (f"{job.name}: {task.title}. {cannot}",))
    pouring = _pouring_minutes(job, task, plan)
    minutes = max(task.work_minutes, pouring)
    lights = [_light_of(task.site, at, branch) for at in mornings]
    fitting = [start_at for start_at, dark_at in lights if start_at + timedelta(minutes=minutes) <= dark_at]
    if fitting and fitting[0] == lights[0][0]:
        return LongestPour(minutes, ())
    too_short = [dark_at - start_at for start_at, dark_at in lights if not fitting or start_at < fitting[0]]
    longest = max(too_short)
    too_long = CannotDo(
        "wall_pour.waits_for_light" if fitting else "wall_pour.past_light",
        field="wall_pour",
        hours=f"{minutes / 60:.1f}",
        limited_by=(plan.limited_by if minutes == pouring else "crew").replace("_", " "),
        light=f"{longest / timedelta(hours=1):.1f}",
        on=_day_words(fitting[0], branch) if fitting else "",
        would=_would_fit(job, task, starts_at=coldest_at, air=air, within=longest),
    )
    return LongestPour(minutes, (f"{job.name}: {task.title}. {too_long}",))


def _pouring_minutes(job: JobFacts, task: TaskFacts, plan: WallPourPlan) -> int:
    return rounded_up_minutes(plan.hours + before_walls(job, task) / timedelta(hours=1))


def _would_fit(job: JobFacts, task: TaskFacts, *, starts_at: datetime, air: SiteAir, within: timedelta) -> str:
    """The fewest more trucks, and the least stiffer forms, that end the pour in time; empty where neither does."""
    pool = job.pool
    assert pool is not None
    found = []
    for code, changes in (
        ("wall_pour.with_trucks", [{"trucks_each": pool.trucks_each + more} for more in range(1, MORE_TRUCKS + 1)]),
        ("wall_pour.with_forms", [{"form_rated_kpa": pool.form_rated_kpa * by} for by in STIFFER]),
    ):
        for change in changes:
            other = replace(job, pool=replace(pool, **change))
            try:
                plan = plan_of_pour(other, task, starts_at=starts_at, air=air)
            except CannotDo:
                continue
            minutes = max(task.work_minutes, _pouring_minutes(other, task, plan))
            if timedelta(minutes=minutes) <= within:
                value = next(iter(change.values()))
                facts = {"trucks": value, "kpa": value, "lb_ft2": psf_from_kpa(value), "hours": minutes / 60}
                found.append(sentence_for(code, facts)[0])
                break
    return " ".join(found)


def _day_words(at: datetime, branch: BranchFacts) -> str:
    on = at.astimezone(ZoneInfo(branch.zone)).date()
    return f"{on.day} {on:%B}"


def _mornings(job: JobFacts, branch: BranchFacts, as_of: datetime) -> list[datetime]:
    """Openings of the branch's day from tomorrow to the promised date."""
    first_on = as_of.astimezone(ZoneInfo(branch.zone)).date() + DAY
    until_on = first_on + SHORTEST_LOOK
    if job.promised_on is not None:
        until_on = min(max(until_on, job.promised_on), first_on + LONGEST_LOOK)
    days = (until_on - first_on).days
    return [local_moment(branch.zone, first_on + offset * DAY, branch.opens) for offset in range(days)]


def _light_of(site: SiteFacts, opens_at: datetime, branch: BranchFacts) -> tuple[datetime, datetime]:
    """From when to when people work on a site by daylight on a day, in the quarter hours of plans."""
    on = opens_at.astimezone(ZoneInfo(branch.zone)).date()
    light = daylight_on(Place(latitude_deg=site.latitude, longitude_deg=site.longitude), on, branch.zone)
    from_at = local_moment(branch.zone, on, max(branch.opens, site.work_from or branch.opens))
    until_at = local_moment(branch.zone, on, min(branch.closes, site.work_until or branch.closes))
    return _quarter_up(max(from_at, light.sunrise_at)), _quarter_down(min(until_at, light.sunset_at))


def _quarter_down(at: datetime) -> datetime:
    return at - (at - at.replace(minute=0, second=0, microsecond=0)) % QUARTER


def _quarter_up(at: datetime) -> datetime:
    down = _quarter_down(at)
    return down if down == at else down + QUARTER
