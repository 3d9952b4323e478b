"""When a message about a pour may go out: quiet hours hold, but not on pour day, and never past the last hours."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from crews.domain.quiet_hours import QuietHours, after_quiet

# The last rung of the ladder: a message about a start goes out by then, quiet hours or not.
AT_THE_LATEST = timedelta(hours=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """Not before when a message goes, and whether it goes in quiet hours."""

    not_before: datetime
    urgent: bool


def going_of(now: datetime, start_at: datetime | None, *, quiet: QuietHours, zone: str) -> Going:
    """When a message goes out.

    Parameters
    ----------
    now : the present moment, aware.
    start_at : start of the work it is about; ``None``: of none.
    quiet : hours in which nobody is disturbed.
    zone : local zone.

    Returns
    -------
    Going
        At once on the local day of the start; else after the quiet hours, but no later than three hours before it.

    >>> from datetime import UTC
    >>> evening, start_at = datetime(2026, 6, 9, 2, tzinfo=UTC), datetime(2026, 6, 9, 11, tzinfo=UTC)
    >>> going_of(evening, start_at, quiet=QuietHours(), zone="America/New_York").not_before.hour
    8
    """
    local = ZoneInfo(zone)
    if start_at is not None and now.astimezone(local).date() >= start_at.astimezone(local).date():
        return Going(not_before=now, urgent=True)
    morning = after_quiet(now, quiet, zone)
    if start_at is not None and morning > now and start_at - AT_THE_LATEST < morning:
        return Going(not_before=max(now, start_at - AT_THE_LATEST), urgent=True)
    return Going(not_before=morning, urgent=False)
