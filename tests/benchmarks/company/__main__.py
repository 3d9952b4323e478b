"""Plans of generated companies against frozen rules, best known costs, the whole model and shifting right.

    python -m tests.benchmarks.company --pools 12 40 100 300

Medians over seeds 1 to 5, one process a problem, two workers. Seconds are of this machine and this run. Best known
costs are read from ``fixtures/problems/best_known.json``; ``--record`` writes what this run found cheaper, on purpose
only: run it with ten minutes a problem.
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[3]
BEST_KNOWN = ROOT / "fixtures" / "problems" / "best_known.json"
# Seconds of search by pools, as the bars name them.
SECONDS = {12: 30.0, 40: 30.0, 100: 60.0, 300: 120.0}
# Above this the whole model alone has no plan in the time given.
WHOLE_UP_TO, WET_AT = 40, 40
Row = dict[str, Any]


def measured(pools: int, seed: int, seconds: float, *, whole: bool, wet: bool) -> Row:
    """One problem in a process of its own."""
    command = [sys.executable, "-m", "tests.benchmarks.company.one", "--pools", str(pools), "--seed", str(seed)]
    command += ["--seconds", str(seconds), *(["--whole"] if whole else []), *(["--wet"] if wet else [])]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{pools} pools, seed {seed}: {done.stderr.strip() or done.stdout.strip()}")
    row: Row = json.loads(done.stdout)
    return row


def best_known() -> dict[str, int]:
    """Best known dollars by ``pools/seed``."""
    if not BEST_KNOWN.is_file():
        return {}
    found: dict[str, int] = json.loads(BEST_KNOWN.read_text(encoding="utf-8"))
    return found


def median(rows: Sequence[Row], value: Callable[[Row], float | None]) -> float | None:
    """Median of what the rows have; None if they have nothing."""
    values = [found for row in rows if (found := value(row)) is not None]
    return statistics.median(values) if values else None


def under(row: Row, other: str, mine: str = "dollars") -> float | None:
    """How far below another cost ours is [%]."""
    return 100 * (1 - row[mine] / row[other]) if row[other] and row[mine] is not None else None


def said(value: float | None, form: str) -> str:
    return "-" if value is None else form.format(value)


def report(rows: Sequence[Row], known: dict[str, int], seconds: float) -> None:
    """One size."""

    def over_known(row: Row) -> float | None:
        best = known.get(f"{row['pools']}/{row['seed']}")
        return row["dollars"] / best if best else None

    pools, tasks = rows[0]["pools"], statistics.median(row["tasks"] for row in rows)
    print(f"{pools} pools, {tasks:.0f} tasks, {seconds:g} s of search, {len(rows)} seeds, medians")
    print(f"  first checked plan, tables included  {said(median(rows, lambda r: r['first_seconds']), '{:.2f} s')}")
    print(
        f"  dollars under the best frozen rule   {said(median(rows, lambda r: under(r, 'frozen_dollars')), '{:.1f} %')}"
    )
    print(f"  over best known                      {said(median(rows, over_known), '{:.3f}')}")
    print(f"  peak memory                          {said(median(rows, lambda r: r['peak_mb']), '{:.0f} MB')}")
    worse = [-gap for row in rows if (gap := under(row, "whole_dollars")) is not None]
    print(f"  worse than the whole model, at most  {said(max(worse, default=None), '{:.2f} %')}")
    if any(row["replan_dollars"] is not None for row in rows):
        first = median(rows, lambda r: r["replan_first_seconds"])
        less = median(rows, lambda r: under(r, "shifted_dollars", "replan_dollars"))
        print(
            f"  replan after one wet day             first {said(first, '{:.2f} s')}, under shifting right "
            f"{said(less, '{:.1f} %')}, {said(median(rows, lambda r: r['moved']), '{:.0f}')} tasks moved"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pools", type=int, nargs="+", default=[12])
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2, 3, 4, 5])
    parser.add_argument("--seconds", type=float, help="of search; by size if not given, 0 for repeatable plans")
    parser.add_argument("--record", action="store_true", help="write costs below the best known")
    asked = parser.parse_args()
    known = best_known()
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}")
    first_by_task: dict[int, float] = {}
    for pools in asked.pools:
        seconds = asked.seconds if asked.seconds is not None else SECONDS.get(pools, 30.0)
        whole, wet = pools <= WHOLE_UP_TO, pools == WET_AT
        rows = [measured(pools, seed, seconds, whole=whole, wet=wet) for seed in asked.seeds]
        report(rows, known, seconds)
        first_by_task[pools] = statistics.median(row["first_seconds"] / row["tasks"] for row in rows)
        for row in rows:
            name = f"{row['pools']}/{row['seed']}"
            known[name] = min(known.get(name, row["dollars"]), row["dollars"])
    if {40, 300} <= set(first_by_task):
        print(f"time per task at 300 pools over that at 40: {first_by_task[300] / first_by_task[40]:.2f}")
    if asked.record:
        BEST_KNOWN.parent.mkdir(parents=True, exist_ok=True)
        BEST_KNOWN.write_text(json.dumps(dict(sorted(known.items())), indent=1) + "\n", encoding="utf-8")
        print(f"best known costs are in {BEST_KNOWN.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
