"""One problem planned in a process of its own, so that its peak of memory is its own; prints what was measured as JSON.

python -m tests.benchmarks.company.one --pools 12 --seed 1 --seconds 30
"""

import argparse
import json
import resource
import time
from dataclasses import asdict, dataclass, replace
from typing import Any

from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.cpsat.engine import Effort, run
from planner.solver.laying.greedy import Greedy
from planner.solver.laying.ground import Ground
from planner.solver.parameters import Parameters, Patient, Repeatable
from planner.solver.problem import Need, Problem, Task, Told
from planner.solver.replan import replan
from planner.solver.result import Assignment
from planner.solver.solve import Progress, solve
from tests.benchmarks.company.frozen import best_frozen_dollars
from tests.benchmarks.company.known import known_of
from tests.benchmarks.company.shifting import shifted_dollars
from tests.planner.solver.company_problems import company_problem

NOTHING: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One problem: seconds to the first checked plan, dollars of plans, peak memory [MB]; None where not asked or not
    found."""

    pools: int
    seed: int
    tasks: int
    first_seconds: float
    dollars: int
    frozen_dollars: int | None
    whole_dollars: int | None
    replan_first_seconds: float | None
    replan_dollars: int | None
    shifted_dollars: int | None
    shifted_freely_dollars: int | None
    broken: int | None
    moved: int | None
    told_again: int | None
    crews_told_again: int | None
    best_known: int | None
    floor: int | None
    replan_floor: int | None
    peak_mb: float


class _Clock:
    """Notes when the first plan is told."""

    def __init__(self) -> None:
        self._begun = time.perf_counter()
        self.first_seconds: float | None = None

    def tell(self, progress: Progress) -> None:
        del progress
        if self.first_seconds is None:
            self.first_seconds = time.perf_counter() - self._begun


def planned(problem: Problem, parameters: Parameters) -> tuple[float, tuple[Assignment, ...]]:
    """Seconds to the first checked plan, and the last."""
    clock = _Clock()
    result = solve(problem, parameters, on_progress=clock.tell)
    if result.status != "planned" or check(problem, result.assignments) or clock.first_seconds is None:
        raise SystemExit("A plan of this benchmark breaks a rule or does not exist; its figures mean nothing.")
    return clock.first_seconds, result.assignments


def whole_model_dollars(ground: Ground, seconds: float) -> int | None:
    """Dollars of the whole model alone, from the best draft, with the same time and two workers."""
    drafts = [draft for draft in Greedy(ground).drafts() if draft.is_whole]
    first = min(drafts, key=lambda draft: cost_of(ground.problem, draft.assignments).total).assignments
    found = run(ground, Effort(counted_seconds=1e9, clock_seconds=seconds, workers=2), first=first)
    if not found.assignments or check(ground.problem, found.assignments):
        return None
    return cost_of(ground.problem, found.assignments).total


def cheapest_rule_dollars(ground: Ground) -> int | None:
    """Dollars of the best frozen rule, with and without the hours crews would work for pay: the rules, which know no
    price of an hour, would buy them all."""
    plain = without_paid_hours(ground.problem)
    grounds = (ground, Ground(problem=plain, candidates=find_candidates(plain)))
    return min((found for one in grounds if (found := best_frozen_dollars(one)) is not None), default=None)


def without_paid_hours(problem: Problem) -> Problem:
    """The problem with nobody working for pay outside usual hours."""

    def usual(need: Need) -> Need:
        return replace(need, options=tuple(replace(option, paid_calendar="") for option in need.options))

    return replace(
        problem,
        tasks=tuple(replace(task, needs=tuple(usual(need) for need in task.needs)) for task in problem.tasks),
    )


def after_one_wet_day(problem: Problem, plan: tuple[Assignment, ...]) -> Problem:
    """Today's problem after everybody was told the plan: the first day on which exposed work starts turns wet."""
    free = {task.key: task for task in problem.tasks if task.pin is None}
    first = min(one.start for one in plan if one.task in free and free[one.task].weather)
    day = next(day for day in problem.days if day.opens <= first < day.closes)

    def wet(task: Task) -> Task:
        return replace(
            task,
            weather=tuple(
                replace(one, forbidden=True, ways=()) if day.opens <= one.start < day.closes else one
                for one in task.weather
            ),
        )

    told = tuple(
        Told(task=one.task, start=one.start, crews=one.crews, move_dollars=60, day_dollars=20, crew_dollars=60)
        for one in plan
        if one.task in free and one.start < problem.days[10].opens
    )
    return replace(problem, tasks=tuple(wet(task) for task in problem.tasks), told=told)


def measure(pools: int, seed: int, seconds: float, *, whole: bool, wet: bool) -> Measured:
    """Everything asked of one problem."""
    problem = company_problem(pools, seed)
    how: Parameters = Patient(seconds=seconds, workers=2) if seconds else Repeatable()
    first_seconds, plan = planned(problem, how)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    known = known_of(pools, seed, problem)
    again = _replanned(problem, plan, how) if wet else _NOT_ASKED
    return Measured(
        pools=pools,
        seed=seed,
        tasks=len(problem.tasks),
        first_seconds=first_seconds,
        dollars=cost_of(problem, plan).total,
        frozen_dollars=cheapest_rule_dollars(ground),
        whole_dollars=whole_model_dollars(ground, seconds) if whole and seconds else None,
        best_known=known.get("dollars"),
        floor=known.get("floor"),
        replan_floor=known.get("floor_told_nothing"),
        peak_mb=peak_mb,
        **again,
    )


_NOT_ASKED: dict[str, Any] = dict.fromkeys(
    (
        "replan_first_seconds",
        "replan_dollars",
        "shifted_dollars",
        "shifted_freely_dollars",
        "broken",
        "moved",
        "told_again",
        "crews_told_again",
    )
)


def _replanned(problem: Problem, plan: tuple[Assignment, ...], how: Parameters) -> dict[str, Any]:
    today = after_one_wet_day(problem, plan)
    clock = _Clock()
    done = replan(today, plan, NOTHING, how, on_progress=clock.tell)
    if done.result.status != "planned" or check(today, done.result.assignments):
        raise SystemExit("A replan of this benchmark breaks a rule or does not exist; its figures mean nothing.")
    return {
        "replan_first_seconds": clock.first_seconds,
        "replan_dollars": done.result.cost.total,
        "shifted_dollars": shifted_dollars(today, plan),
        "shifted_freely_dollars": shifted_dollars(today, plan, same_crews=False),
        "broken": len(done.broken),
        "moved": len(done.moved),
        "told_again": len(done.told_again),
        "crews_told_again": len(done.crews_told_again),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pools", type=int, required=True)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--seconds", type=float, default=30.0, help="0 for a repeatable plan")
    parser.add_argument("--whole", action="store_true", help="also the whole model alone")
    parser.add_argument("--wet", action="store_true", help="also a replan after one wet day")
    asked = parser.parse_args()
    print(json.dumps(asdict(measure(asked.pools, asked.seed, asked.seconds, whole=asked.whole, wet=asked.wet))))


if __name__ == "__main__":
    main()
