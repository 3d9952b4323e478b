"""A real record of one site's summer: forecasts as they were issued, and what two gauges measured.

Source: forecasts of the US weather service (public domain) captured once a day, June to August 2026, and airport
reports (public domain). It is read from beside the project and not part of it.
"""

import csv
import gzip
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from planner.forecast.domain.series import HOUR, VARIABLES, HourlySeries, Values

ZONE = ZoneInfo("America/New_York")
FOLDER = Path(__file__).parents[4] / "shared" / "datasets"
GAUGES = ("KAHN", "KWDR")

needs_record = pytest.mark.skipif(
    not (FOLDER / "statham_2026_forecasts.csv.gz").exists(),
    reason="the record of real forecasts and gauges lies beside the project, not in it",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Issued:
    """One window of one captured forecast: the series, and whether each gauge that was working got 0.254 mm."""

    series: HourlySeries
    from_at: datetime
    until_at: datetime
    wet: tuple[bool, ...]


@cache
def runs() -> tuple[tuple[date, HourlySeries], ...]:
    """Every captured run: local date of capture, and the service's hourly chance as a series."""
    found: dict[str, dict[datetime, float]] = {}
    with gzip.open(FOLDER / "statham_2026_forecasts.csv.gz", "rt") as rows:
        for row in csv.DictReader(rows):
            if row["nws_pop"]:
                valid_at = datetime.fromisoformat(row["valid_start_utc"])
                found.setdefault(row["captured_utc"], {})[valid_at] = float(row["nws_pop"]) / 100
    captured = []
    for captured_at, chances in found.items():
        first, last = min(chances), max(chances)
        hours = int((last - first) / HOUR) + 1
        unknown: dict[str, Values] = dict.fromkeys(VARIABLES, (None,) * hours)
        unknown["rain_chance"] = tuple(chances.get(first + at * HOUR) for at in range(hours))
        issued_at = datetime.fromisoformat(captured_at)
        series = HourlySeries(source="nws", issued_at=issued_at, start_at=first.astimezone(UTC), **unknown)
        captured.append((issued_at.astimezone(ZONE).date(), series))
    return tuple(captured)


@cache
def measured_mm() -> dict[str, dict[datetime, float]]:
    """Known hourly rain of each gauge [mm], by the hour's start."""
    found: dict[str, dict[datetime, float]] = {gauge: {} for gauge in GAUGES}
    with (FOLDER / "statham_2026_obs_hourly.csv").open() as rows:
        for row in csv.DictReader(rows):
            for gauge in GAUGES:
                if row[f"precip_mm_{gauge}"]:
                    at = datetime.fromisoformat(row["hour_start_utc"])
                    found[gauge][at] = float(row[f"precip_mm_{gauge}"])
    return found


def issued_windows(start_hour: int, hours: int, leads: tuple[int, ...] = (1, 2, 3)) -> list[Issued]:
    """Windows from a local hour on, so many days after each capture, wholly forecast and wholly measured."""
    found = []
    for on, series in runs():
        for lead in leads:
            day = on + timedelta(days=lead)
            from_at = datetime(day.year, day.month, day.day, start_hour, tzinfo=ZONE).astimezone(UTC)
            until_at = from_at + hours * HOUR
            if None in series.between("rain_chance", from_at, until_at):
                continue
            inside = [from_at + at * HOUR for at in range(hours)]
            totals = [
                sum(known[at] for at in inside) for known in measured_mm().values() if all(at in known for at in inside)
            ]
            # 0.01 in is 0.254 mm; the sum of rounded reports may fall short in the third decimal.
            wet = tuple(total >= 0.2535 for total in totals)
            found.append(Issued(series=series, from_at=from_at, until_at=until_at, wet=wet))
    return found
