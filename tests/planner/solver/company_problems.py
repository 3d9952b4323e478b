"""Branches of any size: pools at every stage, crews by trade, weather for ten days and a climate behind it."""

from dataclasses import dataclass
from random import Random
from typing import Final

from planner.solver.problem import (
    Calendar,
    Crew,
    CrewOption,
    DailyLimit,
    Gear,
    GearHold,
    Link,
    Need,
    OpenDays,
    Pin,
    Problem,
    Promise,
    StartWeather,
    Task,
    TaskKind,
    Told,
    Wait,
)
from tests.planner.solver.generate import ORIGIN_AT, horizon, weekly
from tests.planner.solver.pool_template import LOOKS, PUMPED, STEPS, UNIT, After, Step

DAY_LENGTH: Final = 4 * UNIT
REGIONS: Final = 3
FORECAST_DAYS: Final = 10
# Crews for each pool, by trade.
CREWS: Final = {
    "dig": 0.17,
    "pipe": 0.25,
    "steel": 0.17,
    "form": 0.34,
    "concrete": 0.17,
    "liner": 0.25,
    "electric": 0.12,
    "yard": 0.17,
}
# Chance of rain from which a start is forbidden, and what a ruined start costs [dollars].
EXPOSURES: Final = {"dig": (0.75, 600), "pour": (0.5, 3000), "dry": (0.6, 800)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """One job: where it is, and how many of the steps are done."""

    key: str
    region: int
    done: int


def company_problem(pools: int, number: int, *, days: int = 150) -> Problem:
    """A branch with so many open pools; ``number`` draws everything else."""
    return _Company(Random(f"{pools}/{number}/{days}"), pools, days).problem()


class _Company:
    """Draws one branch, part by part, in a fixed order."""

    def __init__(self, random: Random, pools: int, days: int) -> None:
        self._random = random
        self._days = horizon(days, day_minutes=DAY_LENGTH, clock_change=random.choice((None, days // 2)))
        self._braces = max(1, pools // 3)
        self._pools = self._draw_pools(pools)
        self._crews, self._calendars = self._draw_crews(pools)
        self._regions = {crew.key: random.randrange(REGIONS) for crew in self._crews}
        self._skies = [[random.random() ** 2 for _ in range(2 * FORECAST_DAYS)] for _ in range(REGIONS)]
        self._climate = [0.05 + 0.2 * random.random() for _ in range(days // 7 + 1)]
        self._pinned: set[str] = set()

    def problem(self) -> Problem:
        tasks = tuple(task for pool in self._pools for task in self._tasks(pool))
        open_keys = {task.key for task in tasks}
        size = len(self._pools)
        pumped = tuple(task.key for task in tasks if _step_of(task) in PUMPED)
        looked = tuple(task.key for task in tasks if _step_of(task) in LOOKS)
        vacuum = Gear(key="vacuum", name="Liner vacuum", count=max(1, size // 8))
        return Problem(
            branch=f"company of {size}",
            origin_at=ORIGIN_AT,
            grid_minutes=UNIT,
            days=self._days,
            calendars=self._calendars,
            crews=self._crews,
            tasks=tasks,
            links=tuple(link for pool in self._pools for link in self._links(pool, open_keys)),
            gear=(Gear(key="brace", name="Brace set", count=self._braces), vacuum),
            holds_of_gear=tuple(hold for pool in self._pools for hold in _holds(pool, open_keys)),
            limits=(
                DailyLimit(key="pump", tasks=pumped, count=max(1, size // 8)),
                DailyLimit(key="inspector", tasks=looked, count=max(2, size // 4)),
            ),
            promises=tuple(self._promise(pool) for pool in self._pools),
            open_days=tuple(term for pool in self._pools for term in _open_days(pool, open_keys)),
            told=tuple(told for pool in self._pools for told in self._told(pool, tasks)),
        )

    def _draw_pools(self, count: int) -> tuple[Pool, ...]:
        pools = []
        braced = 0
        keys = [step.key for step in STEPS]
        first, last = keys.index("brace") + 1, keys.index("strip")
        for index in range(count):
            done = self._random.randrange(1, len(STEPS) - 10) if self._random.random() < 0.4 else 0
            if first <= done <= last:
                # No more pools stand in braces than there are brace sets.
                braced += 1
                done = done if braced <= self._braces else 0
            pools.append(Pool(key=f"p{index:03}", region=self._random.randrange(REGIONS), done=done))
        return tuple(pools)

    def _draw_crews(self, pools: int) -> tuple[tuple[Crew, ...], tuple[Calendar, ...]]:
        every = tuple(range(6))
        calendars = [
            weekly("week", self._days),
            weekly("town", self._days, off=(self._random.randrange(20, 60),), early_minutes=UNIT),
        ]
        crews = []
        for trade, share in CREWS.items():
            for index in range(max(1, round(share * pools))):
                key = f"{trade}{index}"
                weekdays = self._random.choice((every[:5], every[:5], every, every[:4]))
                if trade in ("liner", "pipe"):
                    # Those who come back to a running fill are there whenever it arrives.
                    weekdays = every[:5]
                leave = self._random.randrange(10, 60)
                off = tuple(range(leave, leave + self._random.choice((0, 1, 1, 7))))
                late, early = self._random.choice(((0, 0), (0, 0), (0, UNIT), (UNIT, 0)))
                hours = weekly(key, self._days, weekdays=weekdays, off=off, late_minutes=late, early_minutes=early)
                calendars.append(hours)
                crews.append(Crew(key=key, name=f"{trade.title()} {index + 1}", calendar=key))
        return tuple(crews), tuple(calendars)

    def _tasks(self, pool: Pool) -> tuple[Task, ...]:
        first = STEPS[pool.done]
        waiting = self._days[0].opens + self._random.randrange(0, 4) * 1440 if pool.done else 0
        return tuple(
            Task(
                key=f"{pool.key}.{step.key}",
                job=pool.key,
                title=f"{step.key.replace('_', ' ').capitalize()} of {pool.key}",
                kind=_kind(step),
                run=step.run,
                needs=(needs := tuple(self._need(trade, step, pool) for trade in step.trades)),
                span_minutes=step.span,
                calendar=step.calendar,
                splits_nights=step.splits,
                splits_weekends=step.splits,
                long_day=step.pour,
                start_by_minutes=UNIT if step.pour else None,
                earliest=waiting if step is first else 0,
                weather=self._weather(step, pool),
                pin=self._pin(step, needs) if pool.done and step is first else None,
            )
            for step in STEPS[pool.done :]
        )

    def _need(self, trade: str, step: Step, pool: Pool) -> Need:
        options = []
        for crew in self._crews:
            far = abs(self._regions[crew.key] - pool.region)
            if crew.key.startswith(trade):
                options.append(CrewOption(crew=crew.key, work_minutes=step.units * UNIT, dollars=45 * far))
            elif trade == "steel" and crew.key.startswith("form") and crew.key.endswith(("0", "3", "6")):
                # Some form crews tie steel too, slower.
                options.append(CrewOption(crew=crew.key, work_minutes=(step.units + 1) * UNIT, dollars=45 * far + 60))
        return Need(trade=trade, options=tuple(options))

    def _pin(self, step: Step, needs: tuple[Need, ...]) -> Pin | None:
        """The first open step under way, or frozen for the first Friday, with crews pinned nowhere else."""
        if step.run != "work" or step.exposure or self._random.random() < 0.4:
            return None
        crews = tuple(next((o.crew for o in need.options if o.crew not in self._pinned), "") for need in needs)
        if "" in crews:
            return None
        self._pinned.update(crews)
        if self._random.random() < 0.7:
            remains = self._random.choice((40, 150, 300))
            return Pin(start=self._days[0].opens - 1440, end=self._days[0].opens + remains, crews=crews, why="started")
        start = self._days[4].opens + UNIT
        return Pin(start=start, end=start + UNIT, crews=crews, why="frozen")

    def _weather(self, step: Step, pool: Pool) -> tuple[StartWeather, ...]:
        if not step.exposure:
            return ()
        shut, loss = EXPOSURES[step.exposure]
        segments = []
        for index, day in enumerate(self._days[:FORECAST_DAYS]):
            noon = day.opens + 2 * UNIT
            for half, (start, end) in enumerate(((day.opens, noon), (noon, day.closes))):
                wet = self._skies[pool.region][2 * index + half]
                segments.append(
                    StartWeather(start=start, end=end, forbidden=wet > shut, dollars=round(wet * loss), reason="rain")
                )
        for week, first in enumerate(range(FORECAST_DAYS, len(self._days), 7)):
            end = self._days[min(first + 6, len(self._days) - 1)].closes
            dollars = round(self._climate[week] * loss)
            segments.append(StartWeather(start=self._days[first].opens, end=end, forbidden=False, dollars=dollars))
        return tuple(segments)

    def _links(self, pool: Pool, open_keys: set[str]) -> tuple[Link, ...]:
        links = []
        for step in STEPS[pool.done :]:
            for after in step.after:
                before = f"{pool.key}.{after.step}"
                if before in open_keys:
                    links.append(self._link(before, f"{pool.key}.{step.key}", after))
        return tuple(links)

    def _link(self, before: str, after: str, wait: After) -> Link:
        ready = None
        if wait.cure_days is not None:
            ready = Wait(steps=self._cure(wait.cure_days))
        return Link(
            before=before, after=after, kind="after", min_minutes=wait.least, max_minutes=wait.most, ready=ready
        )

    def _cure(self, least_days: int) -> tuple[tuple[int, int], ...]:
        """Steps of a cure of ``least_days`` and up to two more: what ends later is never ready sooner."""
        steps = []
        value = 0
        for day in self._days:
            value = max(value, day.closes + least_days * 1440 + self._random.randrange(0, 2881, 60))
            steps.append((day.closes, value))
        return tuple(steps)

    def _promise(self, pool: Pool) -> Promise:
        days = 70 - pool.done + self._random.randrange(-15, 30)
        return Promise(
            job=pool.key,
            task=f"{pool.key}.{STEPS[-1].key}",
            due=self._days[0].closes + days * 1440,
            dollars_per_day=self._random.choice((100, 200, 400)),
        )

    def _told(self, pool: Pool, tasks: tuple[Task, ...]) -> tuple[Told, ...]:
        if not pool.done:
            return ()
        mine = [task for task in tasks if task.job == pool.key and task.pin is None][:4]
        return tuple(
            Told(
                task=task.key,
                start=self._days[self._random.randrange(0, 10)].opens,
                crews=tuple(need.options[0].crew for need in task.needs),
                move_dollars=60,
                day_dollars=8,
                crew_dollars=40,
            )
            for task in mine
            if self._random.random() < 0.6
        )


def _step_of(task: Task) -> str:
    return task.key.partition(".")[2]


def _kind(step: Step) -> TaskKind:
    if step.key == "liner_here":
        return "delivery"
    return {"work": "work", "visit": "visit"}.get(step.run, "clock")  # type: ignore[return-value]


def _holds(pool: Pool, open_keys: set[str]) -> tuple[GearHold, ...]:
    holds = []
    for gear, first, last, whole in (("brace", "brace", "strip", False), ("vacuum", "drop", "low_fill", True)):
        if f"{pool.key}.{last}" in open_keys:
            begun = f"{pool.key}.{first}" not in open_keys
            holds.append(
                GearHold(
                    gear=gear,
                    from_task="" if begun else f"{pool.key}.{first}",
                    until_task=f"{pool.key}.{last}",
                    since=-2 * 1440 if begun else None,
                    whole_days=whole,
                )
            )
    return tuple(holds)


def _open_days(pool: Pool, open_keys: set[str]) -> tuple[OpenDays, ...]:
    first, last = f"{pool.key}.dig", f"{pool.key}.backfill"
    if last not in open_keys:
        return ()
    since = None if first in open_keys else -7 * 1440
    return (
        OpenDays(
            job=pool.key, from_task=first if since is None else "", until_task=last, dollars_per_day=20, since=since
        ),
    )


def shape_of(problem: Problem) -> list[int]:
    """Enough to tell that the generator draws another problem than the one whose cost is stored."""
    work = sum(option.work_minutes for task in problem.tasks for need in task.needs for option in need.options)
    dates = sum(promise.due * promise.dollars_per_day for promise in problem.promises)
    return [len(problem.tasks), len(problem.links), work, dates]
