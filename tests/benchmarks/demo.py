"""From an empty data folder to the printed plan, as a whole process.

python -m tests.benchmarks.demo --runs 3
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def one_run() -> tuple[float, str]:
    """Seconds of one demo in a folder of its own, and what it printed."""
    with tempfile.TemporaryDirectory() as folder:
        begun = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "manage.py", "demo", "--no-serve", "--data-dir", folder],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        return time.perf_counter() - begun, done.stdout


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=3)
    runs = [one_run() for _ in range(parser.parse_args().runs)]
    seconds = [run[0] for run in runs]
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f}")
    print(f"demo to printed plan: median {statistics.median(seconds):.1f} s, worst {max(seconds):.1f} s")
    print("the same plan each time" if len({run[1] for run in runs}) == 1 else "THE PLANS DIFFER")


if __name__ == "__main__":
    main()
