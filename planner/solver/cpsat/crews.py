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


def add_drives(model: Model) -> None:
    """Between two stays of a crew on different sites lies the drive: one literal for each pair says which is first."""
    drives = model.ground.drives
    if not drives:
        return
    crews_of = {key: _crews_of(task) for key, task in model.tasks.items() if task.starts.task.site in drives}
    keys = list(crews_of)
    for number, first in enumerate(keys):
        for second in keys[number + 1 :]:
            here, there = (model.tasks[key].starts.task for key in (first, second))
            minutes = drives[here.site].get(there.site, 0)
            shared = [crew for crew in crews_of[first] if crew in crews_of[second]]
            if (
                minutes
                and shared
                and not (here.pin is not None and there.pin is not None)
                and _meet(model, first, second)
            ):
                _drive(model, first, second, minutes, shared)


def _crews_of(task: TaskVars) -> list[str]:
    return list(dict.fromkeys(crew for of, _ in task.classes if of.length for crew in of.crews))


def _meet(model: Model, first: str, second: str) -> bool:
    """Whether the days of two tasks overlap at all."""
    units = model.axis.units

    def days(key: str) -> tuple[int, int]:
        classes = [of for of, _ in model.tasks[key].classes]
        low = min(of.runs[0][0] for of in classes) // units
        return low, max((of.runs[-1][1] + max(0, of.length - 1)) // units for of in classes)

    (low, high), (other_low, other_high) = days(first), days(second)
    return low <= other_high and other_low <= high


def _drive(model: Model, first: str, second: str, minutes: int, shared: list[str]) -> None:
    name = f"{first} before {second}"
    before = model.flag(name, lambda plan: plan[first].start <= plan[second].start)
    forward = model.start_minute(second) >= model.end_minute(first) + minutes
    back = model.start_minute(first) >= model.end_minute(second) + minutes
    for crew in shared:
        both = [literal for key in (first, second) if (literal := _comes(model, key, crew)) is not None]
        model.cp.add(forward).only_enforce_if(before, *both)
        model.cp.add(back).only_enforce_if(~before, *both)


def _comes(model: Model, key: str, crew: str) -> Literal | None:
    """A literal that says whether a crew does a task; None where it does anyway."""
    task = model.tasks[key]
    literals = [literal for of, literal in task.classes if crew in of.crews and literal is not None]
    if len(literals) == len(task.classes) or any(crew in of.crews and literal is None for of, literal in task.classes):
        return None
    name = f"with {crew}"
    if name not in task.flags:
        comes = literals[0]
        if len(literals) > 1:
            comes = model.flag(f"{key} {name}", lambda plan: crew in plan[key].of.crews)
            model.cp.add(sum(literals) == comes)
        task.flags[name] = comes
    found = task.flags[name]
    assert not isinstance(found, int)
    return found


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
