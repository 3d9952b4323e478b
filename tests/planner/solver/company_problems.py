"""Branches of any size with every rule a problem knows: pools at every stage, crews by trade, a forecast, a climate.

Pours and their joints within a day and its evening, large pools that two crews do jointly, days on which few come,
overtime and Saturdays for a price, drives between gardens, gardens with hours and closed days of their own, measures
against rain, braces of one set or two, permits, bookings, work under way: all drawn, none of a real company.
"""

from dataclasses import dataclass, replace
from functools import cache
from math import ceil, hypot
from random import Random
from typing import Final

from planner.solver.problem import (
    DailyLimit,
    Drive,
    Gear,
    GearHold,
    Link,
    Need,
    OpenDays,
    Pin,
    Problem,
    Promise,
    Span,
    StartWeather,
    Task,
    TaskKind,
    Told,
    Wait,
)
from tests.planner.solver.company_crews import EVENING, OVERTIME, REGIONS, USUAL, Crews
from tests.planner.solver.company_sky import FORECAST_DAYS, Skies, settled_on
from tests.planner.solver.generate import ORIGIN_AT, horizon, weekly
from tests.planner.solver.pool_template import DAY, LOOKS, PUMPED, STEPS, After, Step

GRID: Final = 30
# Towns this far apart, gardens this far from the middle of their town [km], and what a drive takes [minutes].
APART_KM, AROUND_KM = 25, 8
LOADING_MINUTES, MINUTES_A_KM = 5, 1.6
# Working days of a week, for guessing how long a pool takes.
WORKED = 5 / 7
# Within so many days all pools are promised, each with so many times the days it takes alone.
QUEUE_DAYS, ROOM = 60, 1.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """One job: where it is, how many of the steps are done, and from which day its permit lets it begin.

    A ``large`` one takes two crews for some steps and two sets of braces; a ``bounded`` garden has hours of its own.
    """

    key: str
    region: int
    at_km: tuple[float, float]
    done: int
    from_day: int
    large: bool
    bounded: bool


def company_problem(pools: int, number: int, *, days: int = 150) -> Problem:
    """A branch with so many open pools; ``number`` draws everything else."""
    return _Company(Random(f"{pools}/{number}/{days}"), pools, days).problem()


class _Company:
    """Draws one branch, part by part, in a fixed order."""

    def __init__(self, random: Random, pools: int, days: int) -> None:
        self._random = random
        change = random.choice((None, days // 2))
        self._days = tuple(
            replace(day, long_until=day.opens + USUAL + OVERTIME)
            for day in horizon(days, day_minutes=EVENING, clock_change=change)
        )
        self._braces = max(2, pools // 3)
        self._pools = self._draw_pools(pools)
        self._crews = Crews(random, self._days, pools)
        self._skies = Skies(random, self._days)
        evening = EVENING - USUAL
        off = (random.randrange(20, 60),)
        self._calendars = [
            weekly("week", self._days, early_minutes=evening),
            weekly("town", self._days, off=off, early_minutes=evening + 120),
        ]
        self._bounds = {pool.key: self._bound(pool) for pool in self._pools if pool.bounded}
        self._told = {told.task: told for pool in self._pools for told in self._draw_told(pool)}
        self._pinned: set[str] = set()

    def problem(self) -> Problem:
        tasks = tuple(task for pool in self._pools for task in self._tasks(pool))
        pinned = {task.key for task in tasks if task.pin is not None}
        open_keys = {task.key for task in tasks}
        size = len(self._pools)
        pumped = tuple(task.key for task in tasks if _step_of(task) in PUMPED)
        looked = tuple(task.key for task in tasks if _step_of(task) in LOOKS)
        vacuum = Gear(key="vacuum", name="Liner vacuum", count=max(1, size // 8))
        return Problem(
            branch=f"company of {size}",
            origin_at=ORIGIN_AT,
            grid_minutes=GRID,
            days=self._days,
            calendars=(*self._crews.calendars, *self._calendars),
            crews=tuple(self._crews.crews),
            tasks=tasks,
            links=tuple(link for pool in self._pools for link in self._links(pool, open_keys)),
            gear=(Gear(key="brace", name="Brace set", count=self._braces), vacuum),
            holds_of_gear=tuple(hold for pool in self._pools for hold in _holds(pool, open_keys)),
            limits=(
                DailyLimit(key="pump", tasks=pumped, count=max(1, size // 8)),
                DailyLimit(key="inspector", tasks=looked, count=max(2, size // 4)),
            ),
            promises=tuple(self._promise(pool, place) for place, pool in enumerate(self._pools)),
            open_days=tuple(term for pool in self._pools for term in _open_days(pool, open_keys)),
            told=tuple(told for key, told in self._told.items() if key not in pinned),
            drives=_drives(self._pools),
        )

    def _draw_pools(self, count: int) -> tuple[Pool, ...]:
        random = self._random
        pools = []
        braced = 0
        keys = [step.key for step in STEPS]
        first, last = keys.index("brace") + 1, keys.index("strip")
        for index in range(count):
            done = random.randrange(1, len(STEPS) - 10) if random.random() < 0.4 else 0
            large = random.random() < 0.3
            if first <= done <= last:
                # No more pools stand in braces than there are brace sets.
                braced += 1 + large
                done = done if braced <= self._braces else 0
            region = random.randrange(REGIONS)
            at_km = (APART_KM * region + random.uniform(-1, 1) * AROUND_KM, random.uniform(-1, 1) * AROUND_KM)
            waits = not done and random.random() < 0.5
            pools.append(
                Pool(
                    key=f"p{index:03}",
                    region=region,
                    at_km=at_km,
                    done=done,
                    from_day=random.randrange(1, 25) if waits else 0,
                    large=large,
                    bounded=random.random() < 0.2,
                )
            )
        return tuple(pools)

    def _bound(self, pool: Pool) -> tuple[Span, ...]:
        """The hours of a garden whose neighbours want quiet, with a few days on which nobody may come."""
        shut = self._random.randrange(5, 70)
        off = tuple(range(shut, shut + self._random.randrange(2, 5)))
        hours = weekly(f"at {pool.key}", self._days, off=off, late_minutes=30, early_minutes=EVENING - USUAL)
        self._calendars.append(hours)
        return hours.windows

    def _tasks(self, pool: Pool) -> tuple[Task, ...]:
        return tuple(self._task(pool, step) for step in STEPS[pool.done :])

    def _task(self, pool: Pool, step: Step) -> Task:
        first = step is STEPS[pool.done]
        trades = (*step.trades, step.beside) if step.beside and pool.large else step.trades
        alone = len(trades) == 1
        needs = tuple(self._crews.need(trade, step, pool.region, alone=alone) for trade in trades)
        key = f"{pool.key}.{step.key}"
        # The ticket of a pool already located runs out.
        ticket = step.key == "dig" and pool.done in (1, 2)
        bound = self._bounds.get(pool.key, ())
        return Task(
            key=key,
            job=pool.key,
            title=f"{step.key.replace('_', ' ').capitalize()} of {pool.key}",
            kind=_kind(step),
            run=step.run,
            needs=needs,
            span_minutes=step.span,
            calendar=f"at {pool.key}" if bound and step.run == "work" and not step.evening else step.calendar,
            splits_nights=step.splits,
            splits_weekends=step.splits and step.weekends,
            long_day=step.pour,
            opening_only=step.at_opening,
            start_by_minutes=60 if step.pour else None,
            earliest=self._earliest(pool) if first else 0,
            earliest_why="the permit" if first and not pool.done else "",
            latest_start=self._days[26].opens if ticket else None,
            latest_why="the locate ticket" if ticket else "",
            windows=bound if step.key in LOOKS else (),
            weather=self._weather(pool, step, key),
            pin=self._pin(step, needs) if pool.done and first else None,
            site=pool.key,
        )

    def _earliest(self, pool: Pool) -> int:
        if pool.done:
            return self._days[0].opens + self._random.randrange(0, 4) * DAY
        return self._days[pool.from_day].opens if pool.from_day else 0

    def _weather(self, pool: Pool, step: Step, key: str) -> tuple[StartWeather, ...]:
        # What must be followed the same evening has no time for preparing.
        weather = self._skies.over(step.exposure, pool.region, adds_time=step.key != "deck_pour")
        told = self._told.get(key)
        if told is None or self._random.random() < 0.5:
            return weather
        day = next(day for day in self._days if day.opens == told.start)
        return settled_on(weather, day)

    def _pin(self, step: Step, needs: tuple[Need, ...]) -> Pin | None:
        """The first open step under way, or frozen for the first Friday, with crews pinned nowhere else."""
        if step.run != "work" or step.exposure or step.evening or self._random.random() < 0.4:
            return None
        crews: tuple[str, ...] = ()
        for need in needs:
            taken = self._pinned.union(crews)
            crews += tuple(o.crew for o in need.options if o.crew not in taken)[:1]
        if len(crews) < len(needs):
            return None
        self._pinned.update(crews)
        if self._random.random() < 0.5:
            remains = self._random.choice((40, 150, 300))
            return Pin(start=self._days[0].opens - DAY, end=self._days[0].opens + remains, crews=crews, why="started")
        start = self._days[4].opens + 150
        return Pin(start=start, end=start + 150, crews=crews, why="frozen")

    def _links(self, pool: Pool, open_keys: set[str]) -> tuple[Link, ...]:
        links = []
        for step in STEPS[pool.done :]:
            for after in step.after:
                before = f"{pool.key}.{after.step}"
                if before in open_keys:
                    links.append(self._link(before, f"{pool.key}.{step.key}", after))
        return tuple(links)

    def _link(self, before: str, after: str, wait: After) -> Link:
        ready = close = None
        if wait.cure_days is not None:
            ready = Wait(steps=self._cure(wait.cure_days))
        if wait.same_evening:
            close = Wait(steps=tuple((day.closes, day.closes - 60) for day in self._days))
        return Link(
            before=before,
            after=after,
            kind="after",
            min_minutes=wait.least,
            max_minutes=wait.most,
            ready=ready,
            close=close,
        )

    def _cure(self, least_days: int) -> tuple[tuple[int, int], ...]:
        """Steps of a cure of ``least_days`` and up to two more: what ends later is never ready sooner."""
        steps = []
        value = 0
        for day in self._days:
            value = max(value, day.closes + least_days * 1440 + self._random.randrange(0, 2881, 60))
            steps.append((day.closes, value))
        return tuple(steps)

    def _promise(self, pool: Pool, place: int) -> Promise:
        """Promised in the order of signing: behind those signed before, with some room."""
        days = pool.from_day + QUEUE_DAYS * place / len(self._pools) + ROOM * _days_left(STEPS[pool.done].key)
        return Promise(
            job=pool.key,
            task=f"{pool.key}.{STEPS[-1].key}",
            due=self._days[0].opens + USUAL + (round(days) + self._random.randrange(-8, 9)) * DAY,
            dollars_per_day=self._random.choice((100, 200, 400)),
        )

    def _draw_told(self, pool: Pool) -> list[Told]:
        """What people were told of the next steps of a pool under way, and a booking of a later one."""
        if not pool.done:
            return []
        random = self._random
        told = []
        for step in STEPS[pool.done + 1 : pool.done + 5]:
            if random.random() < 0.6:
                crews = tuple(
                    self._crews.need(trade, step, pool.region, alone=True).options[0].crew for trade in step.trades
                )
                told.append(self._one_told(pool, step, random.randrange(FORECAST_DAYS), crews, (60, 8, 40)))
        booked = (step for step in STEPS[pool.done + 5 :] if step.key == "liner_here" and random.random() < 0.5)
        told.extend(self._one_told(pool, step, random.randrange(15, 40), (), (40, 0, 0)) for step in booked)
        return told

    def _one_told(
        self, pool: Pool, step: Step, day: int, crews: tuple[str, ...], dollars: tuple[int, int, int]
    ) -> Told:
        return Told(
            task=f"{pool.key}.{step.key}",
            start=self._days[day].opens,
            crews=crews,
            move_dollars=dollars[0],
            day_dollars=dollars[1],
            crew_dollars=dollars[2],
        )


@cache
def _days_left(key: str) -> float:
    """About how many days a pool still takes from the start of a step, by the longest way to its end."""
    step = next(one for one in STEPS if one.key == key)
    own = step.minutes / USUAL / WORKED if step.run == "work" else step.span / DAY
    waits = (
        _days_left(after.key) + max(back.least / DAY, float(back.cure_days or 0))
        for after in STEPS
        for back in after.after
        if back.step == key
    )
    return own + max(waits, default=0.0)


def _drives(pools: tuple[Pool, ...]) -> tuple[Drive, ...]:
    drives = []
    for at, here in enumerate(pools):
        for there in pools[at + 1 :]:
            km = hypot(here.at_km[0] - there.at_km[0], here.at_km[1] - there.at_km[1])
            minutes = LOADING_MINUTES + ceil(MINUTES_A_KM * km)
            drives.append(Drive(sites=(here.key, there.key), minutes=minutes))
    return tuple(drives)


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
                    amount=2 if pool.large and gear == "brace" else 1,
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
    options = [option for task in problem.tasks for need in task.needs for option in need.options]
    dates = sum(promise.due * promise.dollars_per_day for promise in problem.promises)
    sky = sum(one.dollars + sum(way.dollars for way in one.ways) for task in problem.tasks for one in task.weather)
    hours = sum(span.end - span.start for calendar in problem.calendars for span in calendar.windows)
    drives = sum(drive.minutes for drive in problem.drives)
    work = sum(option.work_minutes for option in options)
    return [len(problem.tasks), len(problem.links), work, dates, sky, hours, drives]
