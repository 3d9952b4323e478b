"""From a problem to a checked plan.

Facts first (faults, allowed starts, pins), then greedy plans, then the engine from the best of them, then clock times.
Every answer is judged by the checker, and its cost is the checker's sum, whatever the engine says.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic
from typing import Literal

from jobs.words import sentence_for
from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.cpsat.engine import ENGINE, Found
from planner.solver.cpsat.search import Searched, search
from planner.solver.faults import refuse_faulty
from planner.solver.laying.greedy import Draft, Greedy, stuck_clash
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import laid_out
from planner.solver.laying.sequence import set_clock_times
from planner.solver.parameters import GreedyOnly, Parameters, Patient, Repeatable
from planner.solver.problem import Problem
from planner.solver.result import Assignment, Clash, Cost, Making, Result

logger = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A better plan on the way: who found it, its cost, and what no plan is below [dollars]."""

    stage: Literal["greedy", "engine"]
    dollars: int
    bound: int | None = None


OnProgress = Callable[[Progress], None]


class WrongPlanError(RuntimeError):
    """Our own plan breaks a rule: a bug, never shown as an answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Checked:
    """A plan the checker passed."""

    assignments: tuple[Assignment, ...]
    cost: Cost
    engine: str
    rule: str


def solve(problem: Problem, parameters: Parameters, *, on_progress: OnProgress | None = None) -> Result:
    """Return the best plan found, or the reasons why there is none.

    Parameters
    ----------
    problem : Problem
        What is asked.
    parameters : Repeatable, Patient or GreedyOnly
        How hard to search.
    on_progress : callable, optional
        Called with each better plan found on the way.

    Returns
    -------
    Result
        ``planned`` with a checked plan, or ``no_plan`` with clashes.

    Raises
    ------
    CannotDo
        If the problem is faulty as data.
    WrongPlanError
        If every plan made breaks a rule: a bug.
    """
    refuse_faulty(problem)
    candidates = find_candidates(problem)
    clashes = candidates.clashes or _pin_clashes(problem)
    if clashes:
        return Result(status="no_plan", clashes=clashes)
    tell = on_progress or (lambda _: None)
    return _Solving(Ground(problem=problem, candidates=candidates), parameters, tell).run()


class _Solving:
    """One run over one problem."""

    def __init__(self, ground: Ground, parameters: Parameters, tell: OnProgress) -> None:
        self._ground = ground
        self._parameters = parameters
        self._tell = tell
        self._wrong = False

    def run(self) -> Result:
        """Greedy plans, then the engine from the best of them."""
        began = monotonic()
        drafts = tuple(Greedy(self._ground).drafts())
        best = self._best_of(drafts)
        parameters = self._parameters
        if isinstance(parameters, GreedyOnly) or not self._ground.problem.tasks:
            return self._answer(best, drafts, None)
        searched = search(
            self._ground,
            parameters,
            first=best.assignments if best is not None else (),
            on_plan=lambda dollars, bound: self._tell(Progress(stage="engine", dollars=dollars, bound=bound)),
            began=began,
        )
        found = searched.found
        if found.status == "infeasible" and best is not None:
            logger.error("the engine calls a problem infeasible for which the checker passed a plan")
            searched = Searched(found=Found(status="unknown"))
        if found.assignments:
            mine = self._checked(found.assignments, ENGINE, best.rule if best is not None else "none")
            if mine is not None and (best is None or mine.cost.total < best.cost.total):
                best = mine
        return self._answer(best, drafts, searched)

    def _best_of(self, drafts: tuple[Draft, ...]) -> _Checked | None:
        best: _Checked | None = None
        for draft in drafts:
            if not draft.is_whole:
                continue
            made = self._checked(draft.assignments, "greedy", draft.rule)
            if made is not None and (best is None or made.cost.total < best.cost.total):
                best = made
                self._tell(Progress(stage="greedy", dollars=best.cost.total))
        return best

    def _checked(self, plan: tuple[Assignment, ...], engine: str, rule: str) -> _Checked | None:
        """The plan with its clock times set, if the checker passes it; as it was, if only that passes."""
        settled = set_clock_times(self._ground, laid_out(self._ground, plan))
        for assignments in (settled, plan):
            breaches = check(self._ground.problem, assignments)
            if not breaches:
                cost = cost_of(self._ground.problem, assignments)
                return _Checked(assignments=assignments, cost=cost, engine=engine, rule=rule)
            logger.error("a plan made by %s (%s) breaks a rule: %s", engine, rule, breaches[0])
        self._wrong = True
        return None

    def _answer(self, best: _Checked | None, drafts: tuple[Draft, ...], searched: Searched | None) -> Result:
        if best is None:
            if self._wrong:
                raise WrongPlanError("every plan made for this problem breaks a rule; see the log")
            return Result(status="no_plan", clashes=self._clashes(drafts, searched))
        bound = searched.found.bound if searched is not None else None
        return Result(
            status="planned",
            assignments=best.assignments,
            cost=best.cost,
            making=self._making(best, bound, cut_off=searched is not None and searched.cut_off),
        )

    def _making(self, best: _Checked, bound: int | None, *, cut_off: bool) -> Making:
        parameters = self._parameters
        proven = best.cost.total == 0 or (bound is not None and best.cost.total <= bound)
        if isinstance(parameters, Repeatable) and not cut_off:
            return Making(
                mode="repeatable",
                engine=best.engine,
                rule=best.rule,
                deterministic_seconds=parameters.deterministic_seconds,
                bound=bound,
                proven=proven,
            )
        if isinstance(parameters, GreedyOnly):
            return Making(mode="greedy", engine=best.engine, rule=best.rule, bound=bound, proven=proven)
        patience = parameters.seconds if isinstance(parameters, Patient) else parameters.outer_seconds
        return Making(
            mode="patient",
            engine=best.engine,
            rule=best.rule,
            patience_seconds=patience,
            bound=bound,
            proven=proven,
        )

    def _clashes(self, drafts: tuple[Draft, ...], searched: Searched | None) -> tuple[Clash, ...]:
        """Where the greedy plans broke off, each task once, in the words of what is known."""
        code = "solver.not_found"
        if searched is None:
            code = "solver.no_place"
        elif searched.found.status == "infeasible":
            code = "solver.impossible"
        clashes: dict[str, Clash] = {}
        for draft in drafts:
            if not draft.is_whole and draft.stuck not in clashes:
                clashes[draft.stuck] = stuck_clash(self._ground, draft, code)
        return tuple(clashes.values())


def _pin_clashes(problem: Problem) -> tuple[Clash, ...]:
    """Rules that pinned work breaks among itself, whatever the rest of the plan."""
    pins = {task.key: task.pin for task in problem.tasks if task.pin is not None}
    pinned = tuple(Assignment(task=key, start=pin.start, end=pin.end, crews=pin.crews) for key, pin in pins.items())
    # Who does the work of a pin that leaves its crews open is judged with the plan.
    return tuple(
        Clash(
            task=breach.task,
            gate="pinned",
            says=" ".join(sentence_for("solver.pinned", {"field": breach.task, "says": breach.says})),
        )
        for breach in check(problem, pinned)
        if breach.rule != "assigned" and (breach.rule != "crew" or pins[breach.task].crews)
    )
