"""``manage.py serve``: the whole service from one data folder."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import call_command

from planner.management.plain import PlainCommand
from planner.serving.folder import open_folder
from planner.serving.service import run_service
from planner.serving.web import LOOPBACK, listen


class Command(PlainCommand):
    help = (
        "Starts the web server, the worker with its timer, and a Redis of the data folder's own where "
        "PLANNER_REDIS_URL names none; keeps them running, and stops them cleanly on Ctrl-C or SIGTERM."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default=LOOPBACK, help="address the pages are served on (default: %(default)s)")
        parser.add_argument("--port", type=int, default=8000, help="port of the pages (default: %(default)s)")

    def handle(self, *args: Any, **options: Any) -> None:
        with open_folder(), listen(options["host"], options["port"]) as listener:
            call_command("migrate", verbosity=0, interactive=False)
            run_service(listener=listener, say=lambda line: self.stdout.write(line))
