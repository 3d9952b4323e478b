"""``manage.py pull_forecast``: ask the branch's weather source for every site once."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError

from jobs.snapshots import jobs_of
from planner import clock
from planner.forecast.skies import pull_for_branch, pull_surroundings
from planner.management.plain import PlainCommand


class Command(PlainCommand):
    help = "Asks the branch's weather source for the forecast of every site with open work, and keeps it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        sites = {task.site.id: task.site for job in jobs_of(branch) for task in job.tasks}
        now = clock.now()
        pulled = pull_for_branch(branch=branch, sites=tuple(sites.values()), now=now)
        around = pull_surroundings(branch=branch, sites=tuple(sites.values()), now=now)
        for failure in (*pulled.notes, *pulled.failures, *around):
            self.stderr.write(failure)
        self.stdout.write(f"{len(sites)} sites, {len(pulled.runs)} forecasts, {pulled.fresh} of them new.")
        if pulled.failures and not pulled.runs:
            raise CommandError("No forecast could be fetched; plans go on with the last good one, by its age.")
