"""A pool's tasks, waits and holds as the strips and gates that are drawn under its sky."""

from collections.abc import Callable, Iterator
from datetime import datetime

from jobs.domain.facts import HoldFacts, JobFacts, TaskFacts
from planner.plans.domain.assemble import bridged_links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.waiting import visit_words
from planner.web.presenters.strips import HoldAt, HoldResult, Strip

RESULTS: dict[str, HoldResult] = {"open": "open", "passed": "passed", "failed": "failed"}
Where = Callable[[TaskFacts], str]


def strips_of(reader: Reader, job: JobFacts, where: Where, *, before: datetime | None = None) -> tuple[Strip, ...]:
    """Every task that has a time, done or planned; a visit that releases a hold is drawn as the gate alone.

    Parameters
    ----------
    before : datetime, optional
        Tasks that begin then or later are left out, and no strength is reckoned for them.
    """
    visits = {hold.visit for hold in job.holds}
    return tuple(_strips(reader, job, where, visits, before))


def _strips(reader: Reader, job: JobFacts, where: Where, visits: set[int], before: datetime | None) -> Iterator[Strip]:
    for task in job.tasks:
        from_at, until_at = reader.from_at(task), reader.until_at(task)
        if from_at is None or until_at is None or task.id in visits or task.dropped:
            continue
        if before is not None and from_at >= before:
            continue
        yield Strip(
            key=task.key,
            title=task.title,
            trade=task.trade,
            trade_title=reader.trade_title(task.trade),
            from_at=from_at,
            until_at=max(until_at, from_at),
            state=reader.state(job, task),
            crew=", ".join(reader.crew_names(reader.stays.get(task.id))),
            exposed=reader.world.exposures[task.exposure].exposed,
            cures_until=cures_until(reader, job, task, until_at),
            where=where(task),
        )


def cures_until(reader: Reader, job: JobFacts, task: TaskFacts, ends_at: datetime) -> datetime | None:
    """When everything that waits for the strength of a pour may start; ``None``: nothing does."""
    waits = [
        reader.waits.of(job, link).ready_at(ends_at)
        for link in bridged_links(job)
        if link.before == task.id and link.rule.kind == "strength"
    ]
    return max(waits, default=None)


def holds_of(reader: Reader, job: JobFacts) -> tuple[HoldAt, ...]:
    """Every hold that has a moment: its decision, else the end of its planned visit."""
    found = []
    for hold in job.holds:
        at = hold_at(reader, hold)
        if at is not None:
            result = RESULTS[hold.result]
            found.append(HoldAt(title=hold.title, at=at, result=result, visit=visit_words(reader, job, hold)))
    return tuple(found)


def hold_at(reader: Reader, hold: HoldFacts) -> datetime | None:
    """When a hold was passed, else when its visit is planned to be over."""
    if hold.result == "passed" and hold.decided_at is not None:
        return hold.decided_at
    stay = reader.stays.get(hold.visit)
    return stay.end_at if stay is not None else hold.decided_at
