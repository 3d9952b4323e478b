"""How the service is, as pages tell it."""

import shutil
import socket
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal
from urllib.parse import unquote, urlsplit

from django.conf import settings
from django.db import OperationalError, ProgrammingError

from planner.serving.models import Turn

TICKS_MISSED = 5
LEAST_WAIT = timedelta(seconds=15)
# With less room than this neither the database nor Redis can write its next page.
LEAST_ROOM_BYTES = 64 * 1024
REDIS_PORT = 6379
# A page waits for this.
CONNECTS_WITHIN_S = 1.0


def is_behind(failure: Exception) -> bool:
    """Whether a failure of the database is a table or column that this program knows and the database does not."""
    missing = ("no such table", "no such column", "has no column", "does not exist")
    return isinstance(failure, OperationalError | ProgrammingError) and any(words in str(failure) for words in missing)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standstill:
    """The service stands still.

    Attributes
    ----------
    since_at : when it last looked for what is due
    why : ``redis`` (nobody listens at its address), ``disk`` (that of the data folder is full), or empty: not known
    """

    since_at: datetime
    why: Literal["redis", "disk", ""]


def find_standstill(*, running: datetime) -> Standstill | None:
    """Whether the service last looked for what is due too long ago; none while it is well or never ran.

    Parameters
    ----------
    running : datetime
        The real present.
    """
    last = Turn.objects.filter(kind=Turn.Kind.TICK).values_list("well_at", flat=True).first()
    patience = max(TICKS_MISSED * timedelta(seconds=settings.PLANNER_TICK_SECONDS), LEAST_WAIT)
    if last is None or running - last <= patience:
        return None
    if _disk_is_full():
        return Standstill(since_at=last, why="disk")
    return Standstill(since_at=last, why="" if _redis_listens() else "redis")


def _disk_is_full() -> bool:
    try:
        return shutil.disk_usage(settings.DATA_DIR).free < LEAST_ROOM_BYTES
    except OSError:
        return False


def _redis_listens() -> bool:
    """Whether somebody listens at the address of Redis: asked of the socket, so that pages need not know Redis."""
    address = urlsplit(settings.PLANNER_REDIS_URL)
    try:
        if address.hostname:
            socket.create_connection((address.hostname, address.port or REDIS_PORT), CONNECTS_WITHIN_S).close()
        else:
            with socket.socket(socket.AF_UNIX) as line:
                line.settimeout(CONNECTS_WITHIN_S)
                line.connect(unquote(address.path))
    except OSError:
        return False
    return True
