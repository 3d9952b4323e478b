"""How far a forecast may be trusted for its age alone."""

from datetime import datetime, timedelta
from enum import StrEnum

# Healthy replies of the US service were 0.1 to 9.1 h old when recorded (64 captures, median 5.6 h).
AGEING_AFTER = timedelta(hours=10)
STALE_AFTER = timedelta(hours=18)
DOWN_AFTER = timedelta(hours=24)
CLOCK_TOLERANCE = timedelta(hours=1)


class Freshness(StrEnum):
    FRESH = "fresh"
    AGEING = "ageing"
    STALE = "stale"
    DOWN = "down"


def freshness_of(
    *, issued_at: datetime | None, checked_at: datetime | None, horizon_end_at: datetime | None, now: datetime
) -> Freshness:
    """Judge a run by its own issue time, and the source by its last success.

    Parameters
    ----------
    issued_at : datetime or None
        When the service issued the run; ``None`` if there is no run.
    checked_at : datetime or None
        Last time the source answered well.
    horizon_end_at : datetime or None
        End of the last known hour of the run.
    now : datetime
        The present moment.

    Returns
    -------
    Freshness
        ``down`` if nothing succeeded for more than 24 h, else ``stale`` if the run is older than 18 h, has no
        future hour left or claims to be issued more than an hour from now, else ``ageing`` from 10 h, else
        ``fresh``.

    Source: ``common practice, no source``; the limits rest on recorded ages of healthy replies.
    """
    if issued_at is None or checked_at is None or horizon_end_at is None or now - checked_at > DOWN_AFTER:
        return Freshness.DOWN
    age = now - issued_at
    if age > STALE_AFTER or age < -CLOCK_TOLERANCE or horizon_end_at <= now:
        return Freshness.STALE
    return Freshness.AGEING if age >= AGEING_AFTER else Freshness.FRESH
