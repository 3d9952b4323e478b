"""What a person could let go of, requirement by requirement, and a problem with some of them let go."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from jobs.words import sentence_for
from planner.solver.checks.days import Days
from planner.solver.checks.preparing import way_of
from planner.solver.problem import Crew, CrewOption, DailyLimit, Gear, Link, Pin, Problem, StartWeather, Task
from planner.solver.result import Clash

Kind = Literal[
    "latest", "longest", "frozen", "site", "hour", "weather", "gear", "limit", "one_go", "earliest", "one_place"
]
# What a person lets go of last comes first: a minimal set rather holds these.
KINDS: tuple[Kind, ...] = (
    "latest",
    "longest",
    "frozen",
    "site",
    "hour",
    "weather",
    "gear",
    "limit",
    "one_go",
    "earliest",
    "one_place",
)
# The present moment is a bound nobody can let go of.
NOW = "now"


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """One requirement: its kind and what it is of (the key of a task, gear, limit or crew, or a link's two tasks)."""

    kind: Kind
    of: str
    second: str = ""


def requirements_of(problem: Problem) -> tuple[Requirement, ...]:
    """Every requirement of a problem that a person could let go of."""
    found = sorted(_all(problem), key=lambda one: KINDS.index(one.kind))
    return tuple(dict.fromkeys(found))


def _all(problem: Problem) -> Iterator[Requirement]:
    for task in problem.tasks:
        yield from (Requirement(kind=kind, of=task.key) for kind in _kinds_of(task))
    for link in problem.links:
        if link.max_minutes is not None or link.close is not None:
            yield Requirement(kind="longest", of=link.before, second=link.after)
    yield from (Requirement(kind="gear", of=gear.key) for gear in problem.gear)
    yield from (Requirement(kind="limit", of=limit.key) for limit in problem.limits)
    yield from (Requirement(kind="one_place", of=crew.key) for crew in problem.crews)


def _kinds_of(task: Task) -> Iterator[Kind]:
    if task.pin is not None:
        if task.pin.why == "frozen":
            yield "frozen"
        return
    if task.latest_start is not None:
        yield "latest"
    if task.earliest > 0 and task.earliest_why != NOW:
        yield "earliest"
    if task.windows:
        yield "site"
    if task.start_by_minutes is not None or task.opening_only:
        yield "hour"
    if any(way_of(one) is None for one in task.weather):
        yield "weather"
    if task.run in ("work", "attended") and not (task.splits_nights and task.splits_weekends):
        yield "one_go"


def without(problem: Problem, gone: frozenset[Requirement]) -> Problem:
    """Return the problem with requirements let go and everything that only costs left out."""
    by_task: dict[str, set[Kind]] = {}
    for one in gone:
        by_task.setdefault(one.of, set()).add(one.kind)
    anywhere = {one.of for one in gone if one.kind == "one_place"}
    doubles: dict[str, Crew] = {}
    crews = {crew.key: crew for crew in problem.crews}

    def elsewhere(crew: str, task: str) -> str:
        """A crew that need not be in one place only is another one for each task."""
        if crew not in anywhere:
            return crew
        key = f"{crew} for {task}"
        doubles[key] = replace(crews[crew], key=key)
        return key

    tasks = tuple(_loosened(task, by_task.get(task.key, set()), elsewhere) for task in problem.tasks)
    links_gone = {(one.of, one.second) for one in gone if one.kind == "longest"}
    unlimited = {one.of for one in gone if one.kind == "gear"}
    every = sum(hold.amount for hold in problem.holds_of_gear)
    return replace(
        problem,
        tasks=tasks,
        crews=tuple(replace(one, overtime_dollars=0, day_off_dollars=0) for one in (*problem.crews, *doubles.values())),
        links=tuple(
            replace(link, max_minutes=None, close=None) if (link.before, link.after) in links_gone else link
            for link in problem.links
        ),
        gear=tuple(replace(gear, count=gear.count + every) if gear.key in unlimited else gear for gear in problem.gear),
        limits=tuple(limit for limit in problem.limits if "limit" not in by_task.get(limit.key, ())),
        promises=(),
        open_days=(),
        told=(),
    )


def _loosened(task: Task, gone: set[Kind], elsewhere: "object") -> Task:
    assert callable(elsewhere)
    pin = None if "frozen" in gone else task.pin
    if pin is not None:
        pin = replace(pin, crews=tuple(elsewhere(crew, task.key) for crew in pin.crews))
    splits = "one_go" in gone
    return replace(
        task,
        needs=tuple(
            replace(
                need, options=tuple(_at_no_price(option, elsewhere(option.crew, task.key)) for option in need.options)
            )
            for need in task.needs
        ),
        pin=_without_crews(pin, task),
        latest_start=None if "latest" in gone else task.latest_start,
        earliest=0 if "earliest" in gone else task.earliest,
        windows=() if "site" in gone else task.windows,
        start_by_minutes=None if "hour" in gone else task.start_by_minutes,
        opening_only=task.opening_only and "hour" not in gone,
        splits_nights=task.splits_nights or splits,
        splits_weekends=task.splits_weekends or splits,
        weather=() if "weather" in gone else tuple(_binding(task.weather)),
    )


def _binding(weather: tuple[StartWeather, ...]) -> Iterator[StartWeather]:
    """What forbids a start or makes its work longer, at no price."""
    for segment in weather:
        way = way_of(segment)
        if way is None:
            yield replace(segment, dollars=0)
        elif way.minutes and way.prepared is not None:
            prepared = replace(way.prepared, dollars=0, loss_dollars=0)
            yield replace(segment, dollars=0, forbidden=False, ways=(prepared,), settled=True)


def _at_no_price(option: CrewOption, crew: str) -> CrewOption:
    return replace(option, crew=crew, dollars=0)


def _without_crews(pin: Pin | None, task: Task) -> Pin | None:
    return pin if pin is None or task.needs or not pin.crews else replace(pin, crews=())


def only_jobs(problem: Problem, jobs: frozenset[str]) -> Problem:
    """Return the problem of some jobs alone, as if there were no others."""
    tasks = tuple(task for task in problem.tasks if task.job in jobs)
    keys = {task.key for task in tasks}
    sites = {task.site for task in tasks}
    limits = (replace(one, tasks=tuple(key for key in one.tasks if key in keys)) for one in problem.limits)
    return replace(
        problem,
        tasks=tasks,
        links=tuple(link for link in problem.links if link.before in keys and link.after in keys),
        holds_of_gear=tuple(
            hold
            for hold in problem.holds_of_gear
            if hold.until_task in keys and (hold.since is not None or hold.from_task in keys)
        ),
        limits=tuple(limit for limit in limits if limit.tasks),
        drives=tuple(drive for drive in problem.drives if sites.issuperset(drive.sites)),
        promises=(),
        open_days=(),
        told=(),
    )


class Naming:
    """Says requirements of one problem in words."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._days = Days(problem.days)
        self._tasks = {task.key: task for task in problem.tasks}

    def clash(self, one: Requirement) -> Clash:
        """Return a requirement as a clash: the task it is of, or the first it concerns, with its relaxation."""
        task = self._task_of(one)
        facts = {
            "field": one.of,
            "task": task.title,
            "job": task.job,
            "days": len(self._days.days),
            **self._facts(one, task),
        }
        return Clash(task=task.key, gate=one.kind, says=" ".join(sentence_for(f"solver.clash_{one.kind}", facts)))

    def _task_of(self, one: Requirement) -> Task:
        if one.kind == "longest":
            return self._tasks[one.second]
        if one.of in self._tasks:
            return self._tasks[one.of]
        return next(task for task in self._problem.tasks if self._concerns(one, task))

    def _concerns(self, one: Requirement, task: Task) -> bool:
        if one.kind == "gear":
            return any(hold.gear == one.of and hold.until_task == task.key for hold in self._problem.holds_of_gear)
        if one.kind == "limit":
            return any(limit.key == one.of and task.key in limit.tasks for limit in self._problem.limits)
        crews = {option.crew for need in task.needs for option in need.options}
        return one.of in crews or (task.pin is not None and one.of in task.pin.crews)

    def _facts(self, one: Requirement, task: Task) -> dict[str, object]:
        match one.kind:
            case "latest":
                return {"when": self._days.say(task.latest_start or 0), "why": _why(task.latest_why)}
            case "earliest":
                return {"when": self._days.say(task.earliest), "why": _why(task.earliest_why)}
            case "frozen":
                assert task.pin is not None
                return {"when": self._days.say(task.pin.start)}
            case "longest":
                link = next(l for l in self._problem.links if (l.before, l.after) == (one.of, one.second) and _caps(l))
                return {"before": self._tasks[one.of].title, "most": _most(link), "why": _why(link.why)}
            case "gear":
                gear: Gear = next(gear for gear in self._problem.gear if gear.key == one.of)
                return {"gear": gear.name, "count": gear.count}
            case "limit":
                limit: DailyLimit = next(limit for limit in self._problem.limits if limit.key == one.of)
                return {"limit": limit.key.replace("_", " "), "count": limit.count}
            case "one_place":
                return {"crew": next(crew.name for crew in self._problem.crews if crew.key == one.of)}
            case _:
                return {}


def _caps(link: Link) -> bool:
    return link.max_minutes is not None or link.close is not None


def _why(why: str) -> str:
    return f" ({why})" if why else ""


def _most(link: Link) -> str:
    if link.max_minutes is None:
        return "the days set for it"
    hours, minutes = divmod(link.max_minutes, 60)
    return f"{hours} h {minutes:02d} min" if minutes else f"{hours} hours"
