"""The one clock. Views, tasks and commands read it; domain code never does."""

from datetime import UTC, datetime

from django.conf import settings


def now() -> datetime:
    """The present moment, or the one that ``PLANNER_AS_OF`` pins [aware, UTC]."""
    pinned: datetime | None = settings.PLANNER_AS_OF
    return pinned if pinned is not None else datetime.now(UTC)
