"""The disk of the data folder runs full in the middle of the work, and is given room again."""

import contextlib
import os
import shutil
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.conftest import Yard
from tests.faults.pages import signed_in
from tests.faults.processes import Rows, service
from tests.faults.servers import wait_for
from tests.faults.story import SlowRain, due_now, nothing_is_half, runs, wait_until_told

# Enough for the yard and what Redis keeps, and soon full.
ROOM = "24m"


@contextlib.contextmanager
def small_disk(path: Path) -> Iterator[Path]:
    """A disk of its own; where the machine grants none the test is skipped, unless it was said to be needed."""
    path.mkdir()
    sudo = [] if os.geteuid() == 0 else ["sudo", "-n"]
    mount = [*sudo, "mount", "-t", "tmpfs", "-o", f"size={ROOM},mode=0700,uid={os.geteuid()}", "tmpfs", str(path)]
    try:
        done = subprocess.run(mount, capture_output=True, text=True, check=False)
        failed = done.stderr if done.returncode else ""
    except FileNotFoundError as missing:
        failed = str(missing)
    if failed:
        if os.environ.get("PLANNER_NEEDS_SMALL_DISK"):
            pytest.fail(f"a small disk is needed and cannot be mounted: {failed}")
        pytest.skip(f"no small disk on this machine: {failed}")
    try:
        yield path
    finally:
        subprocess.run([*sudo, "umount", "--lazy", str(path)], check=True)


def fill(folder: Path) -> Path:
    """Leave not a byte."""
    file = folder / "filler"
    with file.open("wb", buffering=0) as whole, contextlib.suppress(OSError):
        while True:
            whole.write(b"x" * 4096)
    with file.open("ab", buffering=0) as whole, contextlib.suppress(OSError):
        while True:
            whole.write(b"x")
    return file


@pytest.mark.fault("disk full for the data folder")
def test_the_disk_is_full(yard: Yard, tmp_path: Path) -> None:
    yard.redis.stop()
    rain = SlowRain(yard)
    with small_disk(tmp_path / "s") as disk:
        folder = disk / "d"
        shutil.copytree(yard.folder, folder)
        yard.rows = Rows(str(folder / "planner.sqlite3"))
        before = runs(yard.rows)
        with service(yard.env | {"PLANNER_DATA_DIR": str(folder)}, yard.log) as (one, address):
            office = signed_in(address)
            rain.wait_until_asked()
            filler = fill(disk)
            rain.let_go()
            wait_for(lambda: "full" in one.said, what="the full disk is felt")
            time.sleep(3)
            assert runs(yard.rows) == before, "nothing is stored by half"
            assert one.process.poll() is None
            wait_for(
                lambda: "has stood still since" in office.get(f"{address}crews/", timeout=60).text,
                what="the page says that the service stands still",
            )
            assert "The disk of its data folder is full" in office.get(f"{address}crews/", timeout=60).text
            filler.unlink()
            wait_for(lambda: yard.rows.all("select 1"), what="the database answers")
            due_now(yard.rows)
            wait_until_told(yard)
            wait_for(lambda: "stood still" not in office.get(f"{address}crews/", timeout=60).text)
        assert runs(yard.rows) == before + 1
        nothing_is_half(yard)
