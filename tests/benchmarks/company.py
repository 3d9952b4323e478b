"""Plans of generated companies: first plan, and dollars against the greedy plan of the same run.

    python -m tests.benchmarks.company --pools 12 40 --seconds 10 30 --seeds 1 2 3

Prints medians over the seeds; every plan is judged by the checker. Seconds are of this machine and this run;
compare ratios, not seconds, between machines.
"""

import argparse
import os
import statistics
import time
from collections.abc import Sequence

from planner.solver.check import check
from planner.solver.parameters import GreedyOnly, Parameters, Patient, Repeatable
from planner.solver.problem import Problem
from planner.solver.solve import solve
from tests.planner.solver.company_problems import company_problem


def measured(problem: Problem, parameters: Parameters) -> tuple[float, int]:
    """Seconds and dollars of one checked plan."""
    begun = time.perf_counter()
    result = solve(problem, parameters)
    seconds = time.perf_counter() - begun
    if result.status != "planned" or check(problem, result.assignments):
        raise SystemExit("A plan of this benchmark breaks a rule or does not exist; its figures mean nothing.")
    return seconds, result.cost.total


def rows(pools: int, seeds: Sequence[int], patience: Sequence[float]) -> None:
    """One line a way of planning."""
    problems = [company_problem(pools, seed) for seed in seeds]
    greedy = [measured(problem, GreedyOnly()) for problem in problems]
    tasks = statistics.median(len(problem.tasks) for problem in problems)
    print(f"{pools:>4} pools, {tasks:.0f} tasks, seeds {', '.join(map(str, seeds))}")
    print(f"       greedy            {statistics.median(one[0] for one in greedy):7.2f} s")
    ways: list[tuple[str, Parameters]] = [("repeatable", Repeatable())]
    ways += [(f"patient {seconds:g} s", Patient(seconds=seconds, workers=2)) for seconds in patience]
    for name, parameters in ways:
        made = [measured(problem, parameters) for problem in problems]
        ratio = statistics.median(one[1] / first[1] for one, first in zip(made, greedy, strict=True))
        print(f"       {name:<17} {statistics.median(one[0] for one in made):7.2f} s   {ratio:.3f} of greedy's dollars")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pools", type=int, nargs="+", default=[12])
    parser.add_argument("--seconds", type=float, nargs="+", default=[10.0, 30.0])
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2, 3])
    asked = parser.parse_args()
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}")
    for pools in asked.pools:
        rows(pools, asked.seeds, asked.seconds)


if __name__ == "__main__":
    main()
