"""When a start is looked at again whatever the forecast does: 48, 24, 12 and 3 hours before it."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from planner.watch.domain.thresholds import WATCHED

RUNGS_H = (48, 24, 12, 3)
# Before the first rung a start is on the one at which it came into the watch.
WATCHED_H = int(WATCHED / timedelta(hours=1))


def rung_of(start_at: datetime, now: datetime) -> int:
    """The rung of the ladder a start is on [h before the start]: the last one it has passed, 72 before the first.

    >>> from datetime import UTC
    >>> start_at = datetime(2026, 6, 9, 11, tzinfo=UTC)
    >>> [rung_of(start_at, start_at - timedelta(hours=hours)) for hours in (60, 48, 47.9, 12, 4, 3, 0)]
    [72, 48, 48, 12, 12, 3, 3]
    """
    left = start_at - now
    return min((rung for rung in RUNGS_H if left <= timedelta(hours=rung)), default=WATCHED_H)


def next_rung_at(starts: Iterable[datetime], now: datetime) -> datetime | None:
    """The next moment after ``now`` at which one of the starts comes into the watch or onto a rung."""
    moments = (start_at - timedelta(hours=hours) for start_at in starts for hours in (WATCHED_H, *RUNGS_H))
    return min((moment for moment in moments if moment > now), default=None)
