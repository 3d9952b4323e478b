"""The layout in which public archives hand out airport reports gives the weather our own layout gives.

Source of the layout: the columns "valid, tmpf, dwpf, sknt, gust, p01i" of the archive of airport reports of Iowa State
University, as its documentation describes them: UTC where UTC was asked for, degrees Fahrenheit, knots, inches of the
hour since the last routine report, M for missing, T for a trace.
"""

import csv
import gzip
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from jobs.domain.errors import CannotDo
from planner.forecast.sources.station_csv import read_station_csv
from tests.planner.forecast.weather import EWR_2013, ZONE

MPH_IN_KNOTS = 1609.344 / 1852
HEAD = "station,valid,tmpf,dwpf,sknt,gust,p01i"


def as_reports(path: Path, days: int = 60) -> Path:
    """Some of the shipped year as an archive hands it out: nine minutes early, knots, M for what is missing."""
    with gzip.open(EWR_2013, "rt") as file:
        rows = list(csv.DictReader(file))[: days * 24]
    lines = [HEAD]
    for row in rows:
        at = datetime.fromisoformat(row["time_hour"]) - timedelta(minutes=9)
        wind, gust = (
            f"{float(row[key]) * MPH_IN_KNOTS:.4f}" if row[key] else "M" for key in ("wind_speed", "wind_gust")
        )
        lines.append(f"EWR,{at:%Y-%m-%d %H:%M},{row['temp'] or 'M'},{row['dewp'] or 'M'},{wind},{gust},{row['precip']}")
        # A special report in between says nothing of the hour.
        lines.append(f"EWR,{at + timedelta(minutes=30):%Y-%m-%d %H:%M},99.00,M,60,M,3.00")
    path.write_text("\n".join(lines) + "\n")
    return path


def test_both_layouts_read_the_same(tmp_path: Path) -> None:
    ours = read_station_csv(EWR_2013, zone=ZONE)
    theirs = read_station_csv(as_reports(tmp_path / "reports.csv"), zone=ZONE)
    assert theirs.start_at == ours.start_at
    assert theirs.hours > 1300
    for name in ("air_temp_c", "dew_point_c", "wind_m_s", "gust_m_s", "rain_mm"):
        for mine, other in zip(getattr(theirs, name)[:-1], getattr(ours, name), strict=False):
            assert mine == (None if other is None else pytest.approx(other, abs=0.01)), name
    assert sum(rain or 0 for rain in theirs.rain_mm) > 50


def test_a_trace_is_no_rain_and_missing_is_unknown(tmp_path: Path) -> None:
    path = tmp_path / "reports.csv"
    path.write_text(f"{HEAD}\nEWR,2013-01-01 05:51,41.0,M,10,M,T\nEWR,2013-01-01 07:00,41.0,32.0,M,M,0.10\n")
    read = read_station_csv(path, zone=ZONE)
    assert read.rain_mm[0] == 0
    assert read.rain_mm[-2] == pytest.approx(2.54)
    assert (read.dew_point_c[1], read.gust_m_s[1]) == (None, None)
    assert read.wind_m_s[1] == pytest.approx(10 * 0.514444, abs=1e-4)
    assert read.air_temp_c[1] == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("EWR,yesterday,41.0,M,10,M,0.00", "valid is 'yesterday'"),
        ("EWR,2013-01-01 04:51,41.0,M,10,M,0.00", "not after the line before"),
        ("EWR,2013-01-01 07:51,warm,M,10,M,0.00", "tmpf is 'warm'"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(tmp_path: Path, line: str, says: str) -> None:
    path = tmp_path / "reports.csv"
    path.write_text(f"{HEAD}\nEWR,2013-01-01 05:51,41.0,M,10,M,T\n{line}\n")
    with pytest.raises(CannotDo, match=says) as refused:
        read_station_csv(path, zone=ZONE)
    assert "line 3" in str(refused.value)
