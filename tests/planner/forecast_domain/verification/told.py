"""The record of real forecasts as verified windows, pooled over its gauges."""

import csv
import gzip
from collections import Counter
from collections.abc import Iterable
from datetime import UTC, datetime
from functools import cache

from planner.forecast.domain.halfday import HalfDays
from planner.forecast.domain.series import HOUR, VARIABLES, HourlySeries, Values
from planner.forecast.domain.verification.scores import Tally
from planner.forecast.domain.verification.windows import Verified, measured_half_days, verified
from tests.planner.forecast_domain.real_record import FOLDER, ZONE, measured_mm


@cache
def issued(column: str) -> dict[datetime, HourlySeries]:
    """Every captured run of one forecast, by a column of the record: its hourly chance."""
    found: dict[str, dict[datetime, float]] = {}
    with gzip.open(FOLDER / "statham_2026_forecasts.csv.gz", "rt") as rows:
        for row in csv.DictReader(rows):
            if row[column]:
                valid_at = datetime.fromisoformat(row["valid_start_utc"]).astimezone(UTC)
                found.setdefault(row["captured_utc"], {})[valid_at] = float(row[column]) / 100
    return {datetime.fromisoformat(at): _series("rain_chance", hours, at) for at, hours in found.items()}


def _series(name: str, known: dict[datetime, float], issued_at: str) -> HourlySeries:
    first, last = min(known), max(known)
    hours = int((last - first) / HOUR) + 1
    columns: dict[str, Values] = dict.fromkeys(VARIABLES, (None,) * hours)
    columns[name] = tuple(known.get(first + at * HOUR) for at in range(hours))
    start_at = first.astimezone(UTC)
    return HourlySeries(source="record", issued_at=datetime.fromisoformat(issued_at), start_at=start_at, **columns)


@cache
def windows(column: str = "nws_pop") -> tuple[Verified, ...]:
    """What a forecast told of the half-days each gauge measured."""
    half_days = HalfDays(ZONE)
    found: list[Verified] = []
    for known in measured_mm().values():
        observed = _series("rain_mm", known, max(known).isoformat())
        found += verified(measured_half_days(observed, half_days), issued(column))
    return tuple(found)


def tallies(told: Iterable[Verified]) -> list[Tally]:
    kept = list(told)
    all_of, wet_of = Counter(one.percent for one in kept), Counter(one.percent for one in kept if one.wet)
    return [Tally(percent=percent, windows=count, wet=wet_of[percent]) for percent, count in all_of.items()]


def halves(told: Iterable[Verified]) -> tuple[list[Verified], list[Verified]]:
    """The windows of odd and of even days."""
    kept = list(told)
    odd = [one for one in kept if one.from_at.date().toordinal() % 2]
    return odd, [one for one in kept if not one.from_at.date().toordinal() % 2]
