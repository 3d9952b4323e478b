"""Problems of two to eight tasks on a two-hour grid, with every rule drawn now and then."""

from dataclasses import replace
from datetime import timedelta
from random import Random
from typing import Literal

from planner.solver.problem import (
    Calendar,
    Crew,
    CrewOption,
    DailyLimit,
    Day,
    Drive,
    Gear,
    GearHold,
    Link,
    Need,
    OpenDays,
    Pin,
    Preparing,
    Problem,
    Promise,
    Run,
    Span,
    StartWeather,
    Task,
    TaskKind,
    Told,
    Wait,
)
from tests.planner.solver.generate import FIRST_ON, ORIGIN_AT, horizon, weekly

GRID = 120
DAY_LENGTH = 480
KINDS: dict[Run, TaskKind] = {
    "work": "work",
    "attended": "clock",
    "elapsed": "clock",
    "arrives": "clock",
    "visit": "visit",
}


def tiny_problem(number: int, *, most_tasks: int = 6) -> Problem:
    """The tiny problem of a number: mostly feasible, tight enough that rules bind, small enough to try every plan."""
    random = Random(number)
    counts = range(2, most_tasks + 1)
    count = random.choices(counts, weights=(1, 3, 5, 3, *[1] * (most_tasks - 5)))[0]
    # Many tasks over many days would be too many plans to try.
    days = _days(random, longest=6 if count < 5 else 4 if count < 7 else 3)
    calendars = _calendars(random, days)
    crews = tuple(
        Crew(key=f"crew{index}", name=f"Crew {index}", calendar=random.choice(("full", "full", "part")))
        for index in range(random.randint(1, 3))
    )
    tasks = tuple(_task(random, f"t{index}", days, crews) for index in range(count))
    tasks = _with_pin(random, tasks, days, crews)
    tasks = _with_preparing(Random(1_000_000 + number), tasks)
    if number % 4 == 0:
        calendars, crews, tasks = _with_paid_hours(Random(2_000_000 + number), days, calendars, crews, tasks)
    if number % 5 == 0:
        tasks = _on_short_days(Random(4_000_000 + number), tasks)
    drives: tuple[Drive, ...] = ()
    if number % 3 == 0:
        tasks, drives = _on_sites(Random(3_000_000 + number), tasks)
    return Problem(
        branch="tiny",
        origin_at=ORIGIN_AT,
        grid_minutes=GRID,
        days=days,
        calendars=calendars,
        crews=crews,
        tasks=tasks,
        links=_links(random, tasks, days),
        gear=(Gear(key="brace", name="Brace set", count=2),),
        holds_of_gear=_holds(random, tasks),
        limits=_limits(random, tasks),
        promises=_promises(random, tasks, days),
        open_days=_open_days(random, tasks),
        told=_told(random, tasks, days, crews),
        drives=drives,
    )


def _days(random: Random, *, longest: int) -> tuple[Day, ...]:
    # Beginning on any weekday lets a weekend fall early, late or not at all.
    first_on = FIRST_ON + timedelta(days=random.randrange(7))
    change = random.choice((None, None, None, 1, 2))
    days = horizon(
        random.randint(min(4, longest), longest), day_minutes=DAY_LENGTH, first_on=first_on, clock_change=change
    )
    if len(days) % 2:
        return days
    # Crews whose calendar reaches into the evening work on after a long day is over.
    return tuple(replace(day, long_until=day.closes - 120) for day in days)


def _calendars(random: Random, days: tuple[Day, ...]) -> tuple[Calendar, ...]:
    every_day = tuple(range(7))
    off = (random.randrange(len(days)),) if random.random() < 0.5 else ()
    week = every_day if random.random() < 0.5 else (0, 1, 2, 3, 4, 5)
    return (
        weekly("full", days, weekdays=week),
        weekly("part", days, weekdays=every_day, off=off, early_minutes=random.choice((0, 120, 240))),
        weekly("town", days, weekdays=week, late_minutes=random.choice((0, 120))),
    )


def _task(random: Random, key: str, days: tuple[Day, ...], crews: tuple[Crew, ...]) -> Task:
    run: Run = random.choices(("work", "attended", "elapsed", "arrives", "visit"), weights=(12, 2, 2, 1, 3))[0]
    splits_nights = random.random() < 0.5
    task = Task(
        key=key,
        job=f"job{random.randrange(2)}",
        title=f"Task {key}",
        kind=KINDS[run],
        run=run,
        needs=_needs(random, crews, most=6 if splits_nights else 3) if run == "work" else (),
        span_minutes=_span(random, run),
        calendar={"visit": "town", "arrives": "full"}.get(run, random.choice(("", "", "full", "town"))),
        splits_nights=splits_nights,
        splits_weekends=splits_nights and random.random() < 0.5,
        long_day=run == "work" and random.random() < 0.25,
        opening_only=random.random() < 0.1,
        start_by_minutes=random.choice((0, 120, 240)) if random.random() < 0.15 else None,
    )
    return _bounded(random, task, days)


def _span(random: Random, run: Run) -> int:
    spans = {
        "work": (0,),
        "attended": (120, 240, 360),
        "elapsed": (0, 240, 1000, 1500),
        "arrives": (0, 300, 1200),
        "visit": (0, 120, 240),
    }
    return random.choice(spans[run])


def _needs(random: Random, crews: tuple[Crew, ...], *, most: int) -> tuple[Need, ...]:
    count = 2 if len(crews) > 1 and random.random() < 0.2 else 1
    needs = []
    for index in range(count):
        chosen = random.sample(crews, random.randint(1, len(crews)))
        options = tuple(
            CrewOption(
                crew=crew.key, work_minutes=GRID * random.randint(1, most), dollars=random.choice((0, 0, 30, 75))
            )
            for crew in chosen
        )
        needs.append(Need(trade=f"trade{index}", options=options))
    return tuple(needs)


def _bounded(random: Random, task: Task, days: tuple[Day, ...]) -> Task:
    """The task with bounds, site windows and weather drawn for its own start."""
    end = days[-1].closes
    earliest = random.randrange(0, days[1].opens) if random.random() < 0.3 else 0
    latest = random.randrange(days[1].opens, end) if random.random() < 0.1 else None
    windows: tuple[Span, ...] = ()
    if random.random() < 0.15:
        shut = random.choice(days)
        windows = (Span(start=0, end=shut.opens), Span(start=shut.closes, end=end + 1440))
    weather = []
    if random.random() < 0.6:
        for day in days:
            noon = day.opens + DAY_LENGTH // 2
            for start, stop in ((day.opens, noon), (noon, day.closes)):
                wet = random.random()
                weather.append(
                    StartWeather(start=start, end=stop, forbidden=wet > 0.85, dollars=int(200 * wet), reason="rain")
                )
    return replace(task, earliest=earliest, latest_start=latest, windows=windows, weather=tuple(weather))


def _with_paid_hours(
    random: Random,
    days: tuple[Day, ...],
    calendars: tuple[Calendar, ...],
    crews: tuple[Crew, ...],
    tasks: tuple[Task, ...],
) -> tuple[tuple[Calendar, ...], tuple[Crew, ...], tuple[Task, ...]]:
    """The crews also work every day until its close, for pay."""
    every_day = weekly("paid", days, weekdays=tuple(range(7)))
    priced = tuple(
        replace(crew, overtime_dollars=random.choice((5, 20)), day_off_dollars=random.choice((10, 35)))
        for crew in crews
    )
    paid = tuple(
        replace(
            task,
            needs=tuple(
                replace(
                    need,
                    options=tuple(
                        replace(option, paid_calendar=random.choice(("paid", "paid", ""))) for option in need.options
                    ),
                )
                for need in task.needs
            ),
        )
        for task in tasks
    )
    return (*calendars, every_day), priced, paid


def _on_short_days(random: Random, tasks: tuple[Task, ...]) -> tuple[Task, ...]:
    """Now and then a crew keeps other days for a task than its own, as where too few of it come."""

    def short(option: CrewOption) -> CrewOption:
        # Hours for pay hold a crew's own, whichever these are.
        return replace(option, calendar=random.choice(("", "full", "part")))

    return tuple(
        replace(
            task,
            needs=tuple(replace(need, options=tuple(short(option) for option in need.options)) for need in task.needs),
        )
        for task in tasks
    )


def _on_sites(random: Random, tasks: tuple[Task, ...]) -> tuple[tuple[Task, ...], tuple[Drive, ...]]:
    """The tasks on two or three sites, some of them a drive apart that is no whole step of the grid."""
    sites = [f"site{index}" for index in range(random.randint(2, 3))]
    placed = tuple(replace(task, site=random.choice(sites)) for task in tasks)
    used = sorted({task.site for task in placed})
    pairs = [(here, there) for at, here in enumerate(used) for there in used[at + 1 :]]
    return placed, tuple(Drive(sites=pair, minutes=random.choice((25, 90, 120, 150))) for pair in pairs)


def _with_preparing(random: Random, tasks: tuple[Task, ...]) -> tuple[Task, ...]:
    """Here and there something can be prepared: cheaper than the sky, enough where it forbids, or settled before."""
    return tuple(
        replace(task, weather=tuple(_prepared(random, segment, task.run) for segment in task.weather)) for task in tasks
    )


def _prepared(random: Random, segment: StartWeather, run: Run) -> StartWeather:
    if random.random() > 0.25:
        return segment
    ways = tuple(
        Preparing(
            title=title,
            dollars=random.choice((0, 20, 60)),
            loss_dollars=random.randrange(segment.dollars + 1),
            minutes=random.choice((0, 0, GRID)) if run == "work" else 0,
        )
        for title in ("sheet", "heater")[: random.randint(1, 2)]
    )
    return replace(segment, ways=ways, settled=random.random() < 0.2)


def _with_pin(
    random: Random, tasks: tuple[Task, ...], days: tuple[Day, ...], crews: tuple[Crew, ...]
) -> tuple[Task, ...]:
    """Now and then the first task is under way or frozen, off the grid and from before the horizon if it likes."""
    if random.random() > 0.3:
        return tasks
    first = tasks[0]
    why: Literal["started", "frozen"] = random.choice(("started", "frozen"))
    start = days[0].opens + (random.choice((-1440, -90, 0, 50)) if why == "started" else random.choice((0, 240)))
    end = max(start, days[0].opens) + random.choice((60, 240, 480))
    names: tuple[str, ...] = ()
    if first.needs and len(first.needs) <= len(crews) and random.random() < 0.7:
        names = tuple(crew.key for crew in random.sample(crews, len(first.needs)))
    pin = Pin(start=start, end=end, crews=names, why=why)
    return (replace(first, pin=pin), *tasks[1:])


def _links(random: Random, tasks: tuple[Task, ...], days: tuple[Day, ...]) -> tuple[Link, ...]:
    links = []
    for after in range(1, len(tasks)):
        for before in range(after):
            near = 0.55 if before == after - 1 else 0.1
            if random.random() < near:
                links.append(_link(random, tasks[before].key, tasks[after].key, days))
    return tuple(links)


def _link(random: Random, before: str, after: str, days: tuple[Day, ...]) -> Link:
    least = random.choice((0, 0, 0, 130, 1440))
    link = Link(before=before, after=after, kind="after", min_minutes=least)
    draw = random.random()
    if draw < 0.3:
        return replace(link, max_minutes=least + random.choice((600, 1440, 2000, 3000)))
    if draw < 0.5:
        # A cure: what ends by a day's close is ready so many hours later, never sooner than what ended before it.
        steps = []
        value = 0
        for day in days:
            value = max(value, day.closes + random.choice((120, 900, 1500)))
            steps.append((day.closes, value))
        return replace(link, ready=Wait(steps=tuple(steps)))
    if draw < 0.6:
        return replace(link, close=Wait(steps=tuple((day.closes, day.closes + 1500) for day in days[:-1])))
    return link


def _holds(random: Random, tasks: tuple[Task, ...]) -> tuple[GearHold, ...]:
    holds = []
    for _ in range(random.choice((0, 0, 2, 3))):
        first, last = sorted(random.choices(range(len(tasks)), k=2))
        holds.append(
            GearHold(
                gear="brace",
                from_task=tasks[first].key,
                until_task=tasks[last].key,
                amount=random.choice((1, 1, 2)),
                since=random.choice((None, None, None, -500)),
                whole_days=random.random() < 0.5,
            )
        )
    return tuple(holds)


def _limits(random: Random, tasks: tuple[Task, ...]) -> tuple[DailyLimit, ...]:
    if random.random() > 0.3:
        return ()
    members = tuple(task.key for task in random.sample(tasks, min(3, len(tasks))))
    return (DailyLimit(key="round", tasks=members, count=random.choice((1, 1, 2))),)


def _promises(random: Random, tasks: tuple[Task, ...], days: tuple[Day, ...]) -> tuple[Promise, ...]:
    return tuple(
        Promise(
            job=f"job{index}",
            task=random.choice(tasks).key,
            due=random.choice((-3000, days[0].opens, days[1].closes)),
            dollars_per_day=random.choice((40, 100, 250)),
        )
        for index in range(random.randint(1, 2))
    )


def _open_days(random: Random, tasks: tuple[Task, ...]) -> tuple[OpenDays, ...]:
    if random.random() > 0.4:
        return ()
    since = random.choice((None, None, -2000))
    return (OpenDays(job="job0", from_task=tasks[0].key, until_task=tasks[-1].key, dollars_per_day=35, since=since),)


def _told(random: Random, tasks: tuple[Task, ...], days: tuple[Day, ...], crews: tuple[Crew, ...]) -> tuple[Told, ...]:
    return tuple(
        Told(
            task=task.key,
            start=random.choice(days).opens + random.choice((0, 120)),
            crews=(random.choice(crews).key,) if random.random() < 0.7 else (),
            move_dollars=random.choice((0, 60)),
            day_dollars=random.choice((5, 20)),
            crew_dollars=random.choice((0, 45)),
        )
        for task in tasks
        if random.random() < 0.3
    )
