"""The one clock. Views, tasks and commands read it; domain code never does."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from django.conf import settings

PIN_FILE = "clock"
_STARTED_AT = datetime.now(UTC)


def now() -> datetime:
    """The present moment, or the one that ``PLANNER_AS_OF`` or the demo has pinned [aware, UTC]."""
    pinned: datetime | None = settings.PLANNER_AS_OF
    return pinned if pinned is not None else datetime.now(UTC)


def running() -> datetime:
    """The real present, whatever the clock is pinned to: what waits (a retry, a lease, the next pull) waits really."""
    return datetime.now(UTC)


def passing() -> datetime:
    """As ``now``, but a pinned moment moves on by the real time since it was pinned: for retries of messages, which
    are dated by the pinned days and must still come round.
    """
    pinned: datetime | None = settings.PLANNER_AS_OF
    if pinned is None:
        return running()
    path = _file()
    since = datetime.fromtimestamp(path.stat().st_mtime, UTC) if path.exists() else _STARTED_AT
    return pinned + max(running() - since, timedelta(0))


def pin(moment: datetime) -> None:
    """Hold the clock of this data folder at a moment, for this process and later ones."""
    settings.PLANNER_AS_OF = moment.astimezone(UTC)
    _file().write_text(settings.PLANNER_AS_OF.isoformat())


def unpin() -> None:
    """Let the clock of this data folder run."""
    settings.PLANNER_AS_OF = None
    _file().unlink(missing_ok=True)


def _file() -> Path:
    return Path(settings.DATA_DIR) / PIN_FILE
