"""How the engine is used on a whole problem: one model where it is small, piece by piece where it is not."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from os import sched_getaffinity
from time import monotonic

from planner.solver.check import cost_of
from planner.solver.cpsat.engine import Effort, Found, OnPlan, run
from planner.solver.cpsat.improve import Step, improve
from planner.solver.cpsat.neighbourhoods import NOWHERE, Around
from planner.solver.cpsat.projected import search_project
from planner.solver.cpsat.together import improve_together
from planner.solver.laying.ground import Ground
from planner.solver.laying.projects.project import as_project
from planner.solver.parameters import Patient, Repeatable
from planner.solver.result import Assignment

# Up to so many free tasks one model is solved well, often to the proof; beyond, pieces win by far.
ONE_MODEL = 60
# Up to so many tasks, and given so many seconds, one model with all workers still adds to what the pieces found.
WITH_WORKERS, WORTH_SECONDS = 400, 120.0
# Seconds between two plans handed out on the way.
KEEP_EVERY = 0.5
# Many small pieces, each prepared, save more in the same time than few that end unfinished.
PIECE = Effort(counted_seconds=0.04, clock_seconds=60.0, brief=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """What the search found, and whether the emergency stop on the clock cut it off."""

    found: Found
    cut_off: bool = False


def search(
    ground: Ground,
    parameters: Repeatable | Patient,
    *,
    first: tuple[Assignment, ...] = (),
    on_plan: OnPlan | None = None,
    began: float | None = None,
    around: Around = NOWHERE,
    keep: Callable[[tuple[Assignment, ...]], None] | None = None,
) -> Searched:
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
        Called with cost and bound [dollars] of each better plan.
    began : float, optional
        When the time given began to run, on the clock of ``time.monotonic`` [s]; now if not given.
    around : Around
        Tasks that pieces shall rather be drawn around.
    keep : callable, optional
        Called now and then with the best plan so far itself.

    Returns
    -------
    Searched
        A status, never an exception.
    """
    return _Search(ground, parameters, on_plan, monotonic() if began is None else began, around, keep).run(first)


class _Search:
    def __init__(
        self,
        ground: Ground,
        parameters: Repeatable | Patient,
        on_plan: OnPlan | None,
        began: float,
        around: Around,
        keep: Callable[[tuple[Assignment, ...]], None] | None,
    ) -> None:
        self._keep = keep
        self._kept_at = began
        self._around = around
        self._ground = ground
        self._parameters = parameters
        self._on_plan = on_plan
        self._began = began
        self._outer = parameters.seconds if isinstance(parameters, Patient) else parameters.outer_seconds
        self._counted = parameters.deterministic_seconds if isinstance(parameters, Repeatable) else float("inf")

    def run(self, first: tuple[Assignment, ...]) -> Searched:
        """One model for a small problem, or where there is no plan to begin from; then pieces."""
        project = as_project(self._ground)
        if project is not None:
            found = search_project(
                self._ground, project, self._parameters, seconds=self._left(), first=first, on_plan=self._on_plan
            )
            return Searched(found=found, cut_off=isinstance(self._parameters, Repeatable) and self._left() <= 0)
        free = sum(1 for starts in self._ground.starts.values() if starts.task.pin is None)
        found = Found(status="unknown", assignments=first)
        if free <= ONE_MODEL or not first:
            found = self._one_model(first, share=0.5 if free > ONE_MODEL // 2 else 1.0)
        if found.assignments and found.status != "optimal":
            patient = isinstance(self._parameters, Patient) and free <= WITH_WORKERS and self._left() >= WORTH_SECONDS
            found = self._in_pieces(found, until=self._left() / 2 if patient else 0.0)
            if patient:
                found = self._one_model(found.assignments, share=1.0)
        cut_off = isinstance(self._parameters, Repeatable) and self._left() <= 0
        return Searched(found=found, cut_off=cut_off)

    def _left(self) -> float:
        """Seconds left on the clock."""
        return self._outer - (monotonic() - self._began)

    def _one_model(self, first: tuple[Assignment, ...], share: float) -> Found:
        parameters = self._parameters
        clock = max(0.01, self._left())
        if isinstance(parameters, Patient):
            effort = Effort(
                counted_seconds=1e9,
                clock_seconds=clock * share,
                workers=parameters.workers,
                seed=parameters.seed,
            )
        else:
            effort = Effort(
                counted_seconds=self._counted * share, clock_seconds=clock, interleaved=True, seed=parameters.seed
            )
        return run(self._ground, effort, first=first, on_plan=self._on_plan)

    def _in_pieces(self, found: Found, *, until: float) -> Found:
        """Improve a plan piece by piece until so many seconds are left; the bound of one model, if any, still holds."""
        dollars = cost_of(self._ground.problem, found.assignments).total
        plan = found.assignments
        piece = replace(PIECE, seed=self._parameters.seed)
        is_over = self._is_over(found.spent, until)
        for step in self._steps(plan, piece, is_over):
            if step.saved:
                dollars -= step.saved
                plan = step.assignments()
                if self._on_plan is not None:
                    self._on_plan(dollars, found.bound or 0)
                if self._keep is not None and monotonic() - self._kept_at > KEEP_EVERY:
                    self._kept_at = monotonic()
                    self._keep(plan)
        return replace(found, status="feasible", assignments=plan)

    def _steps(self, plan: tuple[Assignment, ...], piece: Effort, is_over: Callable[[float], bool]) -> Iterator[Step]:
        """One piece at a time where the plan must be repeatable, else as many as there are workers and processors."""
        parameters = self._parameters
        hands = min(parameters.workers, len(sched_getaffinity(0))) if isinstance(parameters, Patient) else 1
        if hands == 1:
            return improve(self._ground, plan, piece, parameters.seed, is_over, self._around)
        return improve_together(self._ground, plan, piece, parameters.seed, is_over, self._around, hands=hands)

    def _is_over(self, before: float, until: float) -> Callable[[float], bool]:
        return lambda spent: before + spent >= self._counted or self._left() <= until
