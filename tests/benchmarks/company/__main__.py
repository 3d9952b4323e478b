"""Plans of generated companies against frozen rules, best known costs, the whole model and shifting right.

    python -m tests.benchmarks.company --pools 12 40 100 300

Medians over seeds 1 to 5, one process a problem, two workers; ``--seeds``, ``--seconds``, ``--no-whole`` and
``--no-wet`` bound it. Seconds are of this machine and this run. Best known costs and what no plan is below are read
from ``fixtures/problems/best_known.json``; ``python -m tests.benchmarks.company.record`` looks for them.
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

from tests.benchmarks.company.bars import (
    FIRST_SECONDS,
    MEMORY_MB,
    OVER_KNOWN,
    REPLAN_FIRST_SECONDS,
    REPLAN_UNDER_SHIFT_PERCENT,
    TIME_PER_TASK,
    UNDER_RULE_PERCENT,
    WORSE_THAN_WHOLE_PERCENT,
    judged,
)

ROOT = Path(__file__).resolve().parents[3]
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


def median(rows: Sequence[Row], value: Callable[[Row], float | None]) -> float | None:
    """Median of what the rows have; None if they have nothing."""
    values = [found for row in rows if (found := value(row)) is not None]
    return statistics.median(values) if values else None


def under(row: Row, other: str, mine: str = "dollars") -> float | None:
    """How far below another cost ours is [%]."""
    return 100 * (1 - row[mine] / row[other]) if row[other] and row[mine] is not None else None


def share(row: Row, other: str, floor: str, mine: str) -> float | None:
    """How much of what any plan could save under another cost ours saves, at least [%]."""
    if not row[other] or not row[floor] or row[mine] is None or row[other] <= row[floor]:
        return None
    return 100 * (row[other] - row[mine]) / (row[other] - row[floor])


def line(name: str, value: float | None, form: str, judged: str = "") -> None:
    said = "-" if value is None else form.format(value)
    print(f"  {name:<44} {said:>9} {judged}".rstrip(), flush=True)


def report(rows: Sequence[Row], seconds: float) -> None:
    """One size."""
    pools, tasks = rows[0]["pools"], statistics.median(row["tasks"] for row in rows)
    print(f"{pools} pools, {tasks:.0f} tasks, {seconds:g} s of search, {len(rows)} seeds, medians")
    first = median(rows, lambda row: row["first_seconds"])
    line("first checked plan, tables included", first, "{:.2f} s", judged(FIRST_SECONDS, pools, first))
    saved = median(rows, lambda row: under(row, "frozen_dollars"))
    line("dollars under the best frozen rule", saved, "{:.1f} %", judged(UNDER_RULE_PERCENT, pools, saved))
    most = median(rows, lambda row: under(row, "frozen_dollars", "floor"))
    line("  no plan is further under it than", most, "{:.1f} %")
    line(
        "  share of that saved", median(rows, lambda row: share(row, "frozen_dollars", "floor", "dollars")), "{:.0f} %"
    )
    over = median(rows, lambda row: row["dollars"] / row["best_known"] if row["best_known"] else None)
    line("over best known", over, "{:.3f}", judged(OVER_KNOWN, pools, over))
    peak = median(rows, lambda row: row["peak_mb"])
    line("peak memory", peak, "{:.0f} MB", judged(MEMORY_MB, pools, peak))
    worse = [-gap for row in rows if (gap := under(row, "whole_dollars")) is not None]
    most_worse = max(worse, default=None)
    line(
        "worse than the whole model alone, at most", most_worse, "{:.2f} %", WORSE_THAN_WHOLE_PERCENT.judged(most_worse)
    )
    if any(row["replan_dollars"] is not None for row in rows):
        report_replan(rows)


def report_replan(rows: Sequence[Row]) -> None:
    """A wet day after everybody was told the plan."""
    first = median(rows, lambda row: row["replan_first_seconds"])
    line("replan after one wet day, first checked plan", first, "{:.2f} s", REPLAN_FIRST_SECONDS.judged(first))
    less = median(rows, lambda row: under(row, "shifted_dollars", "replan_dollars"))
    line("  under shifting right with the same crews", less, "{:.1f} %", REPLAN_UNDER_SHIFT_PERCENT.judged(less))
    most = median(rows, lambda row: under(row, "shifted_dollars", "replan_floor"))
    line("    no plan is further under it than", most, "{:.1f} %")
    freely = median(rows, lambda row: under(row, "shifted_freely_dollars", "replan_dollars"))
    line("  under shifting right with whoever is free", freely, "{:.1f} %", REPLAN_UNDER_SHIFT_PERCENT.judged(freely))
    for name, key in (
        ("starts broken", "broken"),
        ("tasks moved", "moved"),
        ("of them told before", "told_again"),
        ("crews told again", "crews_told_again"),
    ):
        line(f"  {name}", median(rows, lambda row, key=key: row[key]), "{:.0f}")  # type: ignore[misc]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pools", type=int, nargs="+", default=[12])
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2, 3, 4, 5])
    parser.add_argument("--seconds", type=float, help="of search; by size if not given, 0 for repeatable plans")
    parser.add_argument("--no-whole", action="store_true", help="without the whole model alone")
    parser.add_argument("--no-wet", action="store_true", help="without the replan after one wet day")
    asked = parser.parse_args()
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}")
    first_by_task: dict[int, float] = {}
    for pools in asked.pools:
        seconds = asked.seconds if asked.seconds is not None else SECONDS.get(pools, 30.0)
        whole, wet = pools <= WHOLE_UP_TO and not asked.no_whole, pools == WET_AT and not asked.no_wet
        rows = [measured(pools, seed, seconds, whole=whole, wet=wet) for seed in asked.seeds]
        report(rows, seconds)
        first_by_task[pools] = statistics.median(row["first_seconds"] / row["tasks"] for row in rows)
    if {40, 300} <= set(first_by_task):
        ratio = first_by_task[300] / first_by_task[40]
        line("time per task at 300 pools over that at 40", ratio, "{:.2f}", TIME_PER_TASK.judged(ratio))
    print(f"load {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
