"""Published project instances through our own problem and search, against a plain model in the same run.

    python -m tests.benchmarks.rcpsp --folder DIR --seconds 10

The folder holds instances in Patterson's text and a ``best_known.csv`` with the columns ``file`` and
``best_known_ub``. Both ways get the same seconds and workers, one after the other. Makespans of ours are those of
plans the checker passed.
"""

import argparse
import os
import time
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from planner.solver.check import check
from planner.solver.parameters import Patient
from planner.solver.solve import solve
from tests.benchmarks.rcpsp.mapping import as_problem, makespan
from tests.benchmarks.rcpsp.plain import plain_makespan
from tests.benchmarks.rcpsp.reading import Instance, read_folder


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One instance both ways: makespans, seconds of ours, and whether ours or the plain one is proven."""

    instance: Instance
    ours: int
    seconds: float
    proven: bool
    plain: int | None
    plain_proven: bool

    @property
    def gaps(self) -> tuple[float, float]:
        """Ours and the plain model's, over the best known [%]; without a plan, that of doing one after the other."""
        plain = self.plain if self.plain is not None else sum(self.instance.lengths)
        return _gap(self.ours, self.instance.best_known), _gap(plain, self.instance.best_known)


def _gap(makespan: int, best_known: int) -> float:
    return 100.0 * (makespan - best_known) / best_known


def measured(instance: Instance, seconds: float, workers: int) -> Row:
    """Both ways on one instance."""
    problem = as_problem(instance)
    begun = time.perf_counter()
    result = solve(problem, Patient(seconds=seconds, workers=workers))
    took = time.perf_counter() - begun
    if result.status != "planned" or check(problem, result.assignments):
        raise SystemExit(f"{instance.name}: our plan breaks a rule or does not exist; nothing here means anything.")
    ours = makespan(result.assignments)
    if ours != result.cost.total:
        raise SystemExit(f"{instance.name}: the plan lasts {ours} and costs {result.cost.total}; they must be equal.")
    plain, plain_proven = plain_makespan(instance, seconds, workers)
    return Row(
        instance=instance,
        ours=ours,
        seconds=took,
        proven=result.making is not None and result.making.proven,
        plain=plain,
        plain_proven=plain_proven,
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--folder", type=Path, required=True, help="instances with a best_known.csv beside them")
    parser.add_argument("--seconds", type=float, default=10.0)
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args()
    instances = read_folder(asked.folder)
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}; {asked.seconds:g} s, {asked.workers} workers")
    print(f"{'instance':<14}{'best known':>11}{'ours':>8}{'gap %':>8}{'s':>7}{'plain':>8}{'gap %':>8}")
    rows: dict[int, list[Row]] = defaultdict(list)
    for instance in instances:
        row = measured(instance, asked.seconds, asked.workers)
        rows[instance.activities].append(row)
        mine, plain = row.gaps
        print(
            f"{instance.name:<14}{instance.best_known:>11}{row.ours:>7}{'*' if row.proven else ' '}{mine:>8.2f}"
            f"{row.seconds:>7.1f}{row.plain if row.plain is not None else '-':>7}"
            f"{'*' if row.plain_proven else ' '}{plain:>8.2f}",
            flush=True,
        )
    print("\n* proven. Mean gap over the best known [%]")
    for size, mine_rows in sorted(rows.items()):
        ours = sum(row.gaps[0] for row in mine_rows) / len(mine_rows)
        theirs = sum(row.gaps[1] for row in mine_rows) / len(mine_rows)
        optimal = sum(row.gaps[0] <= 0 for row in mine_rows)
        print(
            f"{size:>4} activities, {len(mine_rows):>3} instances: ours {ours:.2f}, plain {theirs:.2f}; "
            f"ours as good as the best known on {optimal}"
        )


if __name__ == "__main__":
    main()
