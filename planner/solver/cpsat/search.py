"""Builds the model of a problem, runs the engine, and reads the plan back."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from typing import Literal

from ortools.sat.python import cp_model

from planner.solver.cpsat.costs import add_costs
from planner.solver.cpsat.crews import add_crews
from planner.solver.cpsat.gear import add_gear, add_limits
from planner.solver.cpsat.links import add_links
from planner.solver.cpsat.model import Model
from planner.solver.cpsat.starts import add_starts
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, laid_out
from planner.solver.parameters import Patient, Repeatable
from planner.solver.result import Assignment

ENGINE = f"ortools {version('ortools')}"

OnPlan = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the engine found: a plan if any, a bound [dollars] if one may be claimed, whether the clock cut it off."""

    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    assignments: tuple[Assignment, ...] = ()
    bound: int | None = None
    cut_off: bool = False


def build(ground: Ground) -> Model:
    """Return the whole model of a problem, rule family by rule family."""
    model = Model(ground)
    add_starts(model)
    add_links(model)
    add_crews(model)
    add_gear(model)
    add_limits(model)
    add_costs(model)
    return model


def search(
    ground: Ground,
    parameters: Repeatable | Patient,
    *,
    first: tuple[Assignment, ...] = (),
    on_plan: OnPlan | None = None,
) -> Found:
    """Search for the cheapest plan.

    Parameters
    ----------
    ground : Ground
        The problem; every task has candidates.
    parameters : Repeatable or Patient
        How long.
    first : tuple of Assignment
        A whole plan that keeps every rule, to begin from; may be empty.
    on_plan : callable, optional
        Called with cost and bound [dollars] of each better plan the engine finds.

    Returns
    -------
    Found
        A status, never an exception.

    Raises
    ------
    RuntimeError
        If the engine refuses the model: a bug of ours.
    """
    model = build(ground)
    if first:
        model.hint(laid_out(ground, first).placed)
    solver = cp_model.CpSolver()
    _set(solver, parameters)
    status = solver.solve(model.cp, _Watcher(on_plan) if on_plan is not None else None)
    if status == cp_model.MODEL_INVALID:
        raise RuntimeError(f"the engine refuses the model: {model.cp.validate()}")
    cut_off = isinstance(parameters, Repeatable) and solver.wall_time >= parameters.outer_seconds
    if status == cp_model.INFEASIBLE:
        return Found(status="infeasible" if model.is_exact else "unknown", cut_off=cut_off)
    if status == cp_model.UNKNOWN:
        return Found(status="unknown", cut_off=cut_off)
    return Found(
        status="optimal" if status == cp_model.OPTIMAL else "feasible",
        assignments=_read(model, solver),
        bound=_bound(model, solver),
        cut_off=cut_off,
    )


def _set(solver: cp_model.CpSolver, parameters: Repeatable | Patient) -> None:
    to = solver.parameters
    to.random_seed = parameters.seed
    # Presolve's inclusion detection can drop an enforcement literal when coefficients are large (9.15).
    to.presolve_inclusion_work_limit = 0
    if isinstance(parameters, Patient):
        to.num_workers = parameters.workers
        to.max_time_in_seconds = parameters.seconds
        return
    to.num_workers = 1
    to.interleave_search = True
    to.use_lns = True
    to.max_deterministic_time = parameters.deterministic_seconds
    to.max_time_in_seconds = parameters.outer_seconds


def _read(model: Model, solver: cp_model.CpSolver) -> tuple[Assignment, ...]:
    ledger = Ledger(model.ground)
    for key, task in model.tasks.items():
        chosen = next(of for of, literal in task.classes if literal is None or solver.boolean_value(literal))
        ledger.place(key, chosen, solver.value(task.start))
    return ledger.assignments()


def _bound(model: Model, solver: cp_model.CpSolver) -> int | None:
    """Whole dollars no plan is below; prices rounded down in the model only lower it."""
    return max(0, int(-(-solver.best_objective_bound // 1))) if model.is_exact else None


class _Watcher(cp_model.CpSolverSolutionCallback):
    """Passes each better plan's cost on."""

    def __init__(self, on_plan: OnPlan) -> None:
        super().__init__()
        self._on_plan = on_plan

    def on_solution_callback(self) -> None:
        self._on_plan(round(self.objective_value), max(0, round(self.best_objective_bound)))
