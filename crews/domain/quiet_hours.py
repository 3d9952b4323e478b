"""Hours at night in which nobody is disturbed, on the branch's own clock."""

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from crews.domain.working_time import local_moment

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuietHours:
    """Local wall times from when until when it is quiet; equal times: never.

    ``from_time`` after ``until_time`` means over midnight.
    """

    from_time: time = time(21)
    until_time: time = time(6)


def after_quiet(moment: datetime, quiet: QuietHours, zone: str) -> datetime:
    """The moment itself outside quiet hours, else their end.

    Parameters
    ----------
    moment : datetime
        Aware moment.
    quiet : QuietHours
        Half-open span of local wall times: quiet at ``from_time``, no longer at ``until_time``.
    zone : str
        IANA time zone of the branch.

    Returns
    -------
    datetime
        Aware moment not before ``moment``; a wall time the clocks skip is read as the moment they jump.

    >>> from datetime import UTC
    >>> after_quiet(datetime(2026, 6, 9, 3, tzinfo=UTC), QuietHours(), "America/New_York").isoformat()
    '2026-06-09T10:00:00+00:00'
    """
    if quiet.from_time == quiet.until_time:
        return moment
    today = moment.astimezone(ZoneInfo(zone)).date()
    over_midnight = quiet.from_time > quiet.until_time
    # A night that holds the moment began yesterday or today; whatever the clocks do, compare moments, not wall times.
    for begins_on in (today - DAY, today):
        begins_at = local_moment(zone, begins_on, quiet.from_time)
        ends_at = local_moment(zone, begins_on + DAY if over_midnight else begins_on, quiet.until_time)
        if begins_at <= moment < ends_at:
            return ends_at
    return moment
