"""Pools, tasks, crews and days as people name them on a command line: ``Alder:dig``, ``2026-06-03..2026-06-05``."""

from datetime import date, timedelta

from jobs.domain.errors import CannotDo
from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.world import World

DAY = timedelta(days=1)
MOST_DAYS = 366


def job_named(world: World, name: str) -> JobFacts:
    """The open pool of a name or number; the beginning of a name is enough where it fits one only.

    Raises
    ------
    CannotDo
        ``asking.pool`` with the pools there are.
    """
    jobs = [job for job in world.jobs if job.id and any(task.is_open for task in job.tasks)]
    wanted = name.strip().casefold()
    exact = [job for job in jobs if wanted in (job.name.casefold(), str(job.id))]
    found = exact or [job for job in jobs if wanted and job.name.casefold().startswith(wanted)]
    if len(found) != 1:
        raise CannotDo("asking.pool", field="pool", name=name, known=", ".join(sorted(job.name for job in jobs)))
    return found[0]


def task_named(world: World, name: str) -> tuple[JobFacts, TaskFacts]:
    """The open task of ``POOL:KEY``.

    Raises
    ------
    CannotDo
        ``asking.task_form``, ``asking.pool`` or ``asking.task`` with the open tasks of the pool.
    """
    pool, colon, key = name.rpartition(":")
    if not colon:
        raise CannotDo("asking.task_form", field="task", name=name)
    job = job_named(world, pool)
    for task in job.tasks:
        if task.key == key.strip() and task.is_open:
            return job, task
    known = ", ".join(task.key for task in job.tasks if task.is_open)
    raise CannotDo("asking.task", field="task", name=key, pool=job.name, known=known)


def day_named(text: str) -> date:
    """The date of ``2026-06-03``.

    Raises
    ------
    CannotDo
        ``asking.day``.
    """
    try:
        return date.fromisoformat(text.strip())
    except ValueError as failure:
        raise CannotDo("asking.day", field="date", text=text) from failure


def days_named(text: str) -> tuple[date, ...]:
    """The dates of ``2026-06-03`` or ``2026-06-03..2026-06-05``, both ends included.

    Raises
    ------
    CannotDo
        ``asking.day`` or ``asking.days``.
    """
    first, dots, last = text.partition("..")
    first_on = day_named(first)
    last_on = day_named(last) if dots else first_on
    count = (last_on - first_on).days + 1
    if not 1 <= count <= MOST_DAYS:
        raise CannotDo("asking.days", field="date", text=text, most=MOST_DAYS)
    return tuple(first_on + offset * DAY for offset in range(count))


def named_with(text: str, form: str) -> tuple[str, str]:
    """The two parts of ``NAME:VALUE``, split at the last colon.

    Raises
    ------
    CannotDo
        ``asking.two_parts`` with the form wanted.
    """
    name, colon, value = text.rpartition(":")
    if not colon or not name.strip() or not value.strip():
        raise CannotDo("asking.two_parts", field="value", text=text, form=form)
    return name.strip(), value.strip()
