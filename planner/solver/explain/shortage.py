"""Gear of which one task, or the work under way, holds more than there is: no plan, whoever does what when."""

from collections import defaultdict
from collections.abc import Iterator

from jobs.words import sentence_for
from planner.solver.problem import Gear, GearHold, Problem, Task
from planner.solver.result import Clash


def shortage_clashes(problem: Problem) -> tuple[Clash, ...]:
    """Return a clash for each kind of gear that is short by itself, naming gear, who takes most of it, and how many.

    Only holds that are out together in every plan are added up: those that begin with one task and last, and those
    out since before the first day.
    """
    return tuple(clash for gear in problem.gear for clash in _clashes_of(problem, gear))


def _clashes_of(problem: Problem, gear: Gear) -> Iterator[Clash]:
    tasks = {task.key: task for task in problem.tasks}
    held_from: dict[str, int] = defaultdict(int)
    since_before: list[GearHold] = []
    for hold in problem.holds_of_gear:
        if hold.gear != gear.key or tasks[hold.until_task].pin is not None:
            continue
        if hold.since is not None:
            if problem.days and hold.since < problem.days[0].opens:
                since_before.append(hold)
        elif _is_out_at_first(problem, hold, tasks[hold.from_task]):
            held_from[hold.from_task] += hold.amount
    short = {key: amount for key, amount in held_from.items() if amount > gear.count}
    if short:
        most = max(short, key=lambda key: short[key])
        yield _clash(gear, tasks[most], short[most], "solver.gear_short", others=len(short) - 1)
    amount = sum(hold.amount for hold in since_before)
    if amount > gear.count:
        yield _clash(gear, tasks[since_before[-1].until_task], amount, "solver.gear_short_now")


def _is_out_at_first(problem: Problem, hold: GearHold, first: Task) -> bool:
    """Whether a hold is out when its first task starts, in every plan: that task lasts, and the last one is it or
    waits for it."""
    if first.pin is not None or not (hold.whole_days or first.needs or first.span_minutes):
        return False
    reached = [hold.from_task]
    for key in reached:
        reached.extend(link.after for link in problem.links if link.before == key and link.after not in reached)
    return hold.until_task in reached


def _clash(gear: Gear, task: Task, amount: int, code: str, *, others: int = 0) -> Clash:
    facts = {
        "others": f", and {others} more {'task takes' if others == 1 else 'tasks take'} too many" if others else "",
        "field": gear.key,
        "task": task.title,
        "job": task.job,
        "gear": gear.name,
        "amount": amount,
        "count": gear.count,
        "missing": amount - gear.count,
    }
    return Clash(task=task.key, gate="gear", says=" ".join(sentence_for(code, facts)))
