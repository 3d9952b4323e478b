"""Replies we write are read back to what was said, and have the shapes of real ones."""

import json
import re
from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest

from planner.forecast.domain.made.degrade import DegradedForecast, Forecaster
from planner.forecast.sources.nws_grid import read_gridpoint
from planner.forecast.sources.nws_writer import as_body, write_gridpoint, write_point
from tests.planner.forecast.recordings import recorded
from tests.planner.forecast.weather import SITE, ZONE, ewr_2013

# Day 67 holds the change to summer time, 10 March 2013.
DAYS = (40, 67, 155, 300)


def made(day: int) -> DegradedForecast:
    return Forecaster(ewr_2013(), seed=3).forecast(ewr_2013().start_at + timedelta(days=day, hours=3, minutes=25))


def reply(day: int = 155) -> dict[str, Any]:
    payload: dict[str, Any] = json.loads(as_body(write_gridpoint(made(day), grid_key="PHI/85,102", place=SITE)))
    return payload


@pytest.mark.parametrize("day", DAYS)
def test_what_is_written_is_read_back(day: int) -> None:
    said, read = made(day), read_gridpoint(reply(day))
    assert (read.issued_at, read.start_at, read.hours) == (said.issued_at, said.start_at, said.hours)
    for name in ("air_temp_c", "dew_point_c", "rain_chance", "sky_cover"):
        assert getattr(read, name) == pytest.approx(getattr(said, name), abs=1e-9), name
    # Wind is written in km/h to 0.001.
    for name in ("wind_m_s", "gust_m_s"):
        assert getattr(read, name) == pytest.approx(getattr(said, name), abs=2e-4), name
    assert read.thunder_chance == pytest.approx(said.thunder_chance, abs=1e-9)
    for block in said.rain_blocks:
        inside = [v for v in read.between("rain_mm", block.from_at, block.until_at) if v is not None]
        assert sum(inside) == pytest.approx(block.value)
    assert read.value("rain_mm", said.rain_blocks[-1].until_at) is None


def test_the_shape_of_a_real_grid_reply() -> None:
    """Source: a recorded reply of July 2026."""
    real, ours = recorded("gridpoints", "ALY_71_67_2026-07-15.recon"), reply()
    assert set(ours) == set(real)
    assert set(ours["properties"]) <= set(real["properties"])
    assert ours["geometry"]["type"] == real["geometry"]["type"]
    for name, layer in ours["properties"].items():
        theirs = real["properties"][name]
        assert type(layer) is type(theirs) or isinstance(layer, int | float), name
        if isinstance(layer, dict) and layer.get("values"):
            assert layer.get("uom") == theirs.get("uom"), name
            assert set(layer["values"][0]) == {"validTime", "value"}
    word = ours["properties"]["weather"]["values"][0]["value"][0]
    assert set(word) == set(real["properties"]["weather"]["values"][0]["value"][0])
    pattern = re.compile(r"\d{4}-\d\d-\d\dT\d\d:00:00\+00:00/P(\d+D)?(T\d+H)?$")
    for name in ("temperature", "probabilityOfPrecipitation", "quantitativePrecipitation"):
        for entry in [*ours["properties"][name]["values"], *real["properties"][name]["values"]]:
            assert pattern.match(entry["validTime"]), entry


def test_levels_are_merged_and_amounts_are_not() -> None:
    """Source: recorded replies: no equal neighbours among chances, 11 of 13 equal neighbours among amounts."""
    properties = reply(300)["properties"]
    for name in ("temperature", "probabilityOfPrecipitation", "windSpeed", "probabilityOfThunder", "weather"):
        values = [entry["value"] for entry in properties[name]["values"]]
        assert all(a != b for a, b in pairwise(values)), name
    amounts = [entry["value"] for entry in properties["quantitativePrecipitation"]["values"]]
    assert any(a == b for a, b in pairwise(amounts))


def test_data_start_in_the_past_and_amounts_end_first() -> None:
    said = made(155)
    assert said.issued_at - said.start_at > timedelta(hours=6)
    end_at = said.start_at + timedelta(hours=said.hours)
    assert end_at - said.rain_blocks[-1].until_at > timedelta(days=3)
    assert all((b.until_at - b.from_at) <= timedelta(hours=6) and b.until_at.hour % 6 == 0 for b in said.rain_blocks)


def test_the_shape_of_a_real_points_reply() -> None:
    """Source: a recorded reply of July 2026."""
    real = recorded("points", "41.967_-71.189")["properties"]
    ours = write_point(SITE, grid_key="PHI/85,102", zone=ZONE)["properties"]
    assert set(ours) <= set(real)
    for name, value in ours.items():
        assert type(value) is type(real[name]), name
