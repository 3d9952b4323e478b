"""What people fill in to try, as plain values, and the changes it means for a world."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date, timedelta
from typing import Any

from jobs.domain.errors import CannotDo
from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.asking import trying
from planner.plans.asking.trying import Change
from planner.plans.domain.world import World

DAY = timedelta(days=1)
# Longer stretches are another company, not a try.
MOST_DAYS = 60
KINDS = ("extra_crew", "saturday", "crew_away", "gear_lost", "promise", "rain", "visit_fails", "like_pool")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One thing filled in. ``subject`` is a crew's or gear's key, or the number of a pool or task; else empty."""

    kind: str
    subject: str = ""
    from_on: date | None = None
    until_on: date | None = None


def as_plain(wishes: Sequence[Wish]) -> list[dict[str, Any]]:
    """Wishes as JSON values; ``from_plain`` reads them back."""
    return [
        {name: value.isoformat() if isinstance(value, date) else value for name, value in asdict(one).items()}
        for one in wishes
    ]


def from_plain(rows: Sequence[Mapping[str, Any]]) -> tuple[Wish, ...]:
    """What ``as_plain`` wrote."""
    return tuple(
        Wish(
            kind=row["kind"],
            subject=row["subject"],
            from_on=date.fromisoformat(row["from_on"]) if row["from_on"] else None,
            until_on=date.fromisoformat(row["until_on"]) if row["until_on"] else None,
        )
        for row in rows
    )


def change_of(world: World, wishes: Sequence[Wish], *, title: str) -> Change:
    """All wishes of one trial together, tried on the world once, so that a wrong one is refused before any search.

    Raises
    ------
    CannotDo
        With the kind of the wish as its field.
    """
    changes = []
    for wish in wishes:
        try:
            change = _CHANGES[wish.kind](world, wish)
            change.made(world)
        except CannotDo as refused:
            raise CannotDo(refused.code, field=wish.kind, **refused.facts) from refused
        changes.append(change)
    return replace(trying.all_together(tuple(changes)), title=title)


def _days(wish: Wish) -> tuple[date, ...]:
    assert wish.from_on is not None
    last_on = wish.until_on or wish.from_on
    count = (last_on - wish.from_on).days + 1
    if not 1 <= count <= MOST_DAYS:
        raise CannotDo("trials.days", field=wish.kind, first=wish.from_on, last=last_on, most=MOST_DAYS)
    return tuple(wish.from_on + offset * DAY for offset in range(count))


def _ahead(world: World, wish: Wish) -> date:
    assert wish.from_on is not None
    if wish.from_on < world.crews.branch_calendar.date_of(world.as_of):
        raise CannotDo("trials.past", field=wish.kind, on=wish.from_on)
    return wish.from_on


def _job(world: World, wish: Wish) -> JobFacts:
    for job in world.jobs:
        if str(job.id) == wish.subject and any(task.is_open for task in job.tasks):
            return job
    raise CannotDo("trials.no_pool", field=wish.kind)


def _visit(world: World, wish: Wish) -> tuple[JobFacts, TaskFacts]:
    for job in world.jobs:
        visits = {hold.visit for hold in job.holds}
        for task in job.tasks:
            if str(task.id) == wish.subject and task.id in visits and task.is_open:
                return job, task
    raise CannotDo("trials.no_visit", field=wish.kind)


def _crew_away(world: World, wish: Wish) -> Change:
    _ahead(world, wish)
    return trying.crew_away(wish.subject, _days(wish))


def _rain(world: World, wish: Wish) -> Change:
    _ahead(world, wish)
    return trying.all_together(tuple(trying.rain(on) for on in _days(wish)))


def _like_pool(world: World, wish: Wish) -> Change:
    job, on = _job(world, wish), _ahead(world, wish)

    def made(world: World) -> World:
        return replace(world, jobs=(*world.jobs, another_like(job, on)))

    return Change(title=f"{another_name(job)} signed too", made=made)


_CHANGES: Mapping[str, Callable[[World, Wish], Change]] = {
    "extra_crew": lambda world, wish: trying.extra_crew(wish.subject),
    "saturday": lambda world, wish: trying.saturday(_ahead(world, wish)),
    "crew_away": _crew_away,
    "gear_lost": lambda world, wish: trying.gear_lost(wish.subject),
    "promise": lambda world, wish: trying.promise(_job(world, wish), _ahead(world, wish)),
    "rain": _rain,
    "visit_fails": lambda world, wish: trying.inspection_failed(*_visit(world, wish)),
    "like_pool": _like_pool,
}


def another_name(job: JobFacts) -> str:
    """What a second pool like one there is goes by."""
    return f"{job.name}, another"


def another_like(job: JobFacts, earliest_on: date) -> JobFacts:
    """The same pool once more on the same site, nothing of it begun, booked, decided or promised.

    Its rows do not exist: its numbers are those of the pool it is like, below zero.
    """
    return replace(
        job,
        id=-job.id,
        name=another_name(job),
        earliest_on=earliest_on,
        promised_on=None,
        tasks=tuple(
            replace(
                task,
                id=-task.id,
                started_at=None,
                finished_at=None,
                remaining_minutes=None,
                frozen=False,
                earliest_at=None,
                earliest_why="",
            )
            for task in job.tasks
        ),
        links=tuple(replace(link, before=-link.before, after=-link.after) for link in job.links),
        holds=tuple(
            replace(
                hold,
                id=-hold.id,
                visit=-hold.visit,
                blocks=tuple(-task for task in hold.blocks),
                result="open",
                decided_by="",
                decided_at=None,
                note="",
            )
            for hold in job.holds
        ),
        gear_spans=tuple(
            replace(span, from_task=-span.from_task, until_task=-span.until_task) for span in job.gear_spans
        ),
    )
