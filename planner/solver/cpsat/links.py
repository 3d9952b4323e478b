"""Links: least and longest waits between two tasks.

A wait of clock time moves a start by a number of positions that may depend on the hour the earlier task ends. Where
it does not, one linear rule in positions says it all; where it does, the rule is stated in minutes and the weakest and
strongest shift are added in positions, which the engine reasons with better.
"""

from collections.abc import Callable

import numpy as np
from ortools.sat.python import cp_model

from planner.solver.axis import Axis
from planner.solver.cpsat.model import Expr, Model, Plan, TaskVars
from planner.solver.problem import Link, Wait


def add_links(model: Model) -> None:
    """State every link that binds."""
    for number, link in enumerate(model.ground.binding_links):
        _Stating(model, link, number).state()


class _Stating:
    """States one link.

    ``_at`` is the variable the end follows from: the end's position, or the start's where the end is a clock time.
    ``_values`` are its possible values and ``_ends`` the exact end for each [min].
    """

    def __init__(self, model: Model, link: Link, number: int) -> None:
        self._model = model
        self._link = link
        self._name = f"link {number}"
        self._axis = model.axis
        before = model.tasks[link.before]
        self._after: Expr = model.tasks[link.after].start
        self._at, self._values, self._ends = _ends_of(before, self._axis)

    def state(self) -> None:
        link = self._link
        if self._exact_moments():
            self._in_minutes(least=True, most=link.max_minutes is not None)
        else:
            soonest = _start_positions(self._axis, self._ends + link.min_minutes)
            if not self._in_positions(soonest, least=True):
                self._in_minutes(least=True, most=False)
            if link.max_minutes is not None:
                latest = _last_positions(self._axis, self._ends + link.max_minutes)
                if not self._in_positions(latest, least=False):
                    self._in_minutes(least=False, most=True)
        for wait, least in ((link.ready, True), (link.close, False)):
            if wait is not None:
                self._by_steps(wait, least=least)

    def _exact_moments(self) -> bool:
        """Pins may lie off the axis, so their links are stated in minutes alone."""
        model, link = self._model, self._link
        return any(model.ground.starts[key].task.pin is not None for key in (link.before, link.after))

    def _in_minutes(self, *, least: bool, most: bool) -> None:
        model, link = self._model, self._link
        end, start = model.end_minute(link.before), model.start_minute(link.after)
        if least:
            self._add(start >= end + link.min_minutes)
        if most and link.max_minutes is not None:
            self._add(start <= end + link.max_minutes)

    def _in_positions(self, bounds: np.ndarray, *, least: bool) -> bool:
        """State the part of a bound that is linear in positions; return whether that is all of it."""
        shifts = bounds - self._values
        low, high = int(shifts.min()), int(shifts.max())
        if least:
            self._add(self._after >= self._at + low)
        else:
            self._add(self._after <= self._at + high)
        return low == high

    def _by_steps(self, wait: Wait, *, least: bool) -> None:
        """A wait that depends on when it begins: one literal for each value, in the order of the moments."""
        untils = np.array([until for until, _ in wait.steps])
        known = self._ends <= untils[-1]
        values, ends = self._values[known], self._ends[known]
        if not len(values):
            self._model.cp.add_bool_or([])
            return
        self._add(self._at <= int(values.max()))
        moments = np.array([value for _, value in wait.steps])[np.searchsorted(untils, ends, side="left")]
        pin = self._model.ground.starts[self._link.after].task.pin
        if pin is not None:
            # A pinned start may lie off the axis: say which ends suit it instead.
            fitting = values[moments <= pin.start] if least else values[moments >= pin.start]
            domain = cp_model.Domain.from_values(sorted(set(fitting.tolist())))
            self._model.cp.add_linear_expression_in_domain(self._at, domain)
            return
        bounds = _start_positions(self._axis, moments) if least else _last_positions(self._axis, moments)
        self._stairs(values, bounds, least=least)

    def _stairs(self, values: np.ndarray, bounds: np.ndarray, *, least: bool) -> None:
        by_value: dict[int, int] = {}
        for value, bound in sorted(zip(values.tolist(), bounds.tolist(), strict=True)):
            known = by_value.setdefault(value, bound)
            if known != bound:
                # Two exact ends share a position: the tighter bound is kept for both.
                self._model.is_exact = False
                by_value[value] = max(known, bound) if least else min(known, bound)
        at = np.array(list(by_value))
        bound = np.array(list(by_value.values()))
        shifts = bound - at
        if shifts.min() == shifts.max():
            self._add(self._after >= self._at + int(shifts[0]) if least else self._after <= self._at + int(shifts[0]))
            return
        if least:
            self._add(self._after >= self._at + int(shifts.min()))
            self._add(self._after >= int(bound[0]))
        else:
            self._add(self._after <= self._at + int(shifts.max()))
            self._add(self._after <= int(bound[-1]))
        previous = None
        for step in np.flatnonzero(np.diff(bound)).tolist():
            threshold = int(at[step + 1])
            past = self._model.flag(f"{self._name} {threshold}", self._past(threshold))
            self._add(self._at >= threshold, past)
            self._add(self._at <= int(at[step]), ~past)
            if least:
                self._add(self._after >= int(bound[step + 1]), past)
            else:
                self._add(self._after <= int(bound[step]), ~past)
            if previous is not None:
                self._model.cp.add_implication(past, previous)
            previous = past

    def _past(self, threshold: int) -> Callable[[Plan], bool]:
        key = self._link.before
        by_end = self._model.ground.starts[key].ends in ("length", "pinned")
        return lambda plan: (plan[key].end_position if by_end else plan[key].position) >= threshold

    def _add(self, rule: object, *literals: object) -> None:
        """Add a rule unless it holds no variable; one that is plainly false makes the model infeasible."""
        if isinstance(rule, (bool, np.bool_)):
            if not rule:
                self._model.cp.add_bool_or([~literal for literal in literals])  # type: ignore[operator]
            return
        made = self._model.cp.add(rule)  # type: ignore[arg-type]
        if literals:
            made.only_enforce_if(*literals)


def _ends_of(before: TaskVars, axis: Axis) -> tuple[Expr, np.ndarray, np.ndarray]:
    """The variable an end follows from, its possible values, and the exact end for each."""
    starts = before.starts
    if starts.task.pin is not None:
        end = starts.task.pin.end
        position = axis.end_position(end)
        return position, np.array([position]), np.array([end])
    values: list[np.ndarray] = []
    ends: list[np.ndarray] = []
    kinds = {(one.length, one.pad, one.runs): one for one in starts.classes}
    opens = np.array(axis.opens)
    for one in kinds.values():
        positions = np.concatenate([np.arange(first, last + 1) for first, last in one.runs])
        day = positions // axis.units
        if starts.ends == "length":
            at = positions + one.length
            end_day = (at - 1) // axis.units
            values.append(at)
            ends.append(opens[end_day] + (at - end_day * axis.units) * axis.grid_minutes - one.pad)
        elif starts.ends == "elapsed":
            values.append(positions)
            ends.append(opens[day] + (positions - day * axis.units) * axis.grid_minutes + starts.task.span_minutes)
        else:
            values.append(positions)
            ends.append(np.array([starts.end_minute(axis, int(position), one) for position in positions]))
    at_variable = before.end if starts.ends == "length" else before.start
    assert at_variable is not None
    return at_variable, np.concatenate(values), np.concatenate(ends)


def _start_positions(axis: Axis, moments: np.ndarray) -> np.ndarray:
    """First start at or after each moment."""
    opens = np.array(axis.opens)
    day = np.searchsorted(opens, moments, side="right") - 1
    inside = np.maximum(day, 0)
    unit = -((opens[inside] - moments) // axis.grid_minutes)
    found = inside * axis.units + np.minimum(unit, axis.units)
    return np.where(day < 0, 0, found)


def _last_positions(axis: Axis, moments: np.ndarray) -> np.ndarray:
    """Last start at or before each moment."""
    opens = np.array(axis.opens)
    day = np.searchsorted(opens, moments, side="right") - 1
    inside = np.maximum(day, 0)
    unit = (moments - opens[inside]) // axis.grid_minutes
    found = inside * axis.units + np.minimum(unit, axis.units - 1)
    return np.where(day < 0, -1, found)
