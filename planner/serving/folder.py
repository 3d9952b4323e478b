"""The data folder, for its owner only, and held by one process at a time."""

import contextlib
import fcntl
import os
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from jobs.domain.errors import CannotDo

LOCK_FILE = "serve.lock"


@contextlib.contextmanager
def open_folder() -> Iterator[Path]:
    """The data folder, for its owner only and held by this process alone.

    Raises
    ------
    CannotDo
        ``serve.already_running``, ``serve.folder_not_ours``.
    """
    folder = Path(settings.DATA_DIR).absolute()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        folder.chmod(0o700)
        handle = os.open(folder / LOCK_FILE, os.O_RDWR | os.O_CREAT, 0o600)
    except PermissionError as error:
        raise CannotDo("serve.folder_not_ours", field="--data-dir", folder=folder) from error
    with os.fdopen(handle, "r+") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            process = file.read(20).strip() or "?"
            raise CannotDo("serve.already_running", field="--data-dir", folder=folder, process=process) from error
        file.truncate(0)
        file.write(str(os.getpid()))
        file.flush()
        yield folder
