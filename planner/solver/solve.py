"""From a problem to a checked plan.

Facts first (faults, allowed starts, pins), then greedy plans, then the engine from the best of them, then clock times.
Every answer is judged by the checker, and its cost is the checker's sum, whatever the engine says.
"""

import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from time import monotonic
from typing import Literal

from jobs.words import sentence_for
from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.cpsat.engine import ENGINE, Found
from planner.solver.cpsat.neighbourhoods import NOWHERE, Around
from planner.solver.cpsat.search import Searched, search
from planner.solver.explain.clash import Patience, clashes_of, find_cores
from planner.solver.explain.shortage import shortage_clashes
from planner.solver.faults import refuse_faulty
from planner.solver.laying.greedy import Draft, Greedy, stuck_clash
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import laid_out
from planner.solver.laying.sequence import set_clock_times
from planner.solver.parameters import GreedyOnly, Parameters, Patient, Repeatable
from planner.solver.problem import Problem
from planner.solver.result import Assignment, Clash, Cost, Making, Result

logger = logging.getLogger(__name__)

# So many of the cheapest drafts have their clock times set.
SETTLED = 3
# A patient search stops drafting once this share of its time is gone and there is a plan.
DRAFTING_SHARE = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A better plan on the way: who found it, its cost, and what no plan is below [dollars]."""

    stage: Literal["greedy", "engine"]
    dollars: int
    bound: int | None = None


OnProgress = Callable[[Progress], None]
# Takes each better plan the checker or the engine passed, and the rule it came from.
Keep = Callable[[tuple[Assignment, ...], str], None]


class WrongPlanError(RuntimeError):
    """Our own plan breaks a rule: a bug, never shown as an answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Checked:
    """A plan the checker passed."""

    assignments: tuple[Assignment, ...]
    cost: Cost
    engine: str
    rule: str


def solve(
    problem: Problem,
    parameters: Parameters,
    *,
    on_progress: OnProgress | None = None,
    keep: Keep | None = None,
) -> Result:
    """Return the best plan found, or the reasons why there is none.

    Parameters
    ----------
    problem : Problem
        What is asked.
    parameters : Repeatable, Patient or GreedyOnly
        How hard to search.
    on_progress : callable, optional
        Called with each better plan found on the way.
    keep : callable, optional
        Called with each better plan itself, for whoever may have to end this early.

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
    clashes = candidates.clashes or _pin_clashes(problem) or shortage_clashes(problem)
    if clashes:
        return Result(status="no_plan", clashes=clashes)
    tell = on_progress or (lambda _: None)
    ground = Ground(problem=problem, candidates=candidates)
    began = monotonic()
    return Solving(ground, parameters, tell, began, keep=keep).run(Greedy(ground).drafts())


class Solving:
    """One run over one problem, from drafts to a checked answer.

    Parameters
    ----------
    ground : Ground
        The problem; every task has candidates.
    parameters : Repeatable, Patient or GreedyOnly
        How hard to search.
    tell : callable
        Called with each better plan.
    began : float
        When the time given began to run, on the clock of ``time.monotonic`` [s].
    asks_why : bool
        Whether to look for what clashes where there is no plan.
    keep : callable, optional
        Called with each better plan itself.
    """

    def __init__(
        self,
        ground: Ground,
        parameters: Parameters,
        tell: OnProgress,
        began: float,
        *,
        asks_why: bool = True,
        keep: Keep | None = None,
    ) -> None:
        self._keep = keep
        self._asks_why = asks_why
        self._ground = ground
        self._parameters = parameters
        self._tell = tell
        self._began = began
        self._wrong = False

    def run(self, offered: Iterable[Draft], around: Around = NOWHERE) -> Result:
        """The engine from the best of the drafts, rather around some tasks than everywhere."""
        drafts, best = self._best_of(offered)
        parameters = self._parameters
        if isinstance(parameters, GreedyOnly) or not self._ground.problem.tasks:
            return self._answer(best, drafts, None)
        rule = best.rule if best is not None else "none"
        keep = self._keep
        searched = search(
            self._ground,
            parameters,
            first=best.assignments if best is not None else (),
            on_plan=lambda dollars, bound: self._tell(Progress(stage="engine", dollars=dollars, bound=bound)),
            began=self._began,
            around=around,
            keep=None if keep is None else lambda plan: keep(plan, rule),
        )
        found = searched.found
        if found.status == "infeasible" and best is not None:
            logger.error("the engine calls a problem infeasible for which the checker passed a plan")
            searched = Searched(found=Found(status="unknown"))
        if found.assignments:
            mine = self._checked(found.assignments, ENGINE, rule)
            if mine is not None and (best is None or mine.cost.total < best.cost.total):
                best = mine
        return self._answer(best, drafts, searched)

    def _best_of(self, offered: Iterable[Draft]) -> tuple[tuple[Draft, ...], _Checked | None]:
        """Every draft made, and the best of their plans; clock times are set only in the most promising."""
        drafts: list[Draft] = []
        whole: list[_Checked] = []
        for draft in offered:
            drafts.append(draft)
            made = self._judged(draft.assignments, "greedy", draft.rule) if draft.is_whole else None
            if made is not None:
                self._tell_better(whole, made)
                whole.append(made)
            if whole and self._has_drafted_enough():
                break
        promising = sorted(whole, key=lambda one: one.cost.total)[:SETTLED]
        for made in promising:
            settled = self._checked(made.assignments, made.engine, made.rule)
            if settled is not None:
                self._tell_better(whole, settled)
                whole.append(settled)
        return tuple(drafts), min(whole, key=lambda one: one.cost.total, default=None)

    def _tell_better(self, known: list[_Checked], made: _Checked) -> None:
        if all(made.cost.total < one.cost.total for one in known):
            if self._keep is not None:
                self._keep(made.assignments, made.rule)
            self._tell(Progress(stage="greedy", dollars=made.cost.total))

    def _has_drafted_enough(self) -> bool:
        """Whether a patient search would lose more by another draft than it gains."""
        if not isinstance(self._parameters, Patient):
            return False
        return monotonic() - self._began > DRAFTING_SHARE * self._parameters.seconds

    def _judged(self, plan: tuple[Assignment, ...], engine: str, rule: str) -> _Checked | None:
        """A plan as it is, if the checker passes it."""
        breaches = check(self._ground.problem, plan)
        if breaches:
            logger.error("a plan made by %s (%s) breaks a rule: %s", engine, rule, breaches[0])
            self._wrong = True
            return None
        return _Checked(assignments=plan, cost=cost_of(self._ground.problem, plan), engine=engine, rule=rule)

    def _checked(self, plan: tuple[Assignment, ...], engine: str, rule: str) -> _Checked | None:
        """The plan with its clock times set, if the checker passes it; as it was, if only that passes."""
        settled = set_clock_times(self._ground, laid_out(self._ground, plan))
        return self._judged(settled, engine, rule) or self._judged(plan, engine, rule)

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

    def _patience(self) -> Patience:
        """How long to look for what clashes: as long as a plan was looked for, within bounds."""
        if isinstance(self._parameters, Patient):
            return Patience(clock_seconds=min(60.0, max(2.0, self._parameters.seconds)))
        return Patience(clock_seconds=120.0)

    def _clashes(self, drafts: tuple[Draft, ...], searched: Searched | None) -> tuple[Clash, ...]:
        """What cannot hold together; if that was not found, where the greedy plans broke off, each task once."""
        if searched is not None and self._asks_why:
            cores = find_cores(self._ground.problem, self._patience())
            if cores:
                return clashes_of(self._ground.problem, cores)
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
