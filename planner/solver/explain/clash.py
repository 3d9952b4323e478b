"""Why no plan exists: a smallest set of requirements that cannot all hold, none of which can be left out.

One pool at a time first, all crews free for it; then the fewest pools that do not go together; then, in these, the
requirements. A set is divided and conquered (QuickXplain, Junker 2004), each question to the engine asked of a problem
with the other requirements let go; its own answer of an unsatisfied core is never trusted. A member counts as needed
only if a plan without it was found and checked.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import monotonic
from typing import TypeVar

from jobs.words import sentence_for
from planner.solver.candidates import find_candidates
from planner.solver.check import check
from planner.solver.cpsat.engine import Effort, run
from planner.solver.explain.requirements import Naming, Requirement, only_jobs, requirements_of, without
from planner.solver.laying.greedy import Greedy, Rule
from planner.solver.laying.ground import Ground
from planner.solver.problem import Problem
from planner.solver.result import Assignment, Clash

Part = TypeVar("Part")
QUICK = (Rule(first="promise", patience=None), Rule(first="slack", patience=None))
MOST_POOLS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long to ask: counted seconds for one question, questions in all, and seconds on the clock in all."""

    question_seconds: float = 2.0
    questions: int = 120
    clock_seconds: float = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Core:
    """Requirements that cannot all hold; ``is_minimal`` if leaving out any one of them was seen to give a plan.

    Without requirements nothing can be let go: waits and working time alone do not fit into the days.
    """

    jobs: tuple[str, ...]
    requirements: tuple[Requirement, ...]
    is_minimal: bool


class _OutOfPatienceError(Exception):
    """No more questions may be asked."""


def find_cores(problem: Problem, patience: Patience) -> tuple[Core, ...]:
    """Return a core for each pool that cannot be built even alone, or one for a few that do not go together.

    Parameters
    ----------
    problem : Problem
        Free of faults; every task has candidates.
    patience : Patience
        How long to ask.

    Returns
    -------
    tuple of Core
        Empty if a plan exists, or if nothing was proven in the time given.
    """
    asking = _Asking(problem, patience)
    cores: list[Core] = []
    try:
        jobs = tuple(dict.fromkeys(task.job for task in problem.tasks))
        for job in jobs:
            if asking.is_impossible(only_jobs(problem, frozenset((job,)))):
                cores.append(asking.core((job,)))
                if len(cores) == MOST_POOLS:
                    return tuple(cores)
        if not cores and len(jobs) > 1 and asking.is_impossible(problem):
            together = _smallest(jobs, lambda some: asking.is_impossible(only_jobs(problem, frozenset(some))))
            cores.append(asking.core(together))
    except _OutOfPatienceError:
        return tuple(cores)
    return tuple(cores)


def clashes_of(problem: Problem, cores: tuple[Core, ...]) -> tuple[Clash, ...]:
    """Return cores in words, one clash a requirement, each with what could be let go instead."""
    clashes: list[Clash] = []
    for core in cores:
        part = only_jobs(problem, frozenset(core.jobs))
        if core.requirements:
            clashes.extend(Naming(part).clash(one) for one in core.requirements)
        else:
            first = part.tasks[0]
            facts = {"field": first.key, "job": " and ".join(core.jobs), "days": len(problem.days)}
            clashes.append(
                Clash(task=first.key, gate="horizon", says=" ".join(sentence_for("solver.clash_horizon", facts)))
            )
    return tuple(clashes)


class _Asking:
    """Asks whether problems have plans, and counts the questions."""

    def __init__(self, problem: Problem, patience: Patience) -> None:
        self._problem = problem
        self._patience = patience
        self._asked = 0
        self._until = monotonic() + patience.clock_seconds

    def core(self, jobs: tuple[str, ...]) -> Core:
        """Return a smallest set of requirements of some jobs that cannot all hold."""
        part = only_jobs(self._problem, frozenset(jobs))
        every = requirements_of(part)
        all_of_them = frozenset(every)

        def clash(kept: Sequence[Requirement]) -> bool:
            return self.is_impossible(without(part, all_of_them - frozenset(kept)))

        try:
            if clash(()):
                return Core(jobs=jobs, requirements=(), is_minimal=True)
            found = _smallest(every, clash)
            minimal = all(
                self._plan(without(part, all_of_them - (frozenset(found) - {one}))) is not None for one in found
            )
        except _OutOfPatienceError:
            return Core(jobs=jobs, requirements=every, is_minimal=False)
        return Core(jobs=jobs, requirements=found, is_minimal=minimal)

    def is_impossible(self, problem: Problem) -> bool:
        """Whether it is proven that a problem has no plan; where nothing is proven it counts as possible."""
        return self._plan(problem) is None and self._proven

    def _plan(self, problem: Problem) -> tuple[Assignment, ...] | None:
        """A checked plan, or None; then ``_proven`` says whether there is none."""
        self._asked += 1
        if self._asked > self._patience.questions or monotonic() > self._until:
            raise _OutOfPatienceError
        self._proven = True
        candidates = find_candidates(problem)
        if candidates.clashes:
            return None
        ground = Ground(problem=problem, candidates=candidates)
        for draft in Greedy(ground).drafts(QUICK):
            if draft.is_whole and not check(problem, draft.assignments):
                return draft.assignments
        effort = Effort(
            counted_seconds=self._patience.question_seconds,
            clock_seconds=max(0.1, self._until - monotonic()),
            prepared=False,
        )
        found = run(ground, effort)
        self._proven = found.status == "infeasible"
        return found.assignments if found.assignments and not check(problem, found.assignments) else None


def _smallest(parts: tuple[Part, ...], clash: Callable[[Sequence[Part]], bool]) -> tuple[Part, ...]:
    """A smallest subset that clashes, rather of the first parts; all parts together clash."""
    return tuple(_divided((), False, list(parts), clash))


def _divided(
    ground: Sequence[Part], has_grown: bool, parts: list[Part], clash: Callable[[Sequence[Part]], bool]
) -> list[Part]:
    if has_grown and clash(ground):
        return []
    if len(parts) == 1:
        return parts
    middle = len(parts) // 2
    first, rest = parts[:middle], parts[middle:]
    from_rest = _divided((*ground, *first), bool(first), rest, clash)
    from_first = _divided((*ground, *from_rest), bool(from_rest), first, clash)
    return [*from_first, *from_rest]
