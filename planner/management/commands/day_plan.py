"""``manage.py day_plan``: what one crew does on one day."""

from argparse import ArgumentParser
from datetime import date
from typing import Any

from crews.models import Crew
from crews.selectors import get_crew, list_crews
from jobs.domain.errors import CannotDo
from planner import clock
from planner.dayplans.services import render_day_plan
from planner.management.plain import PlainCommand


class Command(PlainCommand):
    help = "Prints what a crew does on a day: stops, times, quantities, gates, the sky, what stops the work, cautions."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")
        parser.add_argument("--crew", required=True, help="name of the crew")
        parser.add_argument("--date", required=True, type=date.fromisoformat, help="the day, such as 2026-06-09")
        parser.add_argument("--format", choices=("text", "html"), default="text")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        try:
            crew = get_crew(branch=branch, name=options["crew"])
        except Crew.DoesNotExist as missing:
            known = ", ".join(one.name for one in list_crews(branch=branch))
            raise CannotDo("crew.unknown", field="crew", name=options["crew"], known=known) from missing
        self.stdout.write(
            render_day_plan(branch=branch, crew=crew, on=options["date"], now=clock.now(), format=options["format"])
        )
