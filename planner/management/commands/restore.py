"""``manage.py restore FILE``: a data folder from its backup."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import call_command

from planner import clock
from planner.management.plain import PlainCommand
from planner.serving.backup import restore_backup
from planner.serving.folder import open_folder


class Command(PlainCommand):
    help = (
        "Puts a backup into an empty data folder, while no service runs on it, and brings its database to this "
        "version. A backup of a newer version is refused."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help="file that manage.py backup wrote")
        parser.add_argument("--replace", action="store_true", help="move what is in the folder aside first")

    def handle(self, *args: Any, **options: Any) -> None:
        with open_folder() as folder:
            kept = restore_backup(path=options["file"], replace=options["replace"], now=clock.running())
            if kept.database:
                call_command("migrate", verbosity=0, interactive=False)
        self.stdout.write(f"{folder} is restored from {kept.path}.")
        if not kept.database:
            self.stdout.write(
                "The database is not in the file. Restore its own dump: pg_restore --clean --if-exists "
                '--dbname="$PLANNER_DATABASE_URL" FILE, then: manage.py migrate'
            )
