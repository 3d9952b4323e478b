"""``manage.py backup FILE``: the data folder as one file, while the service runs."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from planner import clock
from planner.management.plain import PlainCommand
from planner.serving.backup import make_backup


class Command(PlainCommand):
    help = (
        "Writes the data folder (database, key, what was sent in) into one file, as it stands at one moment. The file "
        "holds the secret key and people's data: keep it where only you can read it."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE", help="file to write, such as monday.tar.gz")

    def handle(self, *args: Any, **options: Any) -> None:
        kept = make_backup(path=options["file"], now=clock.running())
        if kept.database:
            self.stdout.write(f"{kept.path}: the database and {kept.files} other files.")
        else:
            self.stdout.write(
                f"{kept.path}: {kept.files} files, without the database, which lives on a server of its own. "
                'Dump that too: pg_dump --format=custom --file=FILE "$PLANNER_DATABASE_URL"'
            )
