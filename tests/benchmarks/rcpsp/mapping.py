"""An instance as a problem of ours: makespan as dollars of lateness.

One unit of the instance is one day with one minute of work, nights cut out, every day of the week a working day. An
activity is attended work that stops over nights; what it demands is gear held from its start to its end. The last
activity takes no time and was promised for the day before the first, at one dollar a day: what it is late is the
makespan.
"""

from datetime import UTC, date, datetime, timedelta

from planner.solver.problem import Day, Gear, GearHold, Link, Problem, Promise, Task
from planner.solver.result import Assignment
from tests.benchmarks.rcpsp.reading import Instance

DAY = 1440


def as_problem(instance: Instance) -> Problem:
    """The problem whose cost is the instance's makespan."""
    first_on = date(2026, 1, 1)
    size = sum(instance.lengths) + 1
    tasks = tuple(_task(number, length) for number, length in enumerate(instance.lengths))
    return Problem(
        branch=instance.name,
        origin_at=datetime(2026, 1, 1, tzinfo=UTC),
        grid_minutes=1,
        days=tuple(
            Day(on=first_on + timedelta(days=index), opens=index * DAY, closes=index * DAY + 1) for index in range(size)
        ),
        calendars=(),
        crews=(),
        tasks=tasks,
        links=tuple(
            Link(before=tasks[before].key, after=tasks[other].key, kind="after")
            for before, following in enumerate(instance.after)
            for other in following
        ),
        gear=tuple(Gear(key=f"r{kind}", name=f"r{kind}", count=count) for kind, count in enumerate(instance.counts)),
        holds_of_gear=tuple(
            GearHold(gear=f"r{kind}", from_task=task.key, until_task=task.key, amount=amount)
            for task, length, demands in zip(tasks, instance.lengths, instance.demands, strict=True)
            for kind, amount in enumerate(demands)
            if length and amount
        ),
        promises=(Promise(job="all", task=tasks[-1].key, due=0, dollars_per_day=1),),
    )


def _task(number: int, length: int) -> Task:
    key = f"a{number + 1}"
    if not length:
        return Task(key=key, job="all", title=key, kind="clock", run="elapsed")
    return Task(key=key, job="all", title=key, kind="clock", run="attended", span_minutes=length, splits_nights=True)


def makespan(assignments: tuple[Assignment, ...]) -> int:
    """Units until the last activity is over."""
    # Work of a day ends a minute after it opens; what takes no time ends when its day opens.
    return max(-(-one.end // DAY) for one in assignments)
