"""Tries every plan of a tiny problem; knows no rule but what the checker says."""

from dataclasses import dataclass
from itertools import product

from planner.solver.check import check, cost_of
from planner.solver.checks.days import Days
from planner.solver.checks.runs import TaskWindows, end_by_run
from planner.solver.problem import Problem, Task
from planner.solver.result import Assignment

Level = tuple[Assignment, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The cheapest plan there is [dollars], or none."""

    assignments: tuple[Assignment, ...]
    total: int


def cheapest_plan(problem: Problem) -> Best | None:
    """The cheapest plan over every start on the grid and every choice of crews; None if no plan keeps the rules."""
    candidates = [_candidates(problem, task) for task in problem.tasks]
    if not all(candidates):
        return None
    return _Search(problem, candidates).best


class _Search:
    """Depth-first over the tasks, the one with the fewest candidates left first.

    A breach among a few tasks stays one when more are added; no cost is negative, and what tasks cost together is
    at least the sum of what they cost alone. Both cut the tree without losing a plan.
    """

    def __init__(self, problem: Problem, candidates: list[Level]) -> None:
        self._problem = problem
        self._alone = {one: cost_of(problem, (one,)).total for level in candidates for one in level}
        self._pairs: dict[tuple[Assignment, Assignment], bool] = {}
        self.best: Best | None = None
        self._extend((), candidates)

    def _extend(self, chosen: Level, levels: list[Level]) -> None:
        spent = cost_of(self._problem, chosen).total
        if not levels:
            if self._may_improve(spent):
                self.best = Best(assignments=chosen, total=spent)
            return
        level, *rest = sorted(levels, key=len)
        # Candidates stay cheapest first.
        least = spent + sum(self._alone[other[0]] for other in rest)
        for candidate in level:
            if not self._may_improve(least + self._alone[candidate]):
                return
            if len(chosen) > 1 and not keeps_rules_so_far(self._problem, (*chosen, candidate)):
                continue
            beside = [tuple(one for one in other if self._fit(candidate, one)) for other in rest]
            if all(beside):
                self._extend((*chosen, candidate), beside)

    def _may_improve(self, at_least: int) -> bool:
        return self.best is None or at_least < self.best.total

    def _fit(self, one: Assignment, other: Assignment) -> bool:
        pair = (one, other)
        if pair not in self._pairs:
            self._pairs[pair] = keeps_rules_so_far(self._problem, pair)
        return self._pairs[pair]


def keeps_rules_so_far(problem: Problem, chosen: tuple[Assignment, ...]) -> bool:
    """Whether the checker objects to nothing but the tasks still missing."""
    return all(breach.rule == "assigned" for breach in check(problem, chosen))


def _candidates(problem: Problem, task: Task) -> tuple[Assignment, ...]:
    """Every assignment of the task that the checker accepts on its own, cheapest first."""
    if task.pin is not None:
        starts = [task.pin.start]
    else:
        starts = [s for day in problem.days for s in range(day.opens, day.closes, problem.grid_minutes)]
    if task.pin is not None and task.pin.crews:
        teams = [task.pin.crews]
    else:
        teams = list(product(*(tuple(option.crew for option in need.options) for need in task.needs)))
    days = Days(problem.days)
    windows = TaskWindows(problem, days)
    found = []
    for start, crews in product(starts, teams):
        asked = _at(task, start, start, crews)
        ends = [end_by_run(task, asked, windows, days, paid=paid) for paid in (False, True)]
        for end in dict.fromkeys([task.pin.end] if task.pin else [end for end in ends if isinstance(end, int)]):
            candidate = _at(task, start, end, crews)
            if keeps_rules_so_far(problem, (candidate,)):
                found.append(candidate)
    return tuple(sorted(found, key=lambda one: (cost_of(problem, (one,)).total, one.start)))


def _at(task: Task, start: int, end: int, crews: tuple[str, ...]) -> Assignment:
    return Assignment(task=task.key, start=start, end=end, crews=crews)
