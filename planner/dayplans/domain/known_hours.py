"""What is known of a stretch of hours: measured where it is past, forecast where it is to come, else unknown."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from planner.forecast.domain.chance import WIDENING
from planner.forecast.domain.series import HourlySeries
from planner.forecast.domain.site_sky import SiteSky

HOUR = timedelta(hours=1)
Known = Sequence[tuple[datetime, float | None]]


def usable(sky: SiteSky | None) -> HourlySeries | None:
    """The forecast of a site, unless it is so old that the verdicts leave it out too."""
    return sky.series if sky is not None and WIDENING[sky.freshness] < 1.0 else None


def values_between(sky: SiteSky | None, variable: str, from_at: datetime, until_at: datetime) -> Known:
    """The value of every clock hour that overlaps [from_at, until_at), each with the moment it begins."""
    found: list[tuple[datetime, float | None]] = []
    at = from_at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    series = usable(sky)
    while at < until_at:
        value = sky.observed.value(variable, at) if sky is not None and sky.observed is not None else None
        if value is None and series is not None:
            value = series.value(variable, at)
        found.append((at, value))
        at += HOUR
    return found


def highest(hours: Known) -> tuple[datetime | None, float | None]:
    """The highest known value and its hour."""
    known = [(value, at) for at, value in hours if value is not None]
    if not known:
        return None, None
    value, at = max(known, key=lambda one: one[0])
    return at, value


def complete(hours: Known) -> bool:
    """Whether every hour is known."""
    return all(value is not None for _, value in hours)
