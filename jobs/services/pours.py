"""Wall pours of a job that is being opened: as long as forms and trucks need, and within the office's day."""

from collections.abc import Collection
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

from jobs.domain.derive import DerivedJob, DerivedTask, rounded_up_minutes
from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.science.wall_pour import wall_pour_plan

WALL_POUR = "wall_pour"
# Nobody knows yet on which day it is poured: ordinary concrete; each plan reckons with its own day's.
USUAL_CONCRETE_C = 20.0
# Any day: only its hours count.
SOME_DAY = datetime(2026, 1, 1, tzinfo=UTC)


def with_wall_pours(
    derived: DerivedJob, pool: PoolDesign, *, opens: time, closes: time, done: Collection[str] = ()
) -> DerivedJob:
    """The job with wall pours as long as their forms, passes, pump and trucks need at ordinary temperature.

    Raises
    ------
    CannotDo
        ``wall_pour.past_close`` and what ``wall_pour_plan`` refuses, for pours that are not done.
    """
    tasks = tuple(
        _lasting(task, pool, opens=opens, closes=closes)
        if task.rule.exposure == WALL_POUR and task.quantity and task.key not in done
        else task
        for task in derived.tasks
    )
    return replace(derived, tasks=tasks)


def _lasting(task: DerivedTask, pool: PoolDesign, *, opens: time, closes: time) -> DerivedTask:
    opens_at, closes_at = (datetime.combine(SOME_DAY, at, tzinfo=UTC) for at in (opens, closes))
    setup = timedelta(hours=task.rule.setup_hours)
    plan = wall_pour_plan(
        wall=pool.wall_to_pour(task.quantity),
        forms=pool.forms,
        supply=pool.supply,
        concrete_temp_c=USUAL_CONCRETE_C,
        starts_at=opens_at + setup,
        dark_at=opens_at + timedelta(days=3),
        chemistry=pool.chemistry,
        admixture=pool.admixture,
    )
    pouring = rounded_up_minutes(plan.hours + task.rule.setup_hours)
    minutes = max(task.work_minutes, pouring)
    ends_at = opens_at + timedelta(minutes=minutes)
    if ends_at > closes_at:
        raise CannotDo(
            "wall_pour.past_close",
            field="form_rated_kpa" if plan.limited_by == "forms" else "trucks_each",
            hours=f"{minutes / 60:.1f}",
            limited_by=(plan.limited_by if minutes == pouring else "crew").replace("_", " "),
            opens=f"{opens:%H:%M}",
            ends=f"{ends_at:%H:%M}",
            closes=f"{closes:%H:%M}",
        )
    return replace(task, work_minutes=minutes, crew_minutes=minutes * task.rule.crew_size)
