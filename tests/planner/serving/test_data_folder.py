"""``--data-dir`` goes with every command, Django's own too."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
MINE = {key: value for key, value in os.environ.items() if not key.startswith(("PLANNER_", "DJANGO_"))}


def manage(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=MINE,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


@pytest.mark.parametrize("before", [True, False], ids=["before the command", "after it"])
def test_a_command_of_django_takes_it(tmp_path: Path, before: bool) -> None:
    folder = ("--data-dir", str(tmp_path / "kept")) if before else (f"--data-dir={tmp_path / 'kept'}",)
    words = (*folder, "diffsettings") if before else ("diffsettings", *folder)
    done = manage(*words)
    assert done.returncode == 0, done.stderr
    assert f"DATA_DIR = {tmp_path / 'kept'!r}" in done.stdout


def test_our_own_take_it_and_explain_it(tmp_path: Path) -> None:
    done = manage("check_plan", "--data-dir", str(tmp_path))
    assert done.returncode == 1
    assert "manage.py migrate" in done.stderr
    assert "--data-dir" in manage("check_plan", "--help").stdout


@pytest.mark.parametrize("word", ["--data-dir", "--data-dir="])
def test_without_a_folder_it_says_what_is_missing(word: str) -> None:
    done = manage("check", word)
    assert done.returncode == 1
    assert done.stderr.startswith("--data-dir needs a folder")


def test_nobody_else_reads_what_it_keeps_in_a_folder_others_may_enter(tmp_path: Path) -> None:
    folder = tmp_path / "open"
    folder.mkdir(mode=0o755)
    done = manage("migrate", "-v0", "--data-dir", str(folder))
    assert done.returncode == 0, done.stderr
    kept = [path for path in folder.rglob("*") if path.is_file()]
    assert {"planner.sqlite3", "secret_key"} <= {path.name for path in kept}
    assert all(path.stat().st_mode & 0o077 == 0 for path in kept)
