"""``manage.py open_office FILE``: a branch with its crews, gear, suppliers and sign-ins, from one file."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.db import transaction

from crews.services.offices import open_office, read_office
from planner.management.people import give_roles
from planner.management.plain import PlainCommand


class Command(PlainCommand):
    help = (
        "Enters an office from a TOML file as in fixtures/office/office.toml: its branch, crews, gear, suppliers, and "
        "who signs in. All of the file or nothing. Later corrections are made in the office's records, at /admin/."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE")

    def handle(self, *args: Any, **options: Any) -> None:
        path = options["file"]
        office = read_office(path)
        call_command("migrate", verbosity=0, interactive=False)
        with transaction.atomic():
            branch = open_office(office=office, path=path)
            passwords = give_roles(branch=branch, people=office.get("person", ()), path=path)
        self.stdout.write(
            f"{branch.company}, {branch.name}: {branch.crews.count()} crews, {branch.gear.count()} kinds of gear, "
            f"{branch.suppliers.count()} to call."
        )
        call_command("load_climate", stand_in=True, branch=branch.slug, stdout=self.stdout)
        for name, password in passwords:
            self.stdout.write(f"Sign in as {name} with the password {password}")
        if passwords:
            self.stdout.write("These passwords are shown once; change one with: manage.py changepassword NAME")
        self.stdout.write("Next: manage.py open_pool FILE for each pool, then manage.py serve.")
