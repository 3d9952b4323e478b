"""Every fault many times over: what was broken, how often, and how often everything held.

python -m tests.benchmarks.faults --runs 20
python -m tests.benchmarks.faults --runs 20 --only "killed" --minutes 60 --keep rounds.jsonl

A round is one run of the tests of ``tests/faults``, some minutes long. With ``--keep`` each round's outcomes are
written to a file as it ends, and the next call goes on from there. A failure is counted, its words are shown, and the
rounds go on; the exit code is 1 where anything failed.
"""

import argparse
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parents[2]
ORDER = ("held", "skipped", "failed")
WHOLE = "the round itself"
LONGEST_WORDS = 1500


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One run of the fault tests: how each fault ended, the words of what failed, and how long it took [s]."""

    ends: dict[str, str]
    words: dict[str, str] = field(default_factory=dict)
    seconds: float = 0.0


def one_round(only: str, longest_s: float) -> Round:
    """How each fault ended in one run of their tests."""
    began = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        report, said = Path(folder) / "report.xml", Path(folder) / "said"
        command = [sys.executable, "-m", "pytest", "tests/faults", "-q", f"--junitxml={report}"]
        with said.open("wb") as file:
            one = subprocess.Popen(
                [*command, "-k", only] if only else command,
                cwd=ROOT, stdout=file, stderr=subprocess.STDOUT, start_new_session=True,
            )  # fmt: skip
        try:
            one.wait(timeout=longest_s)
        except subprocess.TimeoutExpired:
            print("the round takes too long", flush=True)
        finally:
            _end_of(one)
        seconds = time.perf_counter() - began
        try:
            root = ElementTree.parse(report).getroot()
        except (FileNotFoundError, ElementTree.ParseError):
            last = said.read_text(errors="replace")[-LONGEST_WORDS:]
            return Round(ends={WHOLE: "failed"}, words={WHOLE: last}, seconds=seconds)
    return _read(root, seconds)


def _end_of(one: subprocess.Popen[bytes]) -> None:
    """End a run as Ctrl-C does, so that it takes its servers with it."""
    if one.poll() is None:
        os.killpg(one.pid, signal.SIGINT)
        try:
            one.wait(timeout=60)
        except subprocess.TimeoutExpired:
            os.killpg(one.pid, signal.SIGKILL)
            one.wait()


def _read(root: ElementTree.Element, seconds: float) -> Round:
    ends: dict[str, str] = {}
    words: dict[str, str] = {}
    for case in root.iter("testcase"):
        marked = [str(one.get("value")) for one in case.iter("property") if one.get("name") == "fault"]
        end, says = _end(case)
        # A test beside the faults counts where it fails.
        for fault in marked or ([str(case.get("name"))] if end == "failed" else []):
            ends[fault] = max(ends.get(fault, "held"), end, key=ORDER.index)
            if says:
                words[fault] = says
    return Round(ends=ends or {WHOLE: "failed"}, words=words, seconds=seconds)


def _end(case: ElementTree.Element) -> tuple[str, str]:
    for kind, word in (("failure", "failed"), ("error", "failed"), ("skipped", "skipped")):
        found = case.find(kind)
        if found is not None:
            return word, f"{found.get('message') or ''}\n{(found.text or '')[-LONGEST_WORDS:]}".strip()
    return "held", ""


def kept_rounds(keep: Path | None) -> list[Round]:
    """The rounds of earlier calls."""
    if keep is None or not keep.exists():
        return []
    return [Round(**json.loads(line)) for line in keep.read_text().splitlines() if line.strip()]


def rounds(asked: argparse.Namespace) -> Iterator[Round]:
    """Earlier rounds, then new ones until there are as many as asked or the time is up."""
    before = kept_rounds(asked.keep)
    yield from before
    until = time.monotonic() + asked.minutes * 60
    for number in range(len(before) + 1, asked.runs + 1):
        if time.monotonic() >= until:
            print(f"the time is up before round {number}", flush=True)
            return
        try:
            found = one_round(asked.only, asked.longest_minutes * 60)
        except KeyboardInterrupt:
            print(f"stopped in round {number}", flush=True)
            return
        if asked.keep is not None:
            with asked.keep.open("a") as file:
                file.write(json.dumps(asdict(found)) + "\n")
        failed = sum(end == "failed" for end in found.ends.values())
        print(f"round {number}: {found.seconds:.0f} s, {len(found.ends)} faults, {failed} failed", flush=True)
        yield found


def table(found: Iterable[Round]) -> bool:
    """Print every fault with its outcomes; whether all held."""
    ends: dict[str, Counter[str]] = defaultdict(Counter)
    words: list[tuple[str, str]] = []
    seconds = 0.0
    for one in found:
        seconds += one.seconds
        for fault, end in one.ends.items():
            ends[fault][end] += 1
        words += [(fault, says) for fault, says in one.words.items() if one.ends[fault] == "failed"]
    wide = max(map(len, ends), default=5)
    print(f"{'fault':<{wide}}  runs  outcome")
    for fault, counted in sorted(ends.items()):
        outcome = ", ".join(f"{counted[end]} {end}" for end in ORDER if counted[end])
        print(f"{fault:<{wide}}  {counted.total():>4}  {outcome}")
    print(f"{seconds:.0f} s")
    for fault, says in words:
        print(f"\n{fault} failed:\n{says}")
    return not any(counted["failed"] for counted in ends.values())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=20, help="rounds in all, those kept before counted")
    parser.add_argument("--only", default="", help="as pytest -k")
    parser.add_argument("--minutes", type=float, default=float("inf"), help="no round begins after so long")
    parser.add_argument("--longest-minutes", type=float, default=45.0, help="a round that takes longer has failed")
    parser.add_argument("--keep", type=Path, help="file that keeps the rounds, to go on from")
    sys.exit(0 if table(rounds(parser.parse_args())) else 1)


if __name__ == "__main__":
    main()
