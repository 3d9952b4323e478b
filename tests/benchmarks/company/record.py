"""Looks for the best known cost of generated branches, by every method, and stores it; on purpose only.

    python -m tests.benchmarks.company.record --pools 12 40 --seeds 1 2 --seconds 600

Each method has so many seconds for each problem: the search itself, the whole model alone, and the whole model from
what the search found. What is found is stored at once, so that a run cut off goes on where it was; what was tried for
as long is not tried again.
"""

import argparse
from collections.abc import Callable, Mapping
from dataclasses import replace

from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.cpsat.engine import Effort, run
from planner.solver.laying.ground import Ground
from planner.solver.parameters import GreedyOnly, Patient
from planner.solver.problem import Problem
from planner.solver.result import Assignment
from planner.solver.solve import solve
from tests.benchmarks.company.floor import floor_dollars
from tests.benchmarks.company.known import Entry, keep, known_of
from tests.planner.solver.company_problems import company_problem

Plan = tuple[Assignment, ...]
WHOLE_UP_TO = 40


def _searched(problem: Problem, seconds: float) -> Plan:
    return solve(problem, Patient(seconds=seconds, workers=4)).assignments


def _whole(problem: Problem, seconds: float) -> Plan:
    return _whole_from(problem, solve(problem, GreedyOnly()).assignments, seconds)


def _searched_then_whole(problem: Problem, seconds: float) -> Plan:
    return _whole_from(problem, _searched(problem, seconds / 2), seconds / 2)


def _whole_from(problem: Problem, first: Plan, seconds: float) -> Plan:
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    return run(ground, Effort(counted_seconds=1e9, clock_seconds=seconds, workers=4), first=first).assignments


METHODS: Mapping[str, Callable[[Problem, float], Plan]] = {
    "search": _searched,
    "whole": _whole,
    "search, then whole": _searched_then_whole,
}


def record(pools: int, seed: int, seconds: float, *, floors: bool) -> Entry:
    """Try every method on one problem that was not tried for as long, and store what is known then."""
    problem = company_problem(pools, seed)
    entry = known_of(pools, seed, problem)
    if floors and "floor" not in entry:
        entry["floor"] = floor_dollars(problem)
        entry["floor_told_nothing"] = floor_dollars(replace(problem, told=()))
        keep(pools, seed, entry)
    tried = entry.setdefault("tried", {})
    for name, method in METHODS.items():
        if ("whole" in name and pools > WHOLE_UP_TO) or (name in tried and tried[name]["seconds"] >= seconds):
            continue
        plan = method(problem, seconds)
        if not plan or check(problem, plan):
            continue
        dollars = cost_of(problem, plan).total
        tried[name] = {"dollars": dollars, "seconds": seconds}
        entry["dollars"] = min(dollars, entry.get("dollars", dollars))
        keep(pools, seed, entry)
    return entry


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pools", type=int, nargs="+", default=[12, 40])
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--seconds", type=float, default=600.0, help="for each method and problem")
    parser.add_argument("--floors", action="store_true", help="also what no plan is below, where not stored")
    asked = parser.parse_args()
    for pools in asked.pools:
        for seed in asked.seeds:
            print(f"{pools}/{seed}", record(pools, seed, asked.seconds, floors=asked.floors), flush=True)


if __name__ == "__main__":
    main()
