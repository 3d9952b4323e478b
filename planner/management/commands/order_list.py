"""``manage.py order_list POOL``: what is bought for a pool, to print or as a table."""

from argparse import ArgumentParser
from typing import Any

from jobs.domain.errors import CannotDo
from jobs.domain.order.lines import as_csv, as_text
from jobs.domain.order.sold import sold_in_us
from jobs.models import Branch, Job
from jobs.snapshots import order_of
from planner.management.plain import PlainCommand


class Command(PlainCommand):
    help = "Prints what to order for a pool, rounded up to what is sold, with how each number comes about."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("pool", metavar="POOL", help="name of the pool, as the pages show it")
        parser.add_argument("--csv", action="store_true", help="as comma-separated text for a spreadsheet")
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        job = _pool_named(self.branch_named(options["branch"]), options["pool"])
        lines = order_of(job, say=sold_in_us)
        # The table ends its own lines, as spreadsheets expect them.
        self.stdout.write(as_csv(lines, sold_in_us) if options["csv"] else as_text(lines, sold_in_us), ending="")


def _pool_named(branch: Branch, name: str) -> Job:
    jobs = list(Job.objects.select_related("branch", "site", "basin").filter(branch=branch).order_by("name"))
    for job in jobs:
        if job.name.casefold() == name.strip().casefold():
            return job
    raise CannotDo("job.unknown", field="pool", name=name, known=", ".join(job.name for job in jobs) or "none")
