"""Every fault many times over: what was broken, how often, and how often everything held.

python -m tests.benchmarks.faults --runs 20
"""

import argparse
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parents[2]


def one_run(only: str) -> dict[str, str]:
    """How each fault ended in one run of their tests."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.xml"
        command = [sys.executable, "-m", "pytest", "tests/faults", "-q", f"--junitxml={report}"]
        subprocess.run([*command, "-k", only] if only else command, cwd=ROOT, capture_output=True, check=False)
        found: dict[str, str] = {}
        for case in ElementTree.parse(report).getroot().iter("testcase"):
            for one in case.iter("property"):
                if one.get("name") == "fault":
                    found[str(one.get("value"))] = _worst(found.get(str(one.get("value"))), _end(case))
        return found


def _end(case: ElementTree.Element) -> str:
    for kind, word in (("failure", "failed"), ("error", "failed"), ("skipped", "skipped")):
        if case.find(kind) is not None:
            return word
    return "held"


def _worst(one: str | None, other: str) -> str:
    order = ("held", "skipped", "failed")
    return other if one is None else max(one, other, key=order.index)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=20)
    parser.add_argument("--only", default="", help="as pytest -k")
    asked = parser.parse_args()
    ends: dict[str, Counter[str]] = defaultdict(Counter)
    began = time.perf_counter()
    for _ in range(asked.runs):
        for fault, end in one_run(asked.only).items():
            ends[fault][end] += 1
    wide = max(map(len, ends), default=5)
    print(f"{'fault':<{wide}}  runs  outcome")
    for fault, counted in sorted(ends.items()):
        outcome = ", ".join(f"{count} {end}" for end, count in sorted(counted.items()))
        print(f"{fault:<{wide}}  {counted.total():>4}  {outcome}")
    print(f"{time.perf_counter() - began:.0f} s")
    sys.exit(any(counted["failed"] for counted in ends.values()))


if __name__ == "__main__":
    main()
