"""What there is only so much of: gear held from one task to another, and starts a day."""

from collections import defaultdict

from ortools.sat.python import cp_model

from planner.solver.cpsat.model import Expr, Model, Plan, true_end
from planner.solver.problem import GearHold


def add_gear(model: Model) -> None:
    """At no moment more of a kind of gear is out than there is."""
    held: dict[str, list[tuple[cp_model.IntervalVar, int]]] = defaultdict(list)
    for number, hold in enumerate(model.ground.problem.holds_of_gear):
        if hold.amount:
            held[hold.gear].append((_interval(model, number, hold), hold.amount))
    for gear in model.ground.problem.gear:
        intervals = [interval for interval, _ in held[gear.key]]
        amounts = [amount for _, amount in held[gear.key]]
        if sum(amounts) > gear.count:
            _at_most(model, intervals, amounts, gear.count)


def add_limits(model: Model) -> None:
    """On no day more of a limit's tasks start than it allows."""
    units = model.axis.units
    for limit in model.ground.problem.limits:
        if len(limit.tasks) > limit.count:
            days = [
                model.cp.new_fixed_size_interval_var(units * model.start_day(key), units, f"{limit.key} {key}")
                for key in limit.tasks
            ]
            _at_most(model, days, [1] * len(days), limit.count)


def _at_most(model: Model, intervals: list[cp_model.IntervalVar], amounts: list[int], count: int) -> None:
    if count == 1 and set(amounts) == {1}:
        model.cp.add_no_overlap(intervals)
    else:
        model.cp.add_cumulative(intervals, amounts, count)


def _interval(model: Model, number: int, hold: GearHold) -> cp_model.IntervalVar:
    axis, units = model.axis, model.axis.units
    begin: Expr
    if hold.since is None and hold.from_task == hold.until_task and not hold.whole_days:
        task = model.tasks[hold.from_task]
        lengths = {of.length for of, _ in task.classes}
        if task.starts.ends == "length" and len(lengths) == 1:
            # Held while the task runs and no longer: intervals of fixed size are the cheap kind.
            return model.cp.new_fixed_size_interval_var(task.start, lengths.pop(), f"hold {number}")
    if hold.since is not None:
        begin = axis.floor_position(hold.since)
        if hold.whole_days:
            begin -= begin % units
        _not_before(model, model.end_minute(hold.until_task), hold.since)
    else:
        begin = units * model.start_day(hold.from_task) if hold.whole_days else model.tasks[hold.from_task].start
    end: Expr = units * (model.end_day(hold.until_task) + 1) if hold.whole_days else model.end_position(hold.until_task)
    if hold.since is None and not _comes_before(model, hold.from_task, hold.until_task):
        # Close of one day and opening of the next share a position; only minutes tell which comes first.
        _not_before(model, model.end_minute(hold.until_task), model.start_minute(hold.from_task))
    if isinstance(begin, int) and isinstance(end, int):
        return model.cp.new_fixed_size_interval_var(begin, max(0, end - begin), f"hold {number}")
    top = 2 * axis.size + 100 * units
    size = model.whole(0, top, f"hold {number}", lambda plan: _size(model, hold, plan))
    return model.cp.new_interval_var(begin, size, end, f"hold {number}")


def _not_before(model: Model, end: Expr, since: Expr) -> None:
    if not (isinstance(end, int) and isinstance(since, int)):
        model.cp.add(end >= since)


def _comes_before(model: Model, first: str, last: str) -> bool:
    """Whether links alone put the end of ``last`` after the start of ``first``."""
    reached = [first]
    for key in reached:
        reached.extend(link.after for link in model.ground.links_out[key] if link.after not in reached)
    return last in reached


def _size(model: Model, hold: GearHold, plan: Plan) -> int:
    """Positions a hold takes in a plan."""
    axis, units = model.axis, model.axis.units
    until = plan[hold.until_task]
    since = hold.since if hold.since is not None else plan[hold.from_task].start
    if hold.whole_days:
        first = axis.floor_position(since) // units if hold.since is not None else axis.day_index(since)
        return units * (axis.day_index(until.end) + 1 - first)
    first = axis.floor_position(since) if hold.since is not None else plan[hold.from_task].position
    return true_end(model, until)[1] - first
