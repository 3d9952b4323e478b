"""The recorded year the project ships, read once."""

from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from planner.forecast.domain.place import Place
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.sources.replay import ReplaySource
from planner.forecast.sources.station_csv import read_station_csv

EWR_2013 = Path(__file__).resolve().parents[3] / "fixtures" / "weather" / "ewr_2013_hourly.csv.gz"
ZONE = "America/New_York"
# Monday 6 May 2013 becomes Monday 1 June 2026.
SHIFT = timedelta(weeks=682)
MONDAY = datetime(2026, 6, 1, 10, tzinfo=UTC)
SITE = Place(latitude=40.7, longitude=-74.2)


@cache
def ewr_2013() -> TrueWeather:
    return read_station_csv(EWR_2013, zone=ZONE)


@cache
def replay(seed: int = 4) -> ReplaySource:
    return ReplaySource(ewr_2013(), shift=SHIFT, seed=seed)
