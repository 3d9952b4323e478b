"""The chance behind a model's amounts, against what two gauges then measured."""

import csv
import gzip
from collections import defaultdict
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.forecast.domain.outside.amount_chance import FAR, NEAR, chance_from_amount, chances_from_amounts
from tests.planner.forecast.recordings import ROOT
from tests.planner.forecast.weather import MONDAY

DATASETS = ROOT.parent / "shared" / "datasets"
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def half_days() -> list[tuple[float, float, bool]]:
    """Lead [days], highest chance of the half-day, and whether a gauge measured 0.254 mm or more in it."""
    forecasts, gauges = DATASETS / "statham_2026_forecasts.csv.gz", DATASETS / "statham_2026_obs_hourly.csv"
    if not forecasts.exists() or not gauges.exists():
        pytest.skip("the recorded forecasts and gauges are not beside the repository")
    runs: dict[datetime, dict[datetime, float]] = defaultdict(dict)
    with gzip.open(forecasts, "rt") as lines:
        for row in csv.DictReader(lines):
            if row["ecmwf_mm"]:
                captured = datetime.fromisoformat(row["captured_utc"])
                runs[captured][datetime.fromisoformat(row["valid_start_utc"])] = float(row["ecmwf_mm"])
    observed: dict[tuple[str, datetime], float] = {}
    with gauges.open() as lines:
        for row in csv.DictReader(lines):
            for gauge in ("KAHN", "KWDR"):
                if row[f"precip_mm_{gauge}"]:
                    at = datetime.fromisoformat(row["hour_start_utc"])
                    observed[gauge, at] = float(row[f"precip_mm_{gauge}"])
    found = []
    for captured, amounts in runs.items():
        start_at = min(amounts)
        hours = int((max(amounts) - start_at) / HOUR) + 1
        rain_mm = tuple(amounts.get(start_at + at * HOUR) for at in range(hours))
        chances = chances_from_amounts(rain_mm, start_at=start_at, issued_at=captured)
        block = captured.replace(hour=10, minute=0, second=0, microsecond=0)
        for _ in range(14):
            block += 12 * HOUR
            first = int((block - start_at) / HOUR)
            inside = chances[first : first + 12]
            if first < 0 or len(inside) < 12 or None in inside:
                continue
            for gauge in ("KAHN", "KWDR"):
                fell = [observed.get((gauge, block + at * HOUR)) for at in range(12)]
                if sum(value is None for value in fell) <= 1:
                    wet = sum(value or 0.0 for value in fell) >= 0.254
                    found.append(((block - captured) / DAY, max(v for v in inside if v is not None), wet))
    return found


def test_it_is_reliable_and_better_than_climate_within_three_days() -> None:
    """Source: 65 recorded daily runs of one global model and two gauges, Georgia, summer 2026.

    The table was fitted on them, so this shows no skill elsewhere; it fails if the table or its use is wrong.
    """
    rows = np.array([row for row in half_days() if row[0] < 3], dtype=float)
    assert len(rows) > 500
    chance, wet = rows[:, 1], rows[:, 2]
    climate = wet.mean()
    skill = 1 - np.mean((chance - wet) ** 2) / np.mean((climate - wet) ** 2)
    assert skill > 0.15
    for low, high in pairwise((0.0, 0.15, 0.3, 0.5, 1.0)):
        inside = (chance >= low) & (chance < high)
        assert inside.sum() > 30
        assert wet[inside].mean() == pytest.approx(chance[inside].mean(), abs=0.12)


@pytest.mark.parametrize("points", [NEAR, FAR])
def test_more_rain_is_never_less_likely(points: tuple[tuple[float, float], ...]) -> None:
    assert all(a[0] < b[0] and a[1] <= b[1] for a, b in pairwise(points))
    assert 0 < points[0][1] < points[-1][1] < 1


@given(st.floats(0, 300), st.floats(0, 300), st.integers(0, 15))
def test_the_chance_rises_with_the_amount(first: float, second: float, days: int) -> None:
    low, high = sorted((first, second))
    assert 0.07 <= chance_from_amount(low, days * DAY) <= chance_from_amount(high, days * DAY) <= 0.75


def test_unknown_amounts_have_no_chance() -> None:
    found = chances_from_amounts((None, 0.0, 8.0, None), start_at=MONDAY, issued_at=MONDAY)
    assert found[0] is None
    assert found[3] is None
    assert found[2] == pytest.approx(0.57 + 2 / 6 * 0.08)
    with pytest.raises(ValueError):
        chance_from_amount(-0.1, DAY)
