"""Plans of tiny problems with every rule against trying every plan: equal cost, proven, or no plan either way.

    python -m tests.benchmarks.brute --cases 500

Problems of two to eight tasks; prints how many had a plan, by tasks, and every case that differs. The gate runs the
first hundred of up to six tasks.
"""

import argparse
from collections import Counter

from planner.solver.check import check
from planner.solver.parameters import Repeatable
from planner.solver.solve import solve
from tests.planner.solver.brute_force import cheapest_plan
from tests.planner.solver.tiny_problems import tiny_problem


def differs(number: int, most_tasks: int, counts: Counter[tuple[int, bool]]) -> str:
    """What the solver says of a case that trying every plan does not; empty where both agree."""
    problem = tiny_problem(number, most_tasks=most_tasks)
    best = cheapest_plan(problem)
    counts[len(problem.tasks), best is not None] += 1
    result = solve(problem, Repeatable())
    if best is None:
        return "" if result.status == "no_plan" and result.clashes else f"{result.status}, and there is no plan"
    if result.status != "planned":
        return f"no plan, and there is one for ${best.total}"
    breaches = check(problem, result.assignments)
    if breaches:
        return breaches[0].says
    if result.cost.total != best.total:
        return f"${result.cost.total}, and there is one for ${best.total}"
    return "" if result.making is not None and result.making.proven else "the cheapest, and not proven"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=500)
    parser.add_argument("--first", type=int, default=0, help="number of the first case")
    parser.add_argument("--most-tasks", type=int, default=8)
    asked = parser.parse_args()
    counts: Counter[tuple[int, bool]] = Counter()
    wrong = 0
    for number in range(asked.first, asked.first + asked.cases):
        said = differs(number, asked.most_tasks, counts)
        if said:
            wrong += 1
            print(f"case {number}: {said}", flush=True)
    for tasks in sorted({tasks for tasks, _ in counts}):
        print(f"{tasks} tasks: {counts[tasks, True]} with a plan, {counts[tasks, False]} without")
    print(f"{asked.cases} cases, {wrong} differ")
    raise SystemExit(bool(wrong))


if __name__ == "__main__":
    main()
