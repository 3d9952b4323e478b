"""The difference between two plans: each moved task with its reason and its dollars."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.world import Prepared, Stay
from planner.solver.check import check, cost_of
from planner.solver.checks.ends import Ends
from planner.solver.checks.paid import paid_hours
from planner.solver.checks.placed import place
from planner.solver.checks.preparing import way_at
from planner.solver.problem import Problem, Task, Told
from planner.solver.result import Assignment


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One task that starts at another time, with another crew, or with other hours or measures bought, than before.

    ``from_at`` is ``None`` for a task that is new to the plan. ``dollars`` is what telling people again costs;
    ``told`` says whether anybody had been told.
    """

    task: int
    key: str
    from_at: datetime | None
    to_at: datetime
    from_crews: tuple[str, ...]
    to_crews: tuple[str, ...]
    reason: str
    dollars: int
    told: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeSet:
    """All changes with the dollars of both plans, each judged on today's inputs."""

    changes: tuple[Change, ...]
    dollars_before: int | None
    dollars_after: int
    broken_before: tuple[str, ...]


def compare(assembled: Assembled, before: Sequence[Stay], after: tuple[Assignment, ...]) -> ChangeSet:
    """What moves from the plan in force to a proposed one, and why; work that has begun moves no more."""
    line, problem = assembled.line, assembled.problem
    ids = {key: task.id for key, (_, task) in assembled.tasks.items()}
    stays = {stay.task: stay for stay in before}
    told = {one.task: one for one in problem.told}
    problem_tasks = {task.key: task for task in problem.tasks}
    kept = tuple(kept_assignments(assembled, before).values()) if before else ()
    begun = {task.key for task in problem.tasks if task.pin is not None and task.pin.why == "started"}
    pay = _pay(problem, after)
    breaches = check(problem, kept) if kept else ()
    broken: Mapping[str, str] = {breach.task: breach.says for breach in reversed(breaches)}
    changes = []
    for one in sorted(after, key=lambda assignment: (assignment.start, assignment.task)):
        stay = stays.get(ids[one.task])
        stays_put = stay is not None and line.minute(stay.start_at) == one.start and stay.crews == one.crews
        task = problem_tasks[one.task]
        bought = (*_paid(task, stay, pay.get(one.task, 0)), *_prepared(task, stay, one.start, stays_put=stays_put))
        if one.task in begun or (stays_put and not bought):
            continue
        changes.append(
            Change(
                task=ids[one.task],
                key=one.task,
                from_at=stay.start_at if stay else None,
                to_at=line.at(one.start),
                from_crews=stay.crews if stay else (),
                to_crews=one.crews,
                reason=" ".join(
                    (
                        *(() if stays_put else (_reason(assembled, one, stay, broken),)),
                        *bought,
                    )
                ),
                dollars=_move_dollars(assembled, one, stay) if one.task in told else 0,
                told=one.task in told and _knew(told[one.task], one),
            )
        )
    complete = bool(kept) and len(kept) == len(ids)
    return ChangeSet(
        changes=tuple(changes),
        dollars_before=cost_of(problem, kept).total if complete else None,
        dollars_after=cost_of(problem, after).total,
        broken_before=tuple(breach.says for breach in breaches),
    )


def _knew(told: Told, now: Assignment) -> bool:
    """Whether people were told; what is only booked has a price and no crew."""
    return bool(told.crews) or not now.crews


def kept_assignments(assembled: Assembled, stays: Sequence[Stay]) -> dict[str, Assignment]:
    """The stays in force as assignments by task key; started and frozen work as it is pinned.

    A stay is as long as what is prepared for its start takes by now.
    """
    line = assembled.line
    ends = Ends(assembled.problem)
    by_task = {stay.task: stay for stay in stays}
    problem_tasks = {task.key: task for task in assembled.problem.tasks}
    pins = {key: task.pin for key, task in problem_tasks.items() if task.pin is not None}
    kept: dict[str, Assignment] = {}
    for key, (_, task) in assembled.tasks.items():
        stay, pin = by_task.get(task.id), pins.get(key)
        if pin is not None:
            crews = pin.crews or (stay.crews if stay is not None else ())
            kept[key] = Assignment(task=key, start=pin.start, end=pin.end, crews=crews)
        elif stay is not None:
            start, end = line.minute(stay.start_at), line.minute(stay.end_at)
            if minutes_prepared(problem_tasks[key], start) != (stay.prepared.minutes if stay.prepared else 0):
                end = ends.of(key, start, stay.crews) or end
            kept[key] = Assignment(task=key, start=start, end=end, crews=stay.crews)
    return kept


def minutes_prepared(task: Task, start: int) -> int:
    """Time that what is prepared for a start adds to its work."""
    way = way_at(task, start)
    return way.minutes if way is not None and task.run == "work" else 0


def _prepared(task: Task, stay: Stay | None, start: int, *, stays_put: bool) -> tuple[str, ...]:
    """What is to be prepared for a start that moves, or for one that stays where it was to be something else before."""
    way, told = way_at(task, start), stay.prepared if stay is not None else None
    now = way.prepared if way is not None else None
    if now is None:
        return (f"Not needed any more: {told.title}.",) if told is not None else ()
    if stays_put and told is not None and set(told.titles) == set(Prepared.titles_of(now.title)):
        return ()
    instead = f", in place of {told.title}" if stays_put and told is not None else ""
    return (f"Prepare: {now.title}, ${now.dollars:,}{instead}.",)


def _pay(problem: Problem, after: tuple[Assignment, ...]) -> dict[str, int]:
    """Dollars of the hours that work buys of its crews, by task."""
    pay: dict[str, int] = {}
    for hours in paid_hours(place(problem, after)):
        pay[hours.task] = pay.get(hours.task, 0) + hours.dollars
    return pay


def _paid(task: Task, stay: Stay | None, dollars: int) -> tuple[str, ...]:
    """What changes in the hours bought: people agree to those, whether or not the start moves."""
    if task.pin is not None or (stay is not None and stay.paid is not None) == (dollars > 0):
        return ()
    if not dollars:
        return ("The overtime or Saturday bought for it is not needed any more.",)
    return (f"Overtime or a Saturday is bought for it: ${dollars:,}.",)


def _reason(assembled: Assembled, now: Assignment, stay: Stay | None, broken: Mapping[str, str]) -> str:
    if stay is None:
        return "Not in the plan before."
    if now.task in broken:
        return broken[now.task]
    line = assembled.line
    if line.minute(stay.start_at) == now.start:
        return "Another crew does it, so that the plan as a whole costs less."
    if now.start < line.minute(stay.start_at):
        return "An earlier start has come free."
    return "Follows other work that moved, or makes room for it."


def _move_dollars(assembled: Assembled, now: Assignment, stay: Stay | None) -> int:
    told = next(one for one in assembled.problem.told if one.task == now.task)
    line = assembled.line
    on, told_on = (line.at(minute).astimezone(ZoneInfo(line.zone)).date() for minute in (now.start, told.start))
    days = abs((on - told_on).days) if stay else 0
    moved = told.move_dollars + days * told.day_dollars if days else 0
    return moved + (told.crew_dollars if set(now.crews) != set(told.crews) else 0)
