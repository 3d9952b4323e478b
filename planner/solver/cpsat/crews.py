"""Crews: one place at a time."""

from collections import defaultdict
from collections.abc import Callable

from ortools.sat.python import cp_model

from planner.solver.cpsat.model import Literal, Model, Plan, TaskVars
from planner.solver.masks import join


def add_crews(model: Model) -> None:
    """Give each crew its possible stays as optional intervals of fixed size, none of which overlap."""
    stays: dict[str, list[cp_model.IntervalVar]] = defaultdict(list)
    pinned: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for key, task in model.tasks.items():
        if task.starts.task.pin is not None and len(task.classes) == 1:
            of = task.starts.classes[0]
            if of.length:
                for crew in of.crews:
                    pinned[crew].append((of.runs[0][0], of.runs[0][0] + of.length - 1))
            continue
        for crew, length, literal in _stays(model, key, task):
            name = f"{crew} on {key}"
            if literal is None:
                stays[crew].append(model.cp.new_fixed_size_interval_var(task.start, length, name))
            else:
                stays[crew].append(model.cp.new_optional_fixed_size_interval_var(task.start, length, literal, name))
    for crew in (one.key for one in model.ground.problem.crews):
        # Pinned work that overlaps itself is for the checker to judge; here it only takes the time it takes.
        blocked = [
            model.cp.new_fixed_size_interval_var(first, last - first + 1, f"{crew} pinned")
            for first, last in join(pinned[crew])
        ]
        if stays[crew]:
            model.cp.add_no_overlap([*blocked, *stays[crew]])


def _stays(model: Model, key: str, task: TaskVars) -> list[tuple[str, int, Literal | None]]:
    """Each crew that may do a task and the time it would take, with the literal that says so."""
    by_stay: dict[tuple[str, int], list[Literal | None]] = defaultdict(list)
    for of, literal in task.classes:
        if of.length:
            for crew in of.crews:
                by_stay[crew, of.length].append(literal)
    found: list[tuple[str, int, Literal | None]] = []
    for (crew, length), literals in by_stay.items():
        chosen = [literal for literal in literals if literal is not None]
        if not chosen:
            found.append((crew, length, None))
        elif len(chosen) == 1:
            found.append((crew, length, chosen[0]))
        else:
            # Several joint choices, or several pads, hold the same crew for the same time.
            either = model.flag(f"{crew} on {key} {length}", _stays_so(key, crew, length))
            model.cp.add(sum(chosen) == either)
            found.append((crew, length, either))
    return found


def _stays_so(key: str, crew: str, length: int) -> Callable[[Plan], bool]:
    return lambda plan: crew in plan[key].of.crews and plan[key].of.length == length
