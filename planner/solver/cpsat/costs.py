"""What a plan costs, in whole dollars: the terms the checker adds up, each as a linear expression."""

from collections.abc import Callable

import numpy as np
from ortools.sat.python import cp_model

from planner.solver.axis import Axis
from planner.solver.candidates import TaskStarts
from planner.solver.cpsat.model import Expr, Model, Plan
from planner.solver.cpsat.starts import cover
from planner.solver.masks import join
from planner.solver.problem import OpenDays, Told

# More price steps than this are rounded down to coarser dollars in the model; the checker's sum stays exact.
MOST_RUNS = 100


def add_costs(model: Model) -> None:
    """Collect every term and minimise their sum."""
    for key, task in model.tasks.items():
        _crews(model, key)
        _weather(model, key, task.starts)
    _late(model)
    for number, term in enumerate(model.ground.problem.open_days):
        _open(model, number, term)
    for told in model.ground.problem.told:
        _moved(model, told)
    model.cp.minimize(sum(model.costs))


def _crews(model: Model, key: str) -> None:
    for of, literal in model.tasks[key].classes:
        if of.dollars:
            model.costs.append(of.dollars if literal is None else of.dollars * literal)


def _weather(model: Model, key: str, starts: TaskStarts) -> None:
    """One literal for each price of a start; starts are split by price, which beats looking prices up."""
    if starts.task.pin is not None:
        model.costs.append(starts.weather_dollars(starts.task.pin.start))
        return
    if not starts.levels:
        return
    positions, dollars = _prices(starts, model.axis)
    runs = _price_runs(positions, dollars)
    if len(runs) > MOST_RUNS:
        dollars = _coarser(positions, dollars)
        runs = _price_runs(positions, dollars)
    price_at = dict(zip(positions.tolist(), dollars.tolist(), strict=True))
    by_price: dict[int, list[tuple[int, int]]] = {}
    for price, first, last in runs:
        by_price.setdefault(price, []).append((first, last))
    if len(by_price) == 1:
        model.costs.append(next(iter(by_price)))
        return
    everywhere = join([run for one in starts.classes for run in one.runs])
    literals = []
    for price, mine in sorted(by_price.items()):
        literal = model.flag(f"{key} at {price}", _at_price(key, price, price_at))
        domain = cp_model.Domain.from_intervals(cover(join(mine), everywhere))
        model.cp.add_linear_expression_in_domain(model.tasks[key].start, domain).only_enforce_if(literal)
        literals.append(literal)
        if price:
            model.costs.append(price * literal)
    model.cp.add_exactly_one(literals)


def _at_price(key: str, price: int, price_at: dict[int, int]) -> Callable[[Plan], bool]:
    return lambda plan: price_at[plan[key].position] == price


def _prices(starts: TaskStarts, axis: Axis) -> tuple[np.ndarray, np.ndarray]:
    """Every start a task may have, ascending, and what the sky costs there."""
    allowed = np.zeros(axis.size, dtype=bool)
    for one in starts.classes:
        for first, last in one.runs:
            allowed[first : last + 1] = True
    dollars = np.zeros(axis.size, dtype=np.int64)
    for price, runs in starts.levels:
        for first, last in runs:
            dollars[first : last + 1] += price
    positions = np.flatnonzero(allowed)
    return positions, dollars[positions]


def _price_runs(positions: np.ndarray, dollars: np.ndarray) -> list[tuple[int, int, int]]:
    """Stretches of starts at one price: (dollars, first, last), gaps between starts not counted."""
    edges = np.flatnonzero(np.diff(dollars)) + 1
    firsts = np.concatenate([[0], edges])
    lasts = np.concatenate([edges, [len(positions)]]) - 1
    return [(int(dollars[a]), int(positions[a]), int(positions[b])) for a, b in zip(firsts, lasts, strict=True)]


def _coarser(positions: np.ndarray, dollars: np.ndarray) -> np.ndarray:
    """Prices rounded down in ever larger steps until few enough are left."""
    for step in (2, 5, 10, 20, 50, 100):
        rounded = dollars // step * step
        if len(_price_runs(positions, rounded)) <= MOST_RUNS:
            return rounded
    return rounded


def _late(model: Model) -> None:
    axis = model.axis
    for number, promise in enumerate(model.ground.problem.promises):
        due = axis.day_index(promise.due)
        end_day = model.end_day(promise.task)
        task = promise.task

        def days_late(plan: Plan, task: str = task, due: int = due) -> int:
            return max(0, axis.day_index(plan[task].end) - due)

        _add_days(model, end_day - due, promise.dollars_per_day, f"late {number}", days_late)


def _open(model: Model, number: int, term: OpenDays) -> None:
    axis = model.axis
    begun = axis.day_index(term.since) if term.since is not None else model.start_day(term.from_task)

    def days_open(plan: Plan) -> int:
        since = term.since if term.since is not None else plan[term.from_task].start
        return max(0, axis.day_index(plan[term.until_task].end) - axis.day_index(since))

    _add_days(model, model.end_day(term.until_task) - begun, term.dollars_per_day, f"open {number}", days_open)


def _add_days(model: Model, days: Expr, rate: int, name: str, hint: Callable[[Plan], int]) -> None:
    """Add ``rate`` dollars for each day of ``days`` above none."""
    if not rate:
        return
    if isinstance(days, int):
        model.costs.append(rate * max(0, days))
        return
    count = model.whole(0, 4 * len(model.axis.opens) + 4000, name, hint)
    model.cp.add(count >= days)
    model.costs.append(rate * count)


def _moved(model: Model, told: Told) -> None:
    axis = model.axis
    if told.crews and told.crew_dollars:
        for of, literal in model.tasks[told.task].classes:
            if set(of.crews) != set(told.crews):
                model.costs.append(told.crew_dollars if literal is None else told.crew_dollars * literal)
    then = axis.day_index(told.start)
    now = model.start_day(told.task)
    if isinstance(now, int):
        days = abs(now - then)
        model.costs.append(told.day_dollars * days + (told.move_dollars if days else 0))
        return

    def days_moved(plan: Plan) -> int:
        return abs(axis.day_index(plan[told.task].start) - then)

    if told.move_dollars:
        moved = model.flag(f"moved {told.task}", lambda plan: days_moved(plan) > 0)
        model.cp.add(now == then).only_enforce_if(~moved)
        model.costs.append(told.move_dollars * moved)
    if told.day_dollars:
        distance = model.whole(0, len(axis.opens) + abs(then), f"days moved {told.task}", days_moved)
        model.cp.add(distance >= now - then)
        model.cp.add(distance >= then - now)
        model.costs.append(told.day_dollars * distance)
