"""One file that holds a data folder, made while the service runs, and the way back from it.

A SQLite database is copied by its own online backup, which sees one moment of it. A database elsewhere (PostgreSQL)
is not in the file: its own tools dump it, and the answer says so. Messages under way in Redis are left out: what they
were for stands in rows.
"""

import contextlib
import io
import json
import os
import shutil
import sqlite3
import tarfile
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import Any

from django.conf import settings
from django.db import connection, connections
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from jobs.domain.errors import CannotDo

MANIFEST = "manifest.json"
FORMAT = 1
# Made anew by the service, or of one run of it.
LEFT_OUT = frozenset({"redis", "redis.sock", "serve.lock", "static"})
TIMER = "timer"
# Settings make these before any command runs: a folder that holds nothing else is empty.
MADE_BY_SETTINGS = frozenset({"secret_key", "static", "serve.lock"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What a backup holds; ``database`` is false where the database lives elsewhere."""

    path: Path
    files: int
    database: bool


def database_file() -> Path | None:
    """The SQLite file of the settings; none where the database is a server."""
    database = settings.DATABASES["default"]
    return Path(database["NAME"]) if database["ENGINE"].endswith("sqlite3") else None


def make_backup(*, path: Path, now: datetime) -> Kept:
    """Write the data folder into one file, for its owner's eyes only; whole or not at all.

    Raises
    ------
    CannotDo
        ``backup.exists``, ``backup.bad_folder``, ``backup.no_database``.
    """
    folder, database = Path(settings.DATA_DIR).absolute(), database_file()
    if path.exists():
        raise CannotDo("backup.exists", field="FILE", path=path)
    if database is not None and not database.exists():
        raise CannotDo("backup.no_database", field="--data-dir", folder=folder)
    try:
        with tempfile.TemporaryDirectory(dir=path.absolute().parent, prefix=".backup-") as made_in:
            copy = Path(made_in) / "database"
            if database is not None:
                copy_database(database, copy)
            part = Path(made_in) / "part"
            files = _write(part, folder, database, copy, now)
            # Refuses to take the place of a file that came meanwhile.
            os.link(part, path)
    except FileExistsError as error:
        raise CannotDo("backup.exists", field="FILE", path=path) from error
    except OSError as error:
        raise CannotDo("backup.bad_folder", field="FILE", path=path, says=error.strerror or error) from error
    return Kept(path=path, files=files, database=database is not None)


def copy_database(source: Path, target: Path) -> None:
    """Copy a SQLite database as it stands at one moment, while others write to it."""
    opened = contextlib.closing(sqlite3.connect(source, timeout=20)), contextlib.closing(sqlite3.connect(target))
    with opened[0] as kept, opened[1] as copy:
        kept.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")


def _write(part: Path, folder: Path, database: Path | None, copy: Path, now: datetime) -> int:
    manifest = {
        "format": FORMAT,
        "made_at": now.isoformat(),
        "database": database.name if database is not None else "",
        "vendor": connection.vendor,
        "migrations": sorted(list(one) for one in _applied()),
    }
    files = 0
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file, tarfile.open(fileobj=file, mode="w:gz") as archive:
        text = json.dumps(manifest, indent=1).encode()
        head = tarfile.TarInfo(MANIFEST)
        head.size, head.mode = len(text), 0o600
        archive.addfile(head, io.BytesIO(text))
        if database is not None:
            archive.add(copy, arcname=database.name)
        for path in _to_keep(folder, database):
            archive.add(path, arcname=str(path.relative_to(folder)), recursive=False)
            files += 1
        file.flush()
        os.fsync(file.fileno())
    return files


def _to_keep(folder: Path, database: Path | None) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        top = path.relative_to(folder).parts[0]
        of_database = database is not None and path.name.startswith(database.name)
        left_out = top in LEFT_OUT or top.startswith((f"{TIMER}.", ".")) or top == TIMER or of_database
        if not left_out and path.is_file() and not path.is_symlink():
            yield path


def _applied() -> set[tuple[str, str]]:
    return set(MigrationRecorder(connection).applied_migrations())


def _known() -> set[tuple[str, str]]:
    return set(MigrationLoader(None).disk_migrations)


def restore_backup(*, path: Path, replace: bool, now: datetime) -> Kept:
    """Put what a backup holds into the data folder, where the caller holds its lock.

    With ``replace`` what is there is moved into a folder beside it first; nothing is deleted. The archive is unpacked
    whole before the folder is touched.

    Raises
    ------
    CannotDo
        ``backup.unreadable``, ``backup.newer``, ``backup.not_empty``.
    """
    folder = Path(settings.DATA_DIR).absolute()
    present = [entry for entry in folder.iterdir() if entry.name not in MADE_BY_SETTINGS]
    if present and not replace:
        raise CannotDo("backup.not_empty", field="--data-dir", folder=folder)
    with tempfile.TemporaryDirectory(dir=folder, prefix=".restore-") as made_in:
        unpacked = Path(made_in)
        manifest = _unpack(path, unpacked)
        connections.close_all()
        if present:
            aside = folder.with_name(f"{folder.name}-before-{now:%Y%m%dT%H%M%S}")
            aside.mkdir(mode=0o700)
            for entry in [*present, *(folder / name for name in ("secret_key",) if (folder / name).exists())]:
                shutil.move(entry, aside / entry.name)
        files = sorted(entry for entry in unpacked.iterdir() if entry.name != MANIFEST)
        for entry in files:
            os.replace(entry, folder / entry.name) if entry.is_file() else shutil.move(entry, folder / entry.name)
    return Kept(path=path, files=len(files), database=bool(manifest["database"]))


def _unpack(path: Path, target: Path) -> dict[str, Any]:
    """Unpack an archive into an empty folder and read its manifest; nothing leaves the folder."""
    try:
        with tarfile.open(path, "r:gz") as archive:
            for member in archive:
                inside = PurePosixPath(member.name)
                if not member.isfile() or inside.is_absolute() or ".." in inside.parts:
                    raise CannotDo("backup.unreadable", field="FILE", path=path, says=f"it holds {member.name!r}")
                archive.extract(member, target, filter="data")
        manifest: dict[str, Any] = json.loads((target / MANIFEST).read_text())
        made_by = {(app, name) for app, name in manifest["migrations"]}
        if manifest["format"] != FORMAT:
            raise CannotDo("backup.unreadable", field="FILE", path=path, says=f"its format is {manifest['format']!r}")
    except (OSError, EOFError, tarfile.TarError, ValueError, KeyError, TypeError) as error:
        raise CannotDo("backup.unreadable", field="FILE", path=path, says=error) from error
    if newer := sorted(made_by - _known()):
        app, name = newer[0]
        raise CannotDo("backup.newer", field="FILE", app=app, migration=name)
    database = manifest["database"]
    if database:
        _look_through(path, target / database)
    return manifest


def _look_through(path: Path, database: Path) -> None:
    """Refuse a database that is not whole, before it takes any place."""
    try:
        with contextlib.closing(sqlite3.connect(database)) as one:
            found = one.execute("PRAGMA integrity_check").fetchone()[0]
    except sqlite3.Error as error:
        raise CannotDo("backup.unreadable", field="FILE", path=path, says=error) from error
    if found != "ok":
        raise CannotDo("backup.unreadable", field="FILE", path=path, says=found)
