"""``manage.py watch``: what the weather asks of every exposed start, and of what stands half done."""

from argparse import ArgumentParser
from typing import Any

from jobs.methods.loader import load_vocabulary
from jobs.science.sources import SOURCES
from planner import clock
from planner.management.plain import PlainCommand
from planner.watch.presenters.text import watch_lines
from planner.watch.services import watch_branch


class Command(PlainCommand):
    help = (
        "Prints the verdict on every exposed start of the next 72 hours with its arithmetic, what stands half done "
        "and can be hurt, and what to protect before people go home for the weekend or a holiday."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        report = watch_branch(branch=self.branch_named(options["branch"]), now=clock.now())
        sources = {**load_vocabulary().sources, **{key: one.title for key, one in SOURCES.items()}}
        for line in watch_lines(report, sources):
            self.stdout.write(line)
