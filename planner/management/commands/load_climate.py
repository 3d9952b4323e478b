"""``manage.py load_climate``: hourly observations of the place, for the weather beyond the forecast."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from planner import clock
from planner.forecast.skies import load_climate
from planner.forecast.sources.station_csv import read_station_csv
from planner.management.plain import PlainCommand


class Command(PlainCommand):
    help = (
        "Reads hourly observations of the nearest station (CSV, plain or gzip; columns as in fixtures/weather) and "
        "makes from them the climate that stands in where the forecast does not reach."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE")
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        weather = read_station_csv(options["file"], zone=branch.zone)
        row = load_climate(branch=branch, weather=weather, made_from=options["file"].name, now=clock.now())
        self.stdout.write(f"{branch.name}: climate made from {weather.hours} hours of {row.made_from}.")
