"""Builds the model of a problem, runs the engine, and reads the plan back."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from math import ceil
from typing import Literal

from ortools.sat.python import cp_model

from planner.solver.cpsat.costs import add_costs
from planner.solver.cpsat.crews import add_crews, add_drives
from planner.solver.cpsat.gear import add_gear, add_limits
from planner.solver.cpsat.links import add_links
from planner.solver.cpsat.model import Model
from planner.solver.cpsat.starts import add_starts
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, laid_out
from planner.solver.result import Assignment

ENGINE = f"ortools {version('ortools')}"

OnPlan = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What one run of the engine may cost, and how it searches.

    Parameters
    ----------
    counted_seconds : float
        Limit of counted work [s], the same on every run.
    clock_seconds : float
        Limit on the clock [s].
    workers : int
        Threads.
    interleaved : bool
        One thread takes turns between strategies; repeatable.
    prepared : bool
        Whether the engine rewrites the model before searching: seconds well spent on a long run, most of the time of a
        short one.
    brief : bool
        Whether to rewrite the model once only and search without linear relaxations: for models of a second or less, on
        which both cost more than they give.
    seed : int
        Sets the engine's choices.
    """

    counted_seconds: float
    clock_seconds: float
    workers: int = 1
    interleaved: bool = False
    prepared: bool = True
    brief: bool = False
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the engine found: a plan if any, a bound [dollars] if one may be claimed, and the counted work spent [s]."""

    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    assignments: tuple[Assignment, ...] = ()
    bound: int | None = None
    spent: float = 0.0
    clock_seconds: float = 0.0
    dollars: int | None = None


class Stop:
    """Lets another thread end a run; a run that has not begun ends at once."""

    def __init__(self) -> None:
        self._asked = False
        self._solver: cp_model.CpSolver | None = None

    def now(self) -> None:
        """End the run with the best plan so far."""
        self._asked = True
        if self._solver is not None:
            self._solver.stop_search()

    def watch(self, solver: cp_model.CpSolver) -> bool:
        """Take note of the solver at work; return whether the end was asked for already."""
        self._solver = solver
        return self._asked


def build(ground: Ground) -> Model:
    """Return the whole model of a problem, rule family by rule family."""
    model = Model(ground)
    add_starts(model)
    add_links(model)
    add_crews(model)
    add_drives(model)
    add_gear(model)
    add_limits(model)
    add_costs(model)
    return model


def run(
    ground: Ground,
    effort: Effort,
    *,
    first: tuple[Assignment, ...] = (),
    on_plan: OnPlan | None = None,
    stop: Stop | None = None,
) -> Found:
    """Search for the cheapest plan with one model.

    Parameters
    ----------
    ground : Ground
        The problem; every task has candidates.
    effort : Effort
        How long and how.
    first : tuple of Assignment
        A whole plan that keeps every rule, to begin from; may be empty.
    on_plan : callable, optional
        Called with cost and bound [dollars] of each better plan the engine finds.
    stop : Stop, optional
        Ends the run from another thread.

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
        model.hint(laid_out(ground, first, holds_on=False).placed)
    solver = cp_model.CpSolver()
    _set(solver, effort)
    if stop is not None and stop.watch(solver):
        return Found(status="unknown")
    status = solver.solve(model.cp, _Watcher(on_plan) if on_plan is not None else None)
    spent, clock = solver.response_proto.deterministic_time, solver.wall_time
    if status == cp_model.MODEL_INVALID:
        raise RuntimeError(f"the engine refuses the model: {model.cp.validate()}")
    if status == cp_model.INFEASIBLE:
        return Found(status="infeasible" if model.is_exact else "unknown", spent=spent, clock_seconds=clock)
    if status == cp_model.UNKNOWN:
        return Found(status="unknown", spent=spent, clock_seconds=clock)
    return Found(
        status="optimal" if status == cp_model.OPTIMAL else "feasible",
        assignments=_read(model, solver),
        bound=_bound(model, solver),
        spent=spent,
        clock_seconds=clock,
        dollars=round(solver.objective_value),
    )


def _set(solver: cp_model.CpSolver, effort: Effort) -> None:
    to = solver.parameters
    to.random_seed = effort.seed
    to.num_workers = effort.workers
    to.max_deterministic_time = effort.counted_seconds
    to.max_time_in_seconds = effort.clock_seconds
    to.interleave_search = effort.interleaved
    # Presolve's inclusion detection can drop an enforcement literal when coefficients are large (9.15).
    to.presolve_inclusion_work_limit = 0
    if effort.interleaved:
        to.use_lns = True
    to.cp_model_presolve = effort.prepared
    if effort.brief:
        to.max_presolve_iterations = 1
        to.linearization_level = 0
    if effort.workers == 1:
        to.cp_model_probing_level = 0
        to.symmetry_level = 0


def _read(model: Model, solver: cp_model.CpSolver) -> tuple[Assignment, ...]:
    ledger = Ledger(model.ground)
    for key, task in model.tasks.items():
        chosen = next(of for of, literal in task.classes if literal is None or solver.boolean_value(literal))
        ledger.place(key, chosen, solver.value(task.start))
    return ledger.assignments()


def _bound(model: Model, solver: cp_model.CpSolver) -> int | None:
    """Whole dollars no plan is below; prices rounded down in the model only lower it."""
    return max(0, ceil(solver.best_objective_bound - 1e-6)) if model.is_exact else None


class _Watcher(cp_model.CpSolverSolutionCallback):
    """Passes each better plan's cost on."""

    def __init__(self, on_plan: OnPlan) -> None:
        super().__init__()
        self._on_plan = on_plan

    def on_solution_callback(self) -> None:
        self._on_plan(round(self.objective_value), max(0, round(self.best_objective_bound)))
