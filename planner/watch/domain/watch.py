"""The watch: every exposed start of the next 72 hours, every state at risk, the list before people go home."""

from collections.abc import Iterable
from datetime import datetime

from jobs.domain.facts import SiteFacts
from planner.plans.domain.water import dilutions
from planner.plans.domain.world import Judges, Stay, World
from planner.watch.domain.report import SiteForecast, StartWatch, WatchReport
from planner.watch.domain.skies import sky_over
from planner.watch.domain.standing import Standing, standing_of
from planner.watch.domain.starts import Previous, watch_start
from planner.watch.domain.states import states_in_stretch, states_now
from planner.watch.domain.stretch import next_stretch
from planner.watch.domain.thresholds import WATCHED


def watch(world: World, stays: Iterable[Stay], *, now: datetime, previous: Iterable[Previous] = ()) -> WatchReport:
    """Watch a branch.

    Parameters
    ----------
    world : World
        The branch as it stands, with its skies.
    stays : iterable of Stay
        The plan people work to.
    now : datetime
        The present moment, aware.
    previous : iterable of Previous
        Verdicts of the run before; one counts while its task starts when it did then.

    Returns
    -------
    WatchReport
        Starts in order; states and the weekend's list with the worst first. A start is watched when it is open, not
        reported as begun, ends after ``now`` and begins before 72 hours from it.
    """
    by_task = {stay.task: stay for stay in stays}
    before = {one.task: one for one in previous}
    judges = Judges(world)
    starts: list[StartWatch] = []
    standing: list[Standing] = []
    sites: dict[int, SiteFacts] = {}
    for job in world.jobs:
        standing += standing_of(world, judges, job, by_task, now)
        for task in job.tasks:
            if task.is_open:
                sites[task.site.id] = task.site
            stay = by_task.get(task.id)
            if stay is None or not task.is_open or task.started_at is not None:
                continue
            if not world.exposures[task.exposure].exposed or not stay.start_at < now + WATCHED or stay.end_at <= now:
                continue
            starts.append(
                watch_start(
                    world,
                    judges,
                    job=job,
                    task=task,
                    stay=stay,
                    stays=by_task,
                    now=now,
                    previous=before.get(task.id),
                )
            )
    stretch = next_stretch(world.crews.branch_calendar, now)
    return WatchReport(
        now=now,
        branch=world.branch.name,
        zone=world.branch.zone,
        phone=world.branch.phone,
        plan_number=world.branch.plan_number,
        forecasts=tuple(_forecast(world, site) for site in sorted(sites.values(), key=lambda site: site.name)),
        starts=tuple(sorted(starts, key=lambda start: (start.start_at, start.job, start.task))),
        states=states_now(world, standing, now),
        stretch=stretch,
        weekend=states_in_stretch(world, standing, stretch, now) if stretch is not None else (),
        waters=dilutions(world),
    )


def _forecast(world: World, site: SiteFacts) -> SiteForecast:
    sky = sky_over(world, site)
    issued_at = sky.series.issued_at if sky.series is not None else None
    return SiteForecast(site=site.name, freshness=sky.freshness, issued_at=issued_at)
