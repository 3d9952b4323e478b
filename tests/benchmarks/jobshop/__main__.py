"""Small problems solved by our solver and by PyJobShop, a general scheduling library: are the optima equal?

Needs the extra of this project that brings the library: pip install -c constraints.txt -e '.[bench]'

python -m tests.benchmarks.jobshop --problems 40
"""

import argparse
import sys

from planner.solver.check import check, cost_of
from planner.solver.parameters import Repeatable
from planner.solver.solve import solve
from tests.benchmarks.jobshop.drawn import Drawn, draw
from tests.benchmarks.jobshop.ours import as_assignments, as_problem
from tests.benchmarks.jobshop.theirs import solve_with_library


def compared(drawn: Drawn, seconds: float) -> tuple[str, str]:
    """``equal``, ``different`` or ``not proven``, and a line that says how."""
    problem = as_problem(drawn)
    ours = solve(problem, Repeatable(deterministic_seconds=seconds))
    theirs = solve_with_library(drawn, seconds * 4)
    dollars = ours.cost.total if ours.status == "planned" else None
    proven = ours.making is not None and ours.making.proven if dollars is not None else True
    says = f"ours {dollars}, library {theirs.dollars}"
    if theirs.dollars is not None:
        # Their plan is judged by our checker too, and priced by it.
        plan = as_assignments(theirs.spans)
        breaches = check(problem, plan)
        if breaches:
            return "different", f"{says}; the library's plan breaks: {breaches[0].says}"
        if cost_of(problem, plan).total != theirs.dollars:
            return "different", f"{says}; the library's plan costs {cost_of(problem, plan).total} by our count"
    if not (proven and theirs.proven):
        return "not proven", says
    return ("equal" if dollars == theirs.dollars else "different"), says


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--problems", type=int, default=40)
    parser.add_argument("--seconds", type=float, default=5.0, help="counted seconds for each of ours")
    asked = parser.parse_args()
    counted = {"equal": 0, "different": 0, "not proven": 0}
    for seed in range(1, asked.problems + 1):
        drawn = draw(seed)
        word, says = compared(drawn, asked.seconds)
        counted[word] += 1
        tasks = sum(len(chain.steps) for chain in drawn.chains)
        print(f"{drawn.name}: {tasks:>2} tasks, {len(drawn.away)} crews: {says}: {word}", flush=True)
    print(", ".join(f"{count} {word}" for word, count in counted.items()))
    sys.exit(1 if counted["different"] else 0)


if __name__ == "__main__":
    main()
