"""A world whose pours last as long as their forms allow and whose fills end when the water is there."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.lasting.fill import Hours, Rest, Stretch, planned_minutes, rest_of, stretch_of
from planner.plans.domain.lasting.wall import has_walls, longest_pour
from planner.plans.domain.ready.air import SiteAir, UsualAir
from planner.plans.domain.world import World


def timed(world: World) -> World:
    """The world with durations that depend on concrete, forms and water; what cannot be reckoned is in its notes."""
    timing = _Timing(world)
    jobs = tuple(replace(job, tasks=tuple(timing.tasks(job))) for job in world.jobs)
    return replace(world, jobs=jobs, notes=(*world.notes, *timing.notes))


class _Timing:
    def __init__(self, world: World) -> None:
        self.notes: list[str] = []
        self._world = world
        self._usual = UsualAir(world.climate, world.branch.zone)
        self._airs: dict[int, SiteAir] = {}

    def tasks(self, job: JobFacts) -> Iterator[TaskFacts]:
        """The tasks of a job in their order; a tap that proved weak stays weak for the stretches after it."""
        share = 1.0
        for task in job.tasks:
            if not task.is_open:
                yield task
            elif task.started_at is not None:
                found, came = self._running(job, task)
                share = came if task.run == "attended" else share
                yield found
            elif task.remaining_minutes is not None:
                yield task
            elif has_walls(job, task):
                yield self._pour(job, task)
            else:
                yield self._fill(job, task, share)

    def _pour(self, job: JobFacts, task: TaskFacts) -> TaskFacts:
        world = self._world
        pour = longest_pour(job, task, branch=world.branch, air=self._air_at(task.site.id), as_of=world.as_of)
        self.notes.extend(pour.notes)
        return replace(task, work_minutes=pour.minutes)

    def _fill(self, job: JobFacts, task: TaskFacts, share: float) -> TaskFacts:
        try:
            stretch = stretch_of(job, task)
            if stretch is None or job.pool is None or stretch.water_m3 <= 0:
                return task
            minutes = planned_minutes(job.pool, stretch, self._hours(task), share=share)
            return replace(task, work_minutes=minutes)
        except CannotDo as cannot:
            self.notes.append(f"{job.name}: {task.title}. {cannot}")
            return task

    def _hours(self, task: TaskFacts) -> Hours:
        calendar = self._world.crews.branch_calendar
        hours = calendar.hours_on(calendar.next_working_day(calendar.date_of(self._world.as_of)))
        assert hours is not None
        return Hours(opens=hours.opens, closes=hours.closes, attended=task.run == "attended")

    def _running(self, job: JobFacts, task: TaskFacts) -> tuple[TaskFacts, float]:
        """A running fill with what is left of it by its newest level reading, and the share of flow that came."""
        assert task.started_at is not None
        try:
            stretch, reading = stretch_of(job, task), self._reading_of(task)
            if stretch is None or job.pool is None:
                return task, 1.0
            if reading is None and job.pool.water and task.remaining_minutes is None:
                # Water with hours of its own lasts by the hour it was turned on.
                found = self._rest(job.pool, stretch, task, (task.started_at, stretch.from_m), as_of=task.started_at)
                return replace(task, work_minutes=found.minutes), 1.0
            if reading is None:
                return task, 1.0
            rest = self._rest(job.pool, stretch, task, reading, as_of=self._world.as_of)
        except CannotDo as cannot:
            self.notes.append(f"{job.name}: {task.title}. {cannot}")
            return task, 1.0
        return replace(task, remaining_minutes=rest.minutes), rest.share

    def _rest(
        self, pool: PoolDesign, stretch: Stretch, task: TaskFacts, reading: tuple[datetime, float], *, as_of: datetime
    ) -> Rest:
        calendar = self._world.crews.branch_calendar
        air = self._air_at(task.site.id)
        return rest_of(pool, stretch, task, reading=reading, air=air, calendar=calendar, as_of=as_of)

    def _reading_of(self, task: TaskFacts) -> tuple[datetime, float] | None:
        """The newest level of a running fill, unless the site has said since how many minutes are left."""
        assert task.started_at is not None
        said = [one for one in self._world.reports if one.task == task.id and one.kind in ("level", "remaining")]
        said = [one for one in said if one.happened_at > task.started_at]
        newest = max(said, key=lambda one: one.happened_at, default=None)
        if newest is None or newest.kind != "level":
            return None
        level_m = newest.values.get("level_m")
        return (newest.happened_at, float(level_m)) if isinstance(level_m, int | float) else None

    def _air_at(self, site_id: int) -> SiteAir:
        if site_id not in self._airs:
            self._airs[site_id] = SiteAir(sky=self._world.skies.get(site_id), usual=self._usual)
        return self._airs[site_id]
