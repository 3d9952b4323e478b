"""When each pool may be handed over, over many weathers, and which of its tasks decides that."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil
from zoneinfo import ZoneInfo

from jobs.domain.errors import CannotDo
from planner.plans.domain.assemble import Assembled, assemble, task_key
from planner.plans.domain.world import World
from planner.plans.outcomes.carried import Carried, Carrying
from planner.plans.outcomes.skies import StartRisks
from planner.plans.outcomes.weathers import Weather, draw_weathers
from planner.solver.result import Assignment

WEATHERS = 40
MOST_WEATHERS = 1000
SEED = 1
# The days a pool may slip into, as far as any plan looks.
REACH_DAYS = 240
# Rain of the days before a start counts, and concrete is watched after its end.
AROUND = timedelta(days=10)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOver:
    """Hand-over of one pool over the weathers.

    ``days`` has one date a weather, in order of the weathers; ``None`` where it does not come within ``REACH_DAYS``.
    ``waits`` are days waited for the sky by title of task, the longest first: each task's own waits, added over the
    weathers in which the pool is handed over later than planned.
    """

    job: str
    job_id: int
    planned_on: date
    days: tuple[date | None, ...]
    waits: tuple[tuple[str, float], ...]

    @property
    def driver(self) -> str:
        """The task that waits longest for its own sky where the pool comes late; empty where none does."""
        return self.waits[0][0] if self.waits else ""

    def by(self, share: float) -> date | None:
        """The first date by which at least a share (0..1] of the weathers has the pool handed over, if there is one."""
        ranked = sorted(self.days, key=lambda on: on or date.max)
        return ranked[ceil(round(share * len(ranked), 9)) - 1]

    def share_by(self, on: date) -> float:
        """Share [0..1] of the weathers that have the pool handed over by a date."""
        return sum(day is not None and day <= on for day in self.days) / len(self.days)


def spread_of(
    world: World,
    assembled: Assembled,
    plan: Sequence[Assignment],
    *,
    weathers: int = WEATHERS,
    seed: int = SEED,
) -> tuple[HandOver, ...]:
    """When each pool of a plan may be handed over.

    Parameters
    ----------
    world, assembled, plan
        A plan, the problem it answers, and the world that was made from.
    weathers : int
        How many weathers to carry the plan through, 1 to 1,000.
    seed : int
        0 or more; the same seed and inputs give the same answer.

    Returns
    -------
    tuple of HandOver
        In the order of the world's jobs; those with a task open until hand-over.

    Raises
    ------
    CannotDo
        ``asking.weathers`` for a number of weathers out of range.
    """
    assembled, drawn = weathers_over(world, assembled, count=weathers, seed=seed)
    return spread_in(world, assembled, plan, drawn)


def weathers_over(
    world: World, assembled: Assembled, *, count: int = WEATHERS, seed: int = SEED
) -> tuple[Assembled, tuple[Weather, ...]]:
    """The weathers of ``spread_of``, with the problem as far as they reach; the same inputs give the same ones.

    Raises
    ------
    CannotDo
        ``asking.weathers`` for a number of weathers out of range.
    """
    refuse_count(count)
    line = assembled.line
    if len(line.days) < REACH_DAYS:
        assembled = assemble(world, first_on=line.first_on, horizon_days=REACH_DAYS, let_lapse=assembled.let_lapse)
        line = assembled.line
    drawn = draw_weathers(
        from_at=world.as_of - AROUND,
        until_at=line.midnight(line.until_on) + AROUND,
        zone=ZoneInfo(world.branch.zone),
        count=count,
        seed=seed,
    )
    return assembled, tuple(drawn)


def refuse_count(weathers: int) -> None:
    """Refuse a number of weathers out of range.

    Raises
    ------
    CannotDo
        ``asking.weathers``.
    """
    if not 1 <= weathers <= MOST_WEATHERS:
        raise CannotDo("asking.weathers", field="spread", count=weathers, most=MOST_WEATHERS)


def spread_in(
    world: World,
    assembled: Assembled,
    plan: Sequence[Assignment],
    weathers: Sequence[Weather],
    *,
    enough: Callable[[], bool] = lambda: False,
) -> tuple[HandOver, ...]:
    """As ``spread_of``, in weathers given: all of them, or the first ones until it is ``enough``, one at least."""
    carrying = Carrying(assembled.problem, plan, StartRisks(world, assembled))
    carried = []
    for weather in weathers:
        carried.append(carrying.through(weather))
        if enough():
            break
    ends = [one.ends for one in carried]
    planned = {one.task: one.end for one in plan}
    found = []
    for job in world.jobs:
        keys = {task_key(job, task) for task in job.until_hand_over if task.is_open} & planned.keys()
        if not job.id or not keys:
            continue
        titles = {task_key(job, task): task.title for task in job.tasks if task.is_open}
        planned_on = _on(assembled, max(planned[key] for key in keys))
        days = tuple(_handed_over(assembled, one, keys) for one in ends)
        late = [one for one, on in zip(carried, days, strict=True) if on is None or on > planned_on]
        found.append(
            HandOver(job=job.name, job_id=job.id, planned_on=planned_on, days=days, waits=_waits(late, titles))
        )
    return tuple(found)


def joined(parts: Sequence[Sequence[HandOver]]) -> tuple[HandOver, ...]:
    """One spread of the parts it was reckoned in, in the order of their weathers; each part has the same pools."""
    return tuple(
        replace(
            pools[0],
            days=tuple(day for pool in pools for day in pool.days),
            waits=_longest_first(sum((Counter(dict(pool.waits)) for pool in pools), Counter())),
        )
        for pools in zip(*parts, strict=True)
    )


def _handed_over(assembled: Assembled, ends: Mapping[str, int], keys: Set[str]) -> date | None:
    if not keys <= ends.keys():
        return None
    return _on(assembled, max(ends[key] for key in keys))


def _on(assembled: Assembled, minute: int) -> date:
    return assembled.line.at(minute).astimezone(ZoneInfo(assembled.line.zone)).date()


def _waits(late: Sequence[Carried], titles: Mapping[str, str]) -> tuple[tuple[str, float], ...]:
    total: Counter[str] = Counter()
    for one in late:
        for key, title in titles.items():
            total[title] += one.waits.get(key, 0)
    return _longest_first({title: minutes / 1440 for title, minutes in total.items()})


def _longest_first(waits: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    return tuple(sorted(((title, days) for title, days in waits.items() if days), key=lambda one: (-one[1], one[0])))
