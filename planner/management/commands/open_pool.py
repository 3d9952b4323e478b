"""``manage.py open_pool FILE``: a signed pool becomes a site, a job, and its tasks, links and holds."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.db import transaction

from jobs.services.entries import open_entry, read_entries
from planner import clock
from planner.management.plain import PlainCommand
from planner.plans.replanning.facts import ask_after_opening


class Command(PlainCommand):
    help = (
        "Opens the pools of a TOML file, each a [[job]] with its basin and design as in fixtures/office/pool.toml; "
        "what has been done already stands under done. All of the file or nothing."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE")
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        entries = read_entries(options["file"])
        with transaction.atomic():
            now = clock.now()
            jobs = [open_entry(branch=branch, entry=entry, file=options["file"], as_of=now) for entry in entries]
            ask_after_opening(branch=branch, jobs=jobs, now=now)
        for job in jobs:
            self.stdout.write(f"{job.name}: {job.tasks.count()} tasks, promised for {job.promised_on}.")
