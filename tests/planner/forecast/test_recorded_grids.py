"""Real raw grids, read a second time by painting every second of every layer."""

import re
from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest

from planner.forecast.domain.series import HOUR, HourlySeries
from planner.forecast.sources.nws_grid import read_gridpoint
from tests.planner.forecast.recordings import every_grid, load_grid, recorded

DURATION = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?$")
LAYERS = {
    "air_temp_c": ("temperature", "mean", 1.0),
    "dew_point_c": ("dewpoint", "mean", 1.0),
    "wind_m_s": ("windSpeed", "mean", 1 / 3.6),
    "gust_m_s": ("windGust", "mean", 1 / 3.6),
    "rain_chance": ("probabilityOfPrecipitation", "max", 0.01),
    "rain_mm": ("quantitativePrecipitation", "sum", 1.0),
    "thunder_chance": ("probabilityOfThunder", "max", 0.01),
    "sky_cover": ("skyCover", "mean", 0.01),
}


def span(valid_time: str) -> tuple[datetime, int]:
    start, duration = valid_time.split("/")
    found = DURATION.match(duration)
    assert found, duration
    days, hours, minutes = (int(part or 0) for part in found.groups())
    return datetime.fromisoformat(start), days * 86400 + hours * 3600 + minutes * 60


def painted(properties: dict[str, Any], name: str, series: HourlySeries) -> list[float | None]:
    layer, how, factor = LAYERS[name]
    seconds = np.full(series.hours * 3600, np.nan)
    for entry in properties.get(layer, {}).get("values", []):
        start, length = span(entry["validTime"])
        at = int((start - series.start_at).total_seconds())
        value = np.nan if entry["value"] is None else entry["value"] * factor
        seconds[max(at, 0) : max(at + length, 0)] = value / length if how == "sum" else value
    by_hour = seconds.reshape(series.hours, 3600)
    read = {"mean": by_hour.mean(axis=1), "max": by_hour.max(axis=1), "sum": by_hour.sum(axis=1)}[how]
    return [None if np.isnan(value) else float(value) for value in read]


@pytest.mark.parametrize(("folder", "name"), every_grid())
def test_every_layer_agrees_with_the_second_reading(folder: str, name: str) -> None:
    payload = load_grid(folder, name)
    series = read_gridpoint(payload)
    for variable in set(LAYERS) - {"thunder_chance"}:
        expected = painted(payload["properties"], variable, series)
        assert [v is None for v in expected] == [v is None for v in getattr(series, variable)], variable
        known = [v for v in expected if v is not None]
        assert [v for v in getattr(series, variable) if v is not None] == pytest.approx(known, abs=1e-6), variable


@pytest.mark.parametrize(("folder", "name"), every_grid())
def test_thunder_is_never_below_its_layer_and_never_from_nothing(folder: str, name: str) -> None:
    payload = load_grid(folder, name)
    series = read_gridpoint(payload)
    layer = painted(payload["properties"], "thunder_chance", series)
    spoken = [False] * series.hours
    for entry in payload["properties"].get("weather", {}).get("values", []):
        if any("thunder" in (word["weather"] or "") for word in entry["value"]):
            start, length = span(entry["validTime"])
            first = (start - series.start_at) // HOUR
            for at in range(first, first + length // 3600 + 1):
                spoken[at] = spoken[at] or start + timedelta(seconds=length) > series.start_at + at * HOUR
    for at, value in enumerate(series.thunder_chance):
        if spoken[at]:
            assert value is not None
            assert value >= max(layer[at] or 0.0, 0.15) - 1e-12
        else:
            assert value == pytest.approx(layer[at]) if layer[at] is not None else value is None


def test_amounts_of_a_real_reply_are_conserved() -> None:
    payload = recorded("gridpoints", "ALY_71_67_2026-07-15.recon")
    series = read_gridpoint(payload)
    stated = sum(entry["value"] for entry in payload["properties"]["quantitativePrecipitation"]["values"])
    assert sum(v for v in series.rain_mm if v is not None) == pytest.approx(stated)


def test_facts_noted_when_the_replies_were_recorded() -> None:
    """Source: the index kept with the recordings."""
    series = read_gridpoint(recorded("gridpoints", "ALY_71_67_2026-07-15.recon"))
    assert max(v for v in series.rain_chance if v is not None) == 0.94
    assert series.issued_at - series.start_at > timedelta(hours=6)
    last = {name: max(i for i, v in enumerate(getattr(series, name)) if v is not None) for name in LAYERS}
    assert last["rain_chance"] - last["rain_mm"] > 4 * 24, "amounts stop days before chances; they are not dry"
    florida = recorded("gridpoints", "pynws_detailed_forecast")
    assert florida["properties"]["probabilityOfThunder"]["values"] == []
    assert any(v is not None for v in read_gridpoint(florida).thunder_chance)


def test_a_reply_with_amounts_alone_leaves_everything_else_unknown() -> None:
    series = read_gridpoint(recorded("gridpoints", "PHI_85_102_2026-09-01.qpf_only"))
    assert set(series.air_temp_c) | set(series.rain_chance) | set(series.thunder_chance) == {None}
    assert series.rain_mm[0] == pytest.approx(0.254 / 4)
