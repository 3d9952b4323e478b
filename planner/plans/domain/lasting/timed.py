"""A world whose pours last as long as their forms allow and whose fills end when the water is there."""

from dataclasses import replace

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.lasting.wall import is_wall_pour, longest_pour
from planner.plans.domain.ready.air import SiteAir, air_over
from planner.plans.domain.world import World


def timed(world: World) -> World:
    """The world with durations that depend on concrete, forms and water; what cannot be reckoned is in its notes."""
    airs: dict[int, SiteAir] = {}
    notes: list[str] = []

    def air_at(site_id: int) -> SiteAir:
        if site_id not in airs:
            airs[site_id] = air_over(world.skies.get(site_id), climate=world.climate, zone=world.branch.zone)
        return airs[site_id]

    def timed_task(job: JobFacts, task: TaskFacts) -> TaskFacts:
        if not task.is_open or task.started_at is not None or task.remaining_minutes is not None:
            return task
        if is_wall_pour(job, task):
            pour = longest_pour(job, task, branch=world.branch, air=air_at(task.site.id), as_of=world.as_of)
            notes.extend(pour.notes)
            return replace(task, work_minutes=pour.minutes)
        return task

    jobs = tuple(replace(job, tasks=tuple(timed_task(job, task) for task in job.tasks)) for job in world.jobs)
    return replace(world, jobs=jobs, notes=(*world.notes, *notes))
