"""Starts and classes: which crews, how long on the axis, and where such a start may lie.

For given crews a start has one end, and few distinct times on the axis (the work, plus a weekend, plus a holiday), so
the starts are split by (crews, time) with one literal each, and crews meet only intervals of fixed size.
"""

from collections import defaultdict
from collections.abc import Callable

from ortools.sat.python import cp_model

from planner.solver.candidates import StartClass, TaskStarts
from planner.solver.cpsat.model import Expr, Literal, Model, Plan, TaskVars
from planner.solver.masks import Runs, join


def add_starts(model: Model) -> None:
    """Make the start, the classes and the end of every task."""
    for key, starts in model.ground.starts.items():
        model.tasks[key] = _free(model, key, starts) if starts.task.pin is None else _pinned(model, key, starts)


def _pinned(model: Model, key: str, starts: TaskStarts) -> TaskVars:
    at = starts.classes[0].runs[0][0]
    classes = _literals(model, key, starts)
    return TaskVars(starts=starts, start=at, classes=classes, end=at + starts.classes[0].length)


def _free(model: Model, key: str, starts: TaskStarts) -> TaskVars:
    everywhere = join([run for one in starts.classes for run in one.runs])
    start = model.among(everywhere, key, lambda plan: plan[key].position)
    classes = _literals(model, key, starts)
    _tie_domains(model, key, start, classes, everywhere)
    end = _end(model, key, start, classes) if starts.ends == "length" else None
    return TaskVars(starts=starts, start=start, classes=classes, end=end)


def _literals(model: Model, key: str, starts: TaskStarts) -> tuple[tuple[StartClass, Literal | None], ...]:
    if len(starts.classes) == 1:
        return ((starts.classes[0], None),)
    made = tuple(
        (one, model.flag(f"{key} {'+'.join(one.crews)} {one.length}", _chosen(key, (one,)))) for one in starts.classes
    )
    model.cp.add_exactly_one(literal for _, literal in made)
    return made


def _chosen(key: str, ours: tuple[StartClass, ...]) -> Callable[[Plan], bool]:
    return lambda plan: any(plan[key].of is one for one in ours)


def cover(runs: Runs, everywhere: Runs) -> list[list[int]]:
    """Return the fewest intervals that hold ``runs`` and none of the other positions of ``everywhere``.

    A class needs no gap where the variable has none to offer, and each gap costs the engine a literal.

    >>> cover(((0, 2), (8, 9)), ((0, 2), (4, 5), (8, 9)))
    [[0, 2], [8, 9]]
    >>> cover(((0, 2), (8, 9)), ((0, 2), (8, 9)))
    [[0, 9]]
    """
    others = _without(everywhere, runs)
    covers: list[list[int]] = []
    at = 0
    for first, last in runs:
        while at < len(others) and others[at][1] < first:
            at += 1
        gap_free = covers and (at == 0 or others[at - 1][1] < covers[-1][0])
        if gap_free:
            covers[-1][1] = last
        else:
            covers.append([first, last])
    return covers


def _without(everywhere: Runs, runs: Runs) -> list[tuple[int, int]]:
    """Positions of ``everywhere`` that are not in ``runs``, as ascending runs."""
    left: list[tuple[int, int]] = []
    at = 0
    for first, last in everywhere:
        low = first
        while at < len(runs) and runs[at][1] < low:
            at += 1
        ahead = at
        while ahead < len(runs) and runs[ahead][0] <= last:
            if runs[ahead][0] > low:
                left.append((low, runs[ahead][0] - 1))
            low = runs[ahead][1] + 1
            ahead += 1
        if low <= last:
            left.append((low, last))
    return left


def _tie_domains(
    model: Model,
    key: str,
    start: cp_model.IntVar,
    classes: tuple[tuple[StartClass, Literal | None], ...],
    everywhere: Runs,
) -> None:
    """Where a class is chosen the start lies among its starts; classes with the same starts share one literal."""
    sharing: dict[Runs, list[tuple[StartClass, Literal]]] = defaultdict(list)
    for one, literal in classes:
        if literal is not None:
            sharing[one.runs].append((one, literal))
    for number, (runs, members) in enumerate(sharing.items()):
        intervals = cover(runs, everywhere)
        if len(sharing) == 1:
            continue
        gate = members[0][1]
        if len(members) > 1:
            gate = model.flag(f"{key} among {number}", _chosen(key, tuple(one for one, _ in members)))
            for _, literal in members:
                model.cp.add_implication(literal, gate)
            model.cp.add_bool_or([*(literal for _, literal in members), ~gate])
        domain = cp_model.Domain.from_intervals(intervals)
        model.cp.add_linear_expression_in_domain(start, domain).only_enforce_if(gate)


def _end(
    model: Model, key: str, start: cp_model.IntVar, classes: tuple[tuple[StartClass, Literal | None], ...]
) -> Expr:
    lengths = sorted({one.length for one, _ in classes})
    if len(lengths) == 1:
        return start + lengths[0]
    low = min(one.runs[0][0] + one.length for one, _ in classes)
    high = max(one.runs[-1][1] + one.length for one, _ in classes)
    end = model.whole(low, high, f"end {key}", lambda plan: plan[key].end_position)
    model.cp.add(end == start + sum(one.length * literal for one, literal in classes if literal is not None))
    for one, literal in classes:
        if literal is not None:
            model.cp.add(end == start + one.length).only_enforce_if(literal)
    return end
