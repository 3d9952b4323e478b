"""The model in the making: variables of each task, made when a rule first asks for them, each with its hint.

Starts and ends are positions on the axis. Real minutes are positions plus days: a moment is linear in its position and
its day, because every night is as long as the next; where the clock changes a literal says on which side the day lies.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from planner.solver.axis import DAY_MINUTES, Axis
from planner.solver.candidates import StartClass, TaskStarts
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Placement

Plan = Mapping[str, Placement]
Expr = cp_model.LinearExpr | int
Literal = cp_model.IntVar


@dataclass(slots=True, kw_only=True)
class TaskVars:
    """Variables of one task: its start, its classes with a literal each (None where there is one class), its end."""

    starts: TaskStarts
    start: Expr
    classes: tuple[tuple[StartClass, Literal | None], ...]
    end: Expr | None = None
    start_day: Expr | None = None
    end_day: Expr | None = None
    start_minute: Expr | None = None
    end_minute: Expr | None = None
    flags: dict[str, Literal | int] = field(default_factory=dict)


class Model:
    """A CP-SAT model with its problem; rules add to it.

    Parameters
    ----------
    ground : Ground
        The problem; every task has candidates.
    """

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.axis = ground.axis
        self.cp = cp_model.CpModel()
        self.tasks: dict[str, TaskVars] = {}
        self.costs: list[Expr] = []
        # False where choices are left out or a rule is modelled a little tighter than it is: then no bound can be had.
        self.is_exact = ground.candidates.is_whole
        self._hints: list[tuple[cp_model.IntVar, Callable[[Plan], int]]] = []
        self._night = DAY_MINUTES - self.axis.day_minutes
        self._changes = tuple(
            (day, then - before - DAY_MINUTES)
            for day, (before, then) in enumerate(zip(self.axis.opens, self.axis.opens[1:], strict=False), start=1)
            if then - before != DAY_MINUTES
        )

    def whole(self, low: int, high: int, name: str, hint: Callable[[Plan], int]) -> cp_model.IntVar:
        """Return a whole-number variable and note how its value follows from a plan."""
        made = self.cp.new_int_var(low, high, name)
        self._hints.append((made, hint))
        return made

    def flag(self, name: str, hint: Callable[[Plan], bool]) -> cp_model.IntVar:
        """Return a literal and note how its value follows from a plan."""
        made = self.cp.new_bool_var(name)
        self._hints.append((made, lambda plan: int(hint(plan))))
        return made

    def among(self, runs: tuple[tuple[int, int], ...], name: str, hint: Callable[[Plan], int]) -> cp_model.IntVar:
        """Return a variable over runs of positions and note how its value follows from a plan."""
        made = self.cp.new_int_var_from_domain(cp_model.Domain.from_intervals([list(run) for run in runs]), name)
        self._hints.append((made, hint))
        return made

    def hint(self, plan: Plan) -> None:
        """Hint every variable once, from a whole plan."""
        self.cp.clear_hints()  # type: ignore[no-untyped-call]
        for variable, value in self._hints:
            self.cp.add_hint(variable, value(plan))

    def start_day(self, key: str) -> Expr:
        """Return the index of the day a task starts on."""
        task = self.tasks[key]
        if task.start_day is None:
            pin = task.starts.task.pin
            if pin is not None:
                task.start_day = self.axis.day_index(pin.start)
            else:
                units = self.axis.units
                low = min(one.runs[0][0] for one in task.starts.classes) // units
                high = max(one.runs[-1][1] for one in task.starts.classes) // units
                day = self.whole(low, high, f"day {key}", lambda plan: plan[key].position // units)
                self.cp.add_linear_constraint(task.start - units * day, 0, units - 1)
                task.start_day = day
        return task.start_day

    def start_minute(self, key: str) -> Expr:
        """Return the exact start of a task [min since origin]."""
        task = self.tasks[key]
        if task.start_minute is None:
            pin = task.starts.task.pin
            task.start_minute = (
                pin.start
                if pin is not None
                else self._minute(task.start, self.start_day(key), f"start {key}", lambda plan: plan[key].start)
            )
        return task.start_minute

    def end_position(self, key: str) -> Expr:
        """Return the position at which a task is over; for ``elapsed`` and ``arrives`` it may be chosen later."""
        task = self.tasks[key]
        if task.end is None:
            # Only gear held until such a task asks for this; the end may lie past the horizon's last day.
            units, axis = self.axis.units, self.axis
            extra = task.starts.task.span_minutes // DAY_MINUTES + 2
            top = (len(axis.opens) + extra) * units
            end = self.whole(0, top, f"end {key}", lambda plan: true_end(self, plan[key])[1])
            day = self.whole(0, top // units, f"end's day {key}", lambda plan: true_end(self, plan[key])[0])
            self.cp.add_linear_constraint(end - units * day, 0, units)
            self.cp.add(
                self._minute(end, day, f"end {key}", lambda plan: axis.day_opens(true_end(self, plan[key])[0]))
                >= self.end_minute(key)
            )
            self.cp.add(end >= task.start)
            task.end = end
        return task.end

    def end_day(self, key: str) -> Expr:
        """Return the index of the day a task ends on; for ``elapsed`` it may be chosen later."""
        task = self.tasks[key]
        if task.end_day is None:
            task.end_day = self._end_day(key, task)
        return task.end_day

    def _end_day(self, key: str, task: TaskVars) -> Expr:
        axis, units = self.axis, self.axis.units
        starts = task.starts
        if starts.task.pin is not None:
            return axis.day_index(starts.task.pin.end)
        if starts.ends == "arrives":
            night = self._passes(key, task.starts.runs_overnight, "overnight")
            if isinstance(night, int):
                return self.start_day(key) + night
            # Gear held to its end needs one variable, not a sum.
            day = self.whole(0, len(axis.opens), f"end's day {key}", lambda plan: axis.day_index(plan[key].end))
            self.cp.add(day == self.start_day(key) + night)
            return day
        if starts.ends == "length":
            if within_a_day(starts, units):
                return self.start_day(key)
            low = min(one.runs[0][0] + one.length - 1 for one in starts.classes) // units
            high = max(one.runs[-1][1] + one.length - 1 for one in starts.classes) // units
            day = self.whole(low, high, f"end's day {key}", lambda plan: (plan[key].end_position - 1) // units)
            self.cp.add_linear_constraint(self.end_position(key) - units * day, 1, units)
            return day
        if not starts.task.span_minutes:
            return self.start_day(key)
        top = len(axis.opens) + starts.task.span_minutes // DAY_MINUTES + 2
        day = self.whole(0, top, f"end's day {key}", lambda plan: axis.day_index(plan[key].end))
        next_opening = self._opening(day + 1, 1, f"end {key}", lambda plan: axis.day_index(plan[key].end) + 1)
        self.cp.add(next_opening >= self.end_minute(key) + 1)
        return day

    def end_minute(self, key: str) -> Expr:
        """Return the exact end of a task [min since origin]."""
        task = self.tasks[key]
        if task.end_minute is None:
            task.end_minute = self._end_minute(key, task)
        return task.end_minute

    def _end_minute(self, key: str, task: TaskVars) -> Expr:
        starts = task.starts
        if starts.task.pin is not None:
            return starts.task.pin.end
        if starts.ends == "elapsed":
            return self.start_minute(key) + starts.task.span_minutes
        if starts.ends == "arrives":
            return self._arriving_end(key, starts)
        end = self._minute(self.end_position(key), self.end_day(key), f"end {key}", lambda plan: plan[key].end)
        pads = {one.pad for one in starts.classes}
        if len(pads) == 1:
            return end - pads.pop()
        return end - sum(one.pad * literal for one, literal in task.classes if literal is not None)

    def _passes(self, key: str, test: Callable[[Axis, int], bool], name: str) -> Literal | int:
        """Whether a start passes a test of its position: known, or a literal tied to the start."""
        task, axis = self.tasks[key], self.axis
        if name not in task.flags:
            runs = [run for one in task.starts.classes for run in one.runs]
            positions = [position for first, last in runs for position in range(first, last + 1)]
            passing = [position for position in positions if test(axis, position)]
            if len(passing) in (0, len(positions)):
                task.flags[name] = int(bool(passing))
            else:
                failing = [position for position in positions if not test(axis, position)]
                made = self.flag(f"{name} {key}", lambda plan: test(axis, plan[key].position))
                for literal, values in ((made, passing), (~made, failing)):
                    within = cp_model.Domain.from_values(values)
                    self.cp.add_linear_expression_in_domain(task.start, within).only_enforce_if(literal)
                task.flags[name] = made
        return task.flags[name]

    def _arriving_end(self, key: str, starts: TaskStarts) -> Expr:
        morning = self._passes(key, starts.waits_for_morning, "morning")
        by_clock = self.start_minute(key) + starts.task.span_minutes
        if isinstance(morning, int):
            return self._arrival(key, starts) if morning else by_clock
        end = self.whole(0, self.axis.last_minute, f"arrived {key}", lambda plan: plan[key].end)
        self.cp.add(end == self._arrival(key, starts)).only_enforce_if(morning)
        self.cp.add(end == by_clock).only_enforce_if(~morning)
        return end

    def _arrival(self, key: str, starts: TaskStarts) -> Expr:
        axis = self.axis
        after = {day: end - axis.opens[day + 1] for day, end in enumerate(starts.arrivals) if end is not None}
        day = self.start_day(key)
        if len(set(after.values())) == 1:
            opening = self._opening(day + 1, 1, f"arrival {key}", lambda plan: plan[key].position // axis.units + 1)
            return opening + next(iter(after.values()))
        table = [end if end is not None else 0 for end in starts.arrivals]
        end = self.whole(0, max(table), f"arrival {key}", lambda plan: table[plan[key].position // axis.units])
        self.cp.add_element(day, table, end)
        return end

    def _minute(self, position: Expr, day: Expr, name: str, moment: Callable[[Plan], int]) -> Expr:
        """Minute of a position on a given day."""
        axis = self.axis
        shift = self._shift(day, name, lambda plan: axis.day_index(moment(plan)))
        return axis.opens[0] + axis.grid_minutes * position + self._night * day + shift

    def _opening(self, day: Expr, least: int, name: str, index: Callable[[Plan], int]) -> Expr:
        return self.axis.opens[0] + DAY_MINUTES * day + self._shift(day, f"{name} {least}", index)

    def _shift(self, day: Expr, name: str, index: Callable[[Plan], int]) -> Expr:
        """Minutes by which changes of the clock have moved a day's opening."""
        shift: Expr = 0
        for change, minutes in self._changes:
            if isinstance(day, int):
                shift += minutes if day >= change else 0
                continue
            after = self.flag(f"{name} after change {change}", _from_change(index, change))
            self.cp.add(day >= change).only_enforce_if(after)
            self.cp.add(day < change).only_enforce_if(~after)
            shift = shift + minutes * after
        return shift


def _from_change(index: Callable[[Plan], int], change: int) -> Callable[[Plan], bool]:
    return lambda plan: index(plan) >= change


def within_a_day(starts: TaskStarts, units: int) -> bool:
    """Say whether every start of a task ends on its own day."""
    return all(
        # Joined runs may span days only where a stay is one unit, which cannot leave its day.
        one.length == 1 or first // units == (last + one.length - 1) // units
        for one in starts.classes
        for first, last in one.runs
    )


def true_end(model: Model, made: Placement) -> tuple[int, int]:
    """Return the day and position of a placement's end, which may lie past the horizon."""
    axis = model.axis
    if model.ground.starts[made.task].ends in ("length", "pinned"):
        return (made.end_position - 1) // axis.units, made.end_position
    day = axis.day_index(made.end)
    unit = min(axis.units, -(-(made.end - axis.day_opens(day)) // axis.grid_minutes))
    return day, max(day * axis.units + unit, made.position)
