"""What a forecast said of half-days, beside what was measured in them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from planner.forecast.domain.climate import MEASURABLE_MM
from planner.forecast.domain.halfday import HalfDay, HalfDays, seconds_of
from planner.forecast.domain.series import HourlySeries

DAY = timedelta(days=1)
LEAD_DAYS = (1, 2, 3, 4, 5, 6)
# A station leaves an hour out now and then; a half-day with more unknown says nothing.
MISSING_HOURS = 1
# Sums of rounded reports may fall short of 0.254 mm in the third decimal.
ROUNDING_MM = 0.0005


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredHalfDay:
    """One half-day [from_at, until_at) and whether 0.254 mm or more was measured in it."""

    from_at: datetime
    until_at: datetime
    wet: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What was told of a half-day, so many days ahead, and what came.

    ``percent`` is the chance told [0..100]; ``lead_day`` 1 is told less than 24 hours before the half-day begins.
    """

    from_at: datetime
    lead_day: int
    percent: int
    wet: bool


def measured_half_days(observed: HourlySeries, half_days: HalfDays) -> tuple[MeasuredHalfDay, ...]:
    """The half-days of which at most one hour of rain is unknown.

    Parameters
    ----------
    observed : measured hours; ``rain_mm`` unknown where a station was silent.
    half_days : of the local zone.

    Returns
    -------
    tuple of MeasuredHalfDay
        In order; wet from 0.254 mm on in the known hours (0.01 inch, the least a gauge counts).
    """
    found = []
    for part in half_days.slices(seconds_of(observed.start_at), seconds_of(observed.end_at)):
        block = part.block
        if (part.from_s, part.until_s) != (block.from_s, block.until_s):
            continue
        from_at, until_at = span_of(block)
        values = observed.between("rain_mm", from_at, until_at)
        known = [value for value in values if value is not None]
        if len(values) - len(known) <= MISSING_HOURS:
            wet = sum(known) >= MEASURABLE_MM - ROUNDING_MM
            found.append(MeasuredHalfDay(from_at=from_at, until_at=until_at, wet=wet))
    return tuple(found)


def span_of(block: HalfDay) -> tuple[datetime, datetime]:
    """A half-day as moments."""
    return datetime.fromtimestamp(block.from_s, UTC), datetime.fromtimestamp(block.until_s, UTC)


def told_percent(series: HourlySeries, from_at: datetime, until_at: datetime) -> int | None:
    """The chance [percent] a forecast gives a half-day: its highest hour; ``None`` where an hour is unknown."""
    values = series.between("rain_chance", from_at, until_at)
    known = [value for value in values if value is not None]
    if len(known) < len(values) or not known:
        return None
    return round(100 * max(known))


def lead_day(issued_at: datetime, from_at: datetime) -> int:
    """Day of the lead: 1 where the half-day begins within 24 hours of the issue, 2 within 48; 0 where it has begun.

    >>> issued_at = datetime(2026, 7, 1, 16, tzinfo=UTC)
    >>> [lead_day(issued_at, issued_at + timedelta(hours=hours)) for hours in (-1, 0, 23, 24, 47)]
    [0, 1, 1, 2, 2]
    """
    return max(0, (from_at - issued_at) // DAY + 1)


def run_for(issues: Sequence[datetime], from_at: datetime, lead: int) -> datetime | None:
    """Of the runs issued on one day of the lead, the one nearest to its middle; ``None`` where there is none.

    Parameters
    ----------
    issues : issue times, any order.
    from_at : begin of the half-day.
    lead : day of the lead, from 1.
    """
    middle_at = from_at - (lead - 0.5) * DAY
    inside = [issued_at for issued_at in issues if lead_day(issued_at, from_at) == lead]
    return min(inside, key=lambda issued_at: (abs(issued_at - middle_at), issued_at), default=None)


def verified(
    measured: Iterable[MeasuredHalfDay], runs: Mapping[datetime, HourlySeries], leads: Iterable[int] = LEAD_DAYS
) -> tuple[Verified, ...]:
    """Pairs of told and measured, at most one a half-day and lead.

    Parameters
    ----------
    measured : half-days of one place.
    runs : forecasts of one source for it, by issue time.
    leads : days of the lead to look at.
    """
    issues = sorted(runs)
    leads = tuple(leads)
    found = []
    for one in measured:
        for lead in leads:
            issued_at = run_for(issues, one.from_at, lead)
            percent = told_percent(runs[issued_at], one.from_at, one.until_at) if issued_at is not None else None
            if percent is not None:
                found.append(Verified(from_at=one.from_at, lead_day=lead, percent=percent, wet=one.wet))
    return tuple(found)
