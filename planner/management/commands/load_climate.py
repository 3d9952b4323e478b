"""``manage.py load_climate FILE``: hourly observations of the place, for the weather beyond the forecast."""

from argparse import ArgumentParser
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management.base import CommandError

from jobs.models import Branch
from planner import clock
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.skies import load_climate
from planner.forecast.sources.station_csv import read_station_csv
from planner.management.plain import PlainCommand

STAND_IN = "ewr_2013_hourly.csv.gz"
STAND_IN_ZONE = "America/New_York"
STAND_IN_BANNER = (
    "Beyond the forecast the weather is a stand-in, another place's (Newark NJ, 2013): load your own with "
    "manage.py load_climate FILE."
)


class Command(PlainCommand):
    help = (
        "Reads a year or more of hourly observations of the nearest station and makes from them the climate that "
        "stands in where the forecast does not reach. CSV, plain or gzip: airport reports as public archives hand them "
        "out (columns valid in UTC, tmpf, dwpf, sknt, gust, p01i), or columns as in fixtures/weather."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, nargs="?", metavar="FILE")
        parser.add_argument(
            "--stand-in",
            action="store_true",
            help="use the year of a coastal New Jersey airport that comes with the program, until there is a file",
        )
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        path, stand_in = options["file"], options["stand_in"]
        if (path is None) is not stand_in:
            raise CommandError("Give the FILE of observations, or --stand-in, one of the two.")
        branch = self.branch_named(options["branch"])
        weather = _stand_in_for(branch) if stand_in else read_station_csv(path, zone=branch.zone)
        name = f"stand-in: {STAND_IN}" if stand_in else path.name
        row = load_climate(branch=branch, weather=weather, made_from=name, now=clock.now())
        if stand_in or branch.banner == STAND_IN_BANNER:
            Branch.objects.filter(pk=branch.pk).update(banner=STAND_IN_BANNER if stand_in else "")
        self.stdout.write(f"{branch.name}: climate made from {weather.hours} hours of {row.made_from}.")
        if stand_in:
            self.stdout.write(STAND_IN_BANNER)


def _stand_in_for(branch: Branch) -> TrueWeather:
    """The shipped year on the branch's own clock: what was noon there is noon here."""
    weather = read_station_csv(Path(settings.WEATHER_RECORDS) / STAND_IN, zone=STAND_IN_ZONE)
    midwinter = datetime(2013, 1, 15, 12, tzinfo=UTC)
    ahead = _offset(midwinter, STAND_IN_ZONE) - _offset(midwinter, branch.zone)
    return replace(weather, start_at=weather.start_at + ahead, zone=branch.zone)


def _offset(moment: datetime, zone: str) -> timedelta:
    return moment.astimezone(ZoneInfo(zone)).utcoffset() or timedelta(0)
