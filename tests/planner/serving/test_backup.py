"""A data folder that is lost comes back from a backup made while others write; anything doubtful is refused."""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
import tarfile
import threading
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from jobs.domain.errors import CannotDo
from planner.serving.backup import copy_database, restore_backup

ROOT = Path(__file__).resolve().parents[3]
NOW = datetime(2026, 6, 8, 10, tzinfo=UTC)


def environment(folder: Path) -> dict[str, str]:
    """Nothing of this machine's settings, and none of the tests'."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PLANNER_", "DJANGO_"))}
    return {**clean, "PLANNER_DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "planner.settings.local"}


def manage(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "manage.py", *words]
    return subprocess.run(
        command, cwd=ROOT, env=environment(folder), capture_output=True, text=True, check=False, timeout=120
    )


def groups(folder: Path) -> list[str]:
    """A table that is in every version stands for all."""
    with closing(sqlite3.connect(folder / "planner.sqlite3")) as database:
        return [row[0] for row in database.execute("select name from auth_group order by name")]


def add_group(folder: Path, name: str) -> None:
    with closing(sqlite3.connect(folder / "planner.sqlite3")) as database, database:
        database.execute("insert into auth_group (name) values (?)", (name,))


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with an empty database; made once, for it takes seconds."""
    folder = tmp_path_factory.mktemp("made") / "data"
    made = manage(folder, "migrate", "-v0")
    assert made.returncode == 0, made.stderr
    return folder


@pytest.fixture
def folder(empty: Path, tmp_path: Path) -> Path:
    made = tmp_path / "data"
    shutil.copytree(empty, made)
    add_group(made, "north")
    return made


def test_a_lost_folder_comes_back_with_its_key(folder: Path, tmp_path: Path) -> None:
    (folder / "photos").mkdir()
    (folder / "photos" / "1.jpg").write_bytes(b"a picture")
    key = (folder / "secret_key").read_text()
    file = tmp_path / "kept.tar.gz"
    made = manage(folder, "backup", str(file))
    assert made.returncode == 0, made.stderr
    assert file.stat().st_mode & 0o777 == 0o600
    shutil.rmtree(folder)
    back = manage(folder, "restore", str(file))
    assert back.returncode == 0, back.stderr
    assert groups(folder) == ["north"]
    assert (folder / "secret_key").read_text() == key
    assert (folder / "photos" / "1.jpg").read_bytes() == b"a picture"
    assert folder.stat().st_mode & 0o777 == 0o700
    assert list(folder.glob(".restore-*")) == []


def test_a_copy_made_while_others_write_is_one_moment(tmp_path: Path) -> None:
    """Two rows are written in each transaction: a copy must never hold one without the other."""
    source = tmp_path / "source"
    with closing(sqlite3.connect(source)) as database:
        database.execute("pragma journal_mode=wal")
        database.execute("create table pair (half integer, filler text)")
    stop = threading.Event()

    def write() -> None:
        with closing(sqlite3.connect(source, timeout=20)) as database:
            while not stop.is_set():
                with database:
                    database.execute("insert into pair values (1, ?)", ("x" * 3000,))
                    database.execute("insert into pair values (2, ?)", ("y" * 3000,))

    writer = threading.Thread(target=write)
    writer.start()
    try:
        counts = []
        for at in range(5):
            copy_database(source, tmp_path / f"copy{at}")
            with closing(sqlite3.connect(tmp_path / f"copy{at}")) as copy:
                counts.append(copy.execute("select sum(half = 1), sum(half = 2), count(*) from pair").fetchone())
    finally:
        stop.set()
        writer.join()
    assert all(first == second for first, second, _ in counts), counts
    assert counts[-1][2] > 0


def test_a_folder_in_use_is_not_overwritten_without_being_told(folder: Path, tmp_path: Path) -> None:
    file = tmp_path / "kept.tar.gz"
    manage(folder, "backup", str(file))
    add_group(folder, "south")
    refused = manage(folder, "restore", str(file))
    assert refused.returncode != 0
    assert "--replace" in refused.stderr
    assert groups(folder) == ["north", "south"]
    replaced = manage(folder, "restore", str(file), "--replace")
    assert replaced.returncode == 0, replaced.stderr
    assert groups(folder) == ["north"]
    (aside,) = tmp_path.glob("data-before-*")
    assert groups(aside) == ["north", "south"]


def rewrite(file: Path, target: Path, change: dict[str, object], *, drop: str = "", extra: str = "") -> None:
    """An archive as ``file``, with other words in its manifest."""
    with tarfile.open(file) as archive, tarfile.open(target, "w:gz") as written:
        for member in archive:
            body = archive.extractfile(member)
            assert body is not None
            if member.name == drop:
                continue
            if member.name == "manifest.json":
                manifest = json.load(body) | change
                path = target.with_suffix(".json")
                path.write_text(json.dumps(manifest))
                written.add(path, "manifest.json")
            else:
                written.addfile(member, body)
        if extra:
            target.with_suffix(".txt").write_text("outside")
            head = tarfile.TarInfo(extra)
            head.size = 7
            with target.with_suffix(".txt").open("rb") as body:
                written.addfile(head, body)


def bad_archives(file: Path, into: Path) -> dict[str, Path]:
    bad = {name: into / f"{name}.tar.gz" for name in ("newer", "outside", "headless", "cut", "text", "absent")}
    rewrite(file, bad["newer"], {"migrations": [["jobs", "0999_from_tomorrow"]]})
    rewrite(file, bad["outside"], {}, extra="../outside.txt")
    rewrite(file, bad["headless"], {}, drop="manifest.json")
    bad["cut"].write_bytes(file.read_bytes()[:-2000])
    bad["text"].write_text("no archive")
    return bad


def test_what_is_newer_broken_or_no_backup_is_refused_and_changes_nothing(
    folder: Path, tmp_path: Path, settings: Any
) -> None:
    file = tmp_path / "kept.tar.gz"
    assert manage(folder, "backup", str(file)).returncode == 0
    target = tmp_path / "other"
    target.mkdir()
    settings.DATA_DIR = target
    for name, path in bad_archives(file, tmp_path).items():
        with pytest.raises(CannotDo) as refused:
            restore_backup(path=path, replace=False, now=NOW)
        assert refused.value.code == ("backup.newer" if name == "newer" else "backup.unreadable"), name
        assert list(target.iterdir()) == [], name
    assert not (tmp_path / "outside.txt").exists()
    told = manage(target, "restore", str(tmp_path / "newer.tar.gz"))
    assert told.returncode == 1
    assert "jobs 0999_from_tomorrow" in told.stderr
    assert "Traceback" not in told.stderr


def test_a_backup_takes_no_other_files_place(folder: Path, tmp_path: Path) -> None:
    file = tmp_path / "kept.tar.gz"
    file.write_text("mine")
    refused = manage(folder, "backup", str(file))
    assert refused.returncode == 1
    assert file.read_text() == "mine"
    nowhere = manage(folder, "backup", str(tmp_path / "none" / "kept.tar.gz"))
    assert nowhere.returncode == 1
    assert "Traceback" not in nowhere.stderr
