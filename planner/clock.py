"""The one clock. Views, tasks and commands read it; domain code never does."""

from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings

PIN_FILE = "clock"


def now() -> datetime:
    """The present moment, or the one that ``PLANNER_AS_OF`` or the demo has pinned [aware, UTC]."""
    pinned: datetime | None = settings.PLANNER_AS_OF
    return pinned if pinned is not None else datetime.now(UTC)


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
