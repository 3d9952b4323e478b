"""Valid-time spans of a weather service, spread onto half-open UTC hours.

Levels and chances repeat over their span, amounts are shared out by time. Where spans overlap the last one
given wins; an hour that is not wholly covered by known spans is unknown, never zero.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import isodate
import numpy as np
from numpy.typing import NDArray

from jobs.domain.errors import OutsideFailure
from planner.forecast.domain.series import HOUR, Values

Floats = NDArray[np.float64]
LONGEST_SPAN = timedelta(days=31)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One value over [from_at, until_at); ``None`` says the source has no value there."""

    from_at: datetime
    until_at: datetime
    value: float | None

    def __post_init__(self) -> None:
        if self.from_at.tzinfo is None or self.until_at.tzinfo is None:
            raise ValueError("a piece needs aware moments")
        if self.until_at <= self.from_at:
            raise ValueError(f"a piece must end after it starts: {self.from_at} to {self.until_at}")
        if self.value is not None and not math.isfinite(self.value):
            raise ValueError(f"a piece needs a finite value, not {self.value}")


def _moment(text: str, now: datetime | None) -> datetime:
    if text.upper() == "NOW":
        if now is None:
            raise ValueError("NOW without a present moment")
        return now.astimezone(UTC)
    moment: datetime = isodate.parse_datetime(text)
    if moment.tzinfo is None:
        raise ValueError("no offset from UTC")
    return moment.astimezone(UTC)


def _span(text: str, now: datetime | None) -> tuple[datetime, datetime]:
    first, slash, second = (part.strip() for part in text.partition("/"))
    if not slash:
        raise ValueError("no slash")
    if first.startswith("P"):
        end = _moment(second, now)
        return end - isodate.parse_duration(first), end
    start = _moment(first, now)
    if second.startswith("P"):
        return start, start + isodate.parse_duration(second)
    return start, _moment(second, now)


def read_valid_time(text: str, *, now: datetime | None = None) -> tuple[datetime, datetime]:
    """Read an ISO 8601 interval: start/duration, start/end or duration/end.

    Parameters
    ----------
    text : str
        The interval; every moment carries its offset.
    now : datetime, optional
        What the word ``NOW`` stands for; without it ``NOW`` is refused.

    Returns
    -------
    tuple of datetime
        Start and end [UTC], end after start.

    Raises
    ------
    OutsideFailure
        ``forecast.bad_time`` if it is no such interval, is empty, or lasts longer than 31 days.

    Source: api.weather.gov, OpenAPI specification, ISO8601Interval.

    >>> read_valid_time("2026-07-15T12:00:00+00:00/PT6H")[1].isoformat()
    '2026-07-15T18:00:00+00:00'
    """
    try:
        start, end = _span(text, now)
    except (ValueError, OverflowError, AttributeError, TypeError) as error:
        raise OutsideFailure("forecast.bad_time", field="validTime", text=text[:80]) from error
    if not start < end <= start + LONGEST_SPAN:
        raise OutsideFailure("forecast.bad_time", field="validTime", text=text[:80])
    return start, end


def floor_hour(moment: datetime) -> datetime:
    """The full UTC hour at or before a moment."""
    return moment.astimezone(UTC).replace(minute=0, second=0, microsecond=0)


def ceil_hour(moment: datetime) -> datetime:
    """The full UTC hour at or after a moment."""
    floor = floor_hour(moment)
    return floor if floor == moment else floor + HOUR


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cells:
    """Time cut at every hour and at every edge of a piece, each cell with its value and its rate."""

    hour_starts: NDArray[np.intp]
    seconds: Floats
    level: Floats
    rate: Floats


def _cells(pieces: Sequence[Piece], start_at: datetime, hours: int) -> _Cells:
    spans = [((p.from_at - start_at).total_seconds(), (p.until_at - start_at).total_seconds()) for p in pieces]
    hour_edges = np.arange(hours + 1, dtype=np.float64) * 3600.0
    edges = np.unique(np.concatenate([hour_edges, np.clip(np.array(spans).ravel(), 0.0, hours * 3600.0)]))
    level = np.full(len(edges) - 1, np.nan)
    rate = np.full(len(edges) - 1, np.nan)
    for piece, (begins, ends) in zip(pieces, spans, strict=True):
        inside = slice(int(np.searchsorted(edges, begins)), int(np.searchsorted(edges, ends)))
        value = np.nan if piece.value is None else piece.value
        level[inside] = value
        rate[inside] = value / (ends - begins)
    return _Cells(hour_starts=np.searchsorted(edges, hour_edges[:-1]), seconds=np.diff(edges), level=level, rate=rate)


def _spread(pieces: Sequence[Piece], start_at: datetime, hours: int, reduce: Callable[[_Cells], Floats]) -> Values:
    if hours <= 0 or not pieces:
        return (None,) * max(hours, 0)
    # A missing cell is NaN, and NaN survives adding and taking the maximum: the hour stays unknown.
    return tuple(None if math.isnan(value) else float(value) for value in reduce(_cells(pieces, start_at, hours)))


def hourly_levels(pieces: Sequence[Piece], *, start_at: datetime, hours: int) -> Values:
    """Spread a level (temperature, wind, sky): its mean over each hour.

    Parameters
    ----------
    pieces : sequence of Piece
        In the order given by the source; the last wins where two overlap.
    start_at : datetime
        Full UTC hour of the first entry.
    hours : int
        Number of entries [h], 0 or more.

    Returns
    -------
    tuple of float or None
        One value an hour in the unit of the pieces; ``None`` where any part of the hour is unknown.
    """

    def mean(cells: _Cells) -> Floats:
        low = np.minimum.reduceat(cells.level, cells.hour_starts)
        high = np.maximum.reduceat(cells.level, cells.hour_starts)
        weighted = np.add.reduceat(cells.level * cells.seconds, cells.hour_starts) / 3600.0
        # Where the hour holds one value, keep it exactly instead of its rounded mean.
        return np.where(low == high, low, weighted)

    return _spread(pieces, start_at, hours, mean)


def hourly_amounts(pieces: Sequence[Piece], *, start_at: datetime, hours: int) -> Values:
    """Share out an amount (rain, snow) evenly over the time of its span.

    Parameters
    ----------
    pieces : sequence of Piece
        In the order given by the source; where two overlap the last wins, at its own rate.
    start_at : datetime
        Full UTC hour of the first entry.
    hours : int
        Number of entries [h], 0 or more.

    Returns
    -------
    tuple of float or None
        Amount inside each hour in the unit of the pieces; ``None`` where any part of the hour is unknown.
        Over hours wholly covered by pieces that do not overlap, the sum equals the sum of the pieces.

    Formula: amount of the hour = sum of value x (overlap / length of the span).
    """
    return _spread(
        pieces, start_at, hours, lambda cells: np.add.reduceat(cells.rate * cells.seconds, cells.hour_starts)
    )


def hourly_chances(pieces: Sequence[Piece], *, start_at: datetime, hours: int) -> Values:
    """Spread a chance that belongs to a window: repeated in each hour, the highest where spans meet inside one.

    Parameters
    ----------
    pieces : sequence of Piece
        In the order given by the source; the last wins where two overlap.
    start_at : datetime
        Full UTC hour of the first entry.
    hours : int
        Number of entries [h], 0 or more.

    Returns
    -------
    tuple of float or None
        One chance an hour; ``None`` where any part of the hour is unknown.
    """
    return _spread(pieces, start_at, hours, lambda cells: np.maximum.reduceat(cells.level, cells.hour_starts))


def hourly_from_instants(
    instants: Sequence[tuple[datetime, float | None]], *, start_at: datetime, hours: int, longest_gap: timedelta
) -> Values:
    """The mean of each hour of something stated at single moments, straight lines between them.

    Parameters
    ----------
    instants : sequence of (datetime, float or None)
        In order of time; ``None`` counts as not stated.
    start_at : datetime
        Full UTC hour of the first entry.
    hours : int
        Number of entries [h], 0 or more.
    longest_gap : timedelta
        Moments further apart than this say nothing of the time between.

    Returns
    -------
    tuple of float or None
        One value an hour; ``None`` unless the whole hour lies between stated moments close enough together.
    """
    known = [((at - start_at).total_seconds(), value) for at, value in instants if value is not None]
    if hours <= 0 or not known:
        return (None,) * max(hours, 0)
    at_s = np.array([at for at, _ in known])
    edges = np.unique(np.concatenate([np.arange(hours + 1) * 3600.0, np.clip(at_s, 0.0, hours * 3600.0)]))
    level = np.interp(edges, at_s, np.array([value for _, value in known]))
    # The gap each cell lies in: none before the first and after the last stated moment.
    after = np.searchsorted(at_s, edges[1:])
    inside = (after > 0) & (after < len(at_s)) & (edges[:-1] >= at_s[0])
    gap = np.where(inside, at_s[np.minimum(after, len(at_s) - 1)] - at_s[np.maximum(after - 1, 0)], np.inf)
    area = np.where(gap <= longest_gap.total_seconds(), (level[:-1] + level[1:]) / 2 * np.diff(edges), np.nan)
    sums = np.add.reduceat(area, np.searchsorted(edges, np.arange(hours) * 3600.0)) / 3600.0
    return tuple(None if math.isnan(value) else float(value) for value in sums)


def highest_of(first: Values, second: Values) -> Values:
    """The higher of two values each hour; what one does not know is the other's.

    >>> highest_of((None, 0.2), (0.1, 0.1))
    (0.1, 0.2)
    """
    return tuple(
        max((value for value in pair if value is not None), default=None) for pair in zip(first, second, strict=True)
    )
