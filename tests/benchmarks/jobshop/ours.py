"""A drawn problem as our own: one unit is one day with one minute of work, nights cut out."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

from planner.solver.problem import (
    Calendar,
    Crew,
    CrewOption,
    Day,
    Gear,
    GearHold,
    Link,
    Need,
    Problem,
    Promise,
    Span,
    Task,
)
from planner.solver.result import Assignment
from tests.benchmarks.jobshop.drawn import Chain, Drawn, Step

DAY = 1440


def key(chain: int, step: int) -> str:
    """Key of a task in our problem."""
    return f"{chain}.{step}"


def as_problem(drawn: Drawn) -> Problem:
    """The problem whose dollars of lateness are the drawn one's."""
    first_on = date(2026, 1, 1)
    starts = [(f"{at}", at) for at in range(len(drawn.away))]
    return Problem(
        branch=drawn.name,
        origin_at=datetime(2026, 1, 1, tzinfo=UTC),
        grid_minutes=1,
        days=tuple(
            Day(on=first_on + timedelta(days=at), opens=at * DAY, closes=at * DAY + 1) for at in range(drawn.units)
        ),
        calendars=tuple(Calendar(key=name, windows=_windows(drawn, at)) for name, at in starts),
        crews=tuple(Crew(key=name, name=name, calendar=name) for name, _ in starts),
        tasks=tuple(
            _task(chain, key(at, number), step, number)
            for at, chain in enumerate(drawn.chains)
            for number, step in enumerate(chain.steps)
        ),
        links=tuple(
            _link(key(at, number - 1), key(at, number), step)
            for at, chain in enumerate(drawn.chains)
            for number, step in enumerate(chain.steps)
            if number
        ),
        gear=(Gear(key="gear", name="gear", count=drawn.gear),),
        holds_of_gear=tuple(
            GearHold(gear="gear", from_task=key(at, number), until_task=key(at, number))
            for at, chain in enumerate(drawn.chains)
            for number, step in enumerate(chain.steps)
            if step.gear
        ),
        promises=tuple(
            Promise(
                job=f"{at}",
                task=key(at, len(chain.steps) - 1),
                # Due by the end of the unit before: what ends with it is in time.
                due=(chain.due - 1) * DAY + 1,
                dollars_per_day=chain.dollars,
            )
            for at, chain in enumerate(drawn.chains)
        ),
    )


def _windows(drawn: Drawn, crew: int) -> tuple[Span, ...]:
    away = {at for begin, until in drawn.away[crew] for at in range(begin, until)}
    return tuple(Span(start=at * DAY, end=at * DAY + 1) for at in range(drawn.units) if at not in away)


def _task(chain: Chain, name: str, step: Step, number: int) -> Task:
    options = tuple(CrewOption(crew=f"{crew}", work_minutes=length) for crew, length in step.ways)
    return Task(
        key=name,
        job=name.partition(".")[0],
        title=name,
        kind="work",
        run="work",
        needs=(Need(trade="any", options=options),),
        splits_nights=True,
        splits_weekends=True,
        earliest=0 if number else chain.from_unit * DAY,
    )


def _link(before: str, after: str, step: Step) -> Link:
    """Work ends a minute into its last day: so many whole days on is that many units free between."""
    longest = None if step.longest_wait is None else (step.longest_wait + 1) * DAY - 1
    return Link(before=before, after=after, kind="time", min_minutes=step.least_wait * DAY, max_minutes=longest)


def as_assignments(spans: Sequence[tuple[str, int, int, int]]) -> tuple[Assignment, ...]:
    """Tasks with crew, first unit and the unit after the last, as our checker reads them."""
    return tuple(
        Assignment(task=name, start=begin * DAY, end=(until - 1) * DAY + 1, crews=(f"{crew}",))
        for name, crew, begin, until in spans
    )
