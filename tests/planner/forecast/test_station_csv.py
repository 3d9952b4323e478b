"""Hourly airport records become our units; faults are named or become unknown."""

import gzip
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from jobs.domain.errors import CannotDo
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.sources.station_csv import read_station_csv
from tests.planner.forecast.weather import ZONE, ewr_2013

HEAD = "time_hour,temp,dewp,wind_speed,wind_gust,precip\n"
LINE = "2013-01-01T06:00:00Z,50,41,10,,0.1\n"


def read(tmp_path: Path, text: str) -> TrueWeather:
    path = tmp_path / "station.csv"
    path.write_text(text)
    return read_station_csv(path, zone=ZONE)


def test_units_and_the_hour_rain_belongs_to(tmp_path: Path) -> None:
    """Source: 1 mile = 1609.344 m, 1 inch = 25.4 mm, by definition."""
    weather = read(tmp_path, HEAD + LINE)
    assert weather.start_at == datetime(2013, 1, 1, 5, tzinfo=UTC)
    assert weather.air_temp_c == (None, 10.0)
    assert weather.dew_point_c == (None, 5.0)
    assert weather.wind_m_s == (None, pytest.approx(10 * 1609.344 / 3600, abs=1e-4))
    assert weather.gust_m_s == (None, None)
    assert weather.rain_mm == (pytest.approx(2.54), None)


def test_the_recorded_year() -> None:
    """Source: the index kept with the data set: 1 115 mm, 27 hours missing, one wind of 1048 mph, 94 mm on 7 June."""
    weather = ewr_2013()
    assert weather.refused == 1
    assert sum(v for v in weather.rain_mm if v is not None) == pytest.approx(1115, abs=0.5)
    # The last hour has no later stamp to tell its rain.
    assert sum(v is None for v in weather.rain_mm) == 27 + 1
    assert max(v for v in weather.wind_m_s if v is not None) < 30
    june_7 = datetime(2013, 6, 7, 4, tzinfo=UTC)
    day = weather.between(june_7, june_7 + timedelta(days=1))
    assert day.hours == 24
    assert sum(v for v in day.rain_mm if v is not None) == pytest.approx(94.2, abs=0.1)


def test_an_hour_left_out_is_unknown(tmp_path: Path) -> None:
    weather = read(tmp_path, HEAD + LINE + LINE.replace("T06", "T08"))
    assert weather.air_temp_c == (None, 10.0, None, 10.0)
    assert weather.rain_mm == (pytest.approx(2.54), None, pytest.approx(2.54), None)


def test_an_impossible_wind_is_unknown_and_counted(tmp_path: Path) -> None:
    weather = read(tmp_path, HEAD + LINE.replace(",10,", ",1048.36058,"))
    assert weather.wind_m_s == (None, None)
    assert weather.refused == 1


@pytest.mark.parametrize(
    ("text", "line", "field"),
    [
        (HEAD, 2, "time_hour"),
        (HEAD.replace("precip", "rain") + LINE, 1, "precip"),
        (HEAD + LINE + LINE, 3, "time_hour"),
        (HEAD + LINE.replace("Z", ""), 2, "time_hour"),
        (HEAD + LINE.replace("06:00", "06:30"), 2, "time_hour"),
        (HEAD + LINE.replace("2013-01-01", "1 Jan"), 2, "time_hour"),
        (HEAD + LINE.replace(",50,", ",warm,"), 2, "temp"),
        (HEAD + LINE.replace(",50,", ",nan,"), 2, "temp"),
        (HEAD + "2013-01-01T06:00:00Z,50\n", 2, "the line"),
        (HEAD + LINE + LINE.replace("2013", "2213"), 3, "time_hour"),
    ],
)
def test_each_fault_names_line_and_column(tmp_path: Path, text: str, line: int, field: str) -> None:
    with pytest.raises(CannotDo) as caught:
        read(tmp_path, text)
    assert caught.value.code == "forecast.bad_csv"
    assert (caught.value.facts["line"], caught.value.field) == (line, field)


@pytest.mark.parametrize(
    "content", [b"not packed", gzip.compress((HEAD + LINE).encode())[:-12]], ids=["not packed", "cut short"]
)
def test_a_broken_pack_is_named(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "station.csv.gz"
    path.write_bytes(content)
    with pytest.raises(CannotDo, match="unreadable"):
        read_station_csv(path, zone=ZONE)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(CannotDo, match="unreadable"):
        read_station_csv(tmp_path / "none.csv", zone=ZONE)


def test_moving_keeps_values_and_between_clips() -> None:
    weather = ewr_2013()
    moved = weather.moved(timedelta(weeks=2))
    assert moved.start_at == weather.start_at + timedelta(weeks=2)
    assert moved.rain_mm == weather.rain_mm
    part = weather.between(weather.start_at - timedelta(days=3), weather.start_at + timedelta(minutes=90))
    assert part.start_at == weather.start_at
    assert part.air_temp_c == weather.air_temp_c[:2]
    assert weather.between(weather.end_at + timedelta(days=1), weather.end_at + timedelta(days=2)).hours == 0
