"""A plain project planned two ways at once: lists are bred while the engine looks for a proof."""

from collections.abc import Callable
from dataclasses import replace
from threading import Thread
from time import monotonic

from planner.solver.cpsat.engine import Effort, Found, OnPlan, Stop, run
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger
from planner.solver.laying.projects.breeding import Bred, breed
from planner.solver.laying.projects.project import Project
from planner.solver.parameters import Patient, Repeatable
from planner.solver.result import Assignment

# Counted work: lists laid down in one counted second, and the part of it that goes to the engine first.
LISTS_A_SECOND = 3000
ENGINE_SHARE = 0.3
# Seconds kept for reading and judging the plan.
LAST_SECONDS = 0.2


def search_project(
    ground: Ground,
    project: Project,
    parameters: Repeatable | Patient,
    *,
    seconds: float,
    first: tuple[Assignment, ...],
    on_plan: OnPlan | None = None,
) -> Found:
    """Search for the cheapest plan of a plain project.

    Parameters
    ----------
    ground : Ground
        The problem.
    project : Project
        The same as a plain project.
    parameters : Repeatable or Patient
        How long. Repeatably the engine goes first and the lists after it; patiently both at once, lists on one worker
        and the engine on the others.
    seconds : float
        Left on the clock [s].
    first : tuple of Assignment
        A whole plan that keeps every rule; may be empty.
    on_plan : callable, optional
        Called with cost and bound [dollars] of each better plan.
    """
    until = monotonic() + max(0.1, seconds - LAST_SECONDS)
    if isinstance(parameters, Patient) and parameters.workers > 1:
        return _at_once(ground, project, parameters, until, first, on_plan)
    return _one_by_one(ground, project, parameters, until, first, on_plan)


def _at_once(
    ground: Ground,
    project: Project,
    parameters: Patient,
    until: float,
    first: tuple[Assignment, ...],
    on_plan: OnPlan | None,
) -> Found:
    proving = _Proving(ground, parameters, first, until)
    proving.start()
    try:
        bred = _bred(
            project, parameters.seed, lambda _, dollars: monotonic() >= until or proving.settles(dollars), on_plan
        )
    finally:
        proving.stop.now()
        proving.join()
    if proving.failure is not None:
        raise proving.failure
    return _better(ground, project, proving.found, bred)


def _one_by_one(
    ground: Ground,
    project: Project,
    parameters: Repeatable | Patient,
    until: float,
    first: tuple[Assignment, ...],
    on_plan: OnPlan | None,
) -> Found:
    patient = isinstance(parameters, Patient)
    left = until - monotonic()
    counted = parameters.deterministic_seconds if isinstance(parameters, Repeatable) else 1e9
    effort = Effort(
        counted_seconds=counted * ENGINE_SHARE,
        clock_seconds=max(0.01, left * (ENGINE_SHARE if patient else 1.0)),
        interleaved=not patient,
        seed=parameters.seed,
    )
    found = run(ground, effort, first=first, on_plan=on_plan)
    if found.status in ("optimal", "infeasible"):
        return found
    most = (counted - found.spent) * LISTS_A_SECOND
    bound = found.bound or 0
    bred = _bred(
        project,
        parameters.seed,
        lambda tried, dollars: tried >= most or monotonic() >= until or dollars <= bound,
        on_plan,
    )
    return replace(
        _better(ground, project, found, bred), spent=found.spent + (bred.tried / LISTS_A_SECOND if bred else 0.0)
    )


class _Proving(Thread):
    """The engine at work on the whole problem in a thread of its own."""

    def __init__(self, ground: Ground, parameters: Patient, first: tuple[Assignment, ...], until: float) -> None:
        super().__init__(daemon=True)
        self._ground = ground
        self._first = first
        self._effort = Effort(
            counted_seconds=1e9,
            clock_seconds=max(0.01, until - monotonic()),
            workers=parameters.workers - 1,
            seed=parameters.seed,
        )
        self._best: int | None = None
        self._bound = 0
        self.stop = Stop()
        self.found = Found(status="unknown")
        self.failure: Exception | None = None

    def run(self) -> None:
        try:
            self.found = run(self._ground, self._effort, first=self._first, on_plan=self._note, stop=self.stop)
        except Exception as failure:  # Raised again by whoever waits for this thread.
            self.failure = failure

    def settles(self, dollars: int) -> bool:
        """Whether nothing is left to breed: a proof, a bound that is met, or a failure."""
        return self.failure is not None or self.found.status in ("optimal", "infeasible") or dollars <= self._bound

    def _note(self, dollars: int, bound: int) -> None:
        self._best, self._bound = dollars, max(self._bound, bound)


def _bred(project: Project, seed: int, is_over: Callable[[int, int], bool], on_plan: OnPlan | None) -> Bred | None:
    best: Bred | None = None
    for best in breed(project, seed, is_over):
        if on_plan is not None:
            on_plan(best.dollars, 0)
    return best


def _better(ground: Ground, project: Project, found: Found, bred: Bred | None) -> Found:
    """The cheaper of the engine's plan and the bred one, with the engine's bound."""
    if bred is None or found.status in ("optimal", "infeasible"):
        return found
    if found.assignments and found.dollars is not None and found.dollars <= bred.dollars:
        return found
    ledger = Ledger(ground)
    for key, position in zip(project.keys, bred.starts, strict=True):
        ledger.place(key, ground.starts[key].classes[0], position)
    return replace(found, status="feasible", assignments=ledger.assignments(), dollars=bred.dollars)
