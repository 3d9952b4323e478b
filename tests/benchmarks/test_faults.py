"""The table of faults is printed whole whatever fails, and goes on from the rounds that were kept."""

import json
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path

import pytest

from tests.benchmarks.faults import ROOT, Round, table


def test_a_failure_is_counted_and_the_rest_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    good = Round(ends={"Redis stopped": "held", "disk full": "skipped"}, seconds=2.0)
    bad = Round(ends={"Redis stopped": "failed", "disk full": "held"}, words={"Redis stopped": "lost a fact"})
    assert not table([good, good, bad])
    said = capsys.readouterr().out
    assert "Redis stopped     3  2 held, 1 failed" in said
    assert "disk full         3  1 held, 2 skipped" in said
    assert "Redis stopped failed:\nlost a fact" in said
    assert table([good])


def test_kept_rounds_count(tmp_path: Path) -> None:
    """Two rounds were asked for and two were kept: nothing is left to run."""
    keep = tmp_path / "rounds.jsonl"
    kept = [
        Round(ends={"Redis stopped": "held"}),
        Round(ends={"Redis stopped": "failed"}, words={"Redis stopped": "x"}),
    ]
    keep.write_text("".join(json.dumps(asdict(one)) + "\n" for one in kept))
    command = [sys.executable, "-m", "tests.benchmarks.faults", "--runs", "2", "--keep", str(keep)]
    found = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=60)
    assert found.returncode == 1
    assert "Redis stopped     2  1 held, 1 failed" in found.stdout


def test_a_round_that_finds_nothing_to_run_has_failed() -> None:
    command = [sys.executable, "-m", "tests.benchmarks.faults", "--runs", "1", "--only", "no_such_fault"]
    found = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120)
    assert found.returncode == 1
    assert "the round itself     1  1 failed" in found.stdout
