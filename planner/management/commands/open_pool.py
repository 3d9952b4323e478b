"""``manage.py open_pool FILE``: a signed pool becomes a site, a job, and its tasks, links and holds."""

import tomllib
from argparse import ArgumentParser
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.fillstops import usual_fittings
from jobs.models import Branch, Job
from jobs.services.branches import add_site
from jobs.services.opening import Done, open_job
from planner import clock
from planner.management.plain import PlainCommand

NEEDED = ("name", "address", "latitude", "longitude", "soil", "promised_on", "basin", "design")


class Command(PlainCommand):
    help = (
        "Opens the pools of a TOML file, each a [[job]] with its basin and design in metres as in "
        "fixtures/demo/company.toml; what has been done already stands under done. All of the file or nothing."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE")
        parser.add_argument("--branch", default="", help="slug of the branch, where there is more than one")

    def handle(self, *args: Any, **options: Any) -> None:
        branch = self.branch_named(options["branch"])
        entries = read_entries(options["file"])
        with transaction.atomic():
            jobs = [open_entry(branch, entry, options["file"]) for entry in entries]
        for job in jobs:
            self.stdout.write(f"{job.name}: {job.tasks.count()} tasks, promised for {job.promised_on}.")


def read_entries(path: Path) -> list[Mapping[str, Any]]:
    """The pools of a file.

    Raises
    ------
    CannotDo
        ``job.bad_file`` where the file cannot be read as TOML, ``job.no_entries`` where it holds no pool.
    """
    try:
        with path.open("rb") as file:
            found = tomllib.load(file).get("job", [])
    except (OSError, tomllib.TOMLDecodeError) as error:
        raise CannotDo("job.bad_file", field="file", path=path, says=error) from error
    if not found:
        raise CannotDo("job.no_entries", field="file", path=path)
    return list(found)


def open_entry(branch: Branch, entry: Mapping[str, Any], path: Path) -> Job:
    """One pool of the file, with its site.

    Raises
    ------
    CannotDo
        ``job.entry_field`` for a value that is missing or not of its kind; as the services say for the rest.
    """
    name = str(entry.get("name", "?"))
    for field in NEEDED:
        if field not in entry:
            raise CannotDo("job.entry_field", field=field, path=path, name=name, says="is missing")
    try:
        promised_on = date.fromisoformat(str(entry["promised_on"]))
        done = tuple(_done(one, branch.zone) for one in entry.get("done", ()))
        basin = RectangularBasin(**entry["basin"])
    except (TypeError, ValueError) as error:
        raise CannotDo(
            "job.entry_field", field="basin, done or promised_on", path=path, name=name, says=error
        ) from error
    site = add_site(
        branch=branch,
        name=name,
        address=str(entry["address"]),
        latitude=entry["latitude"],
        longitude=entry["longitude"],
        zone=str(entry.get("zone", branch.zone)),
        soil=str(entry["soil"]),
        access_note=str(entry.get("access_note", "")),
    )
    return open_job(
        branch=branch,
        site=site,
        name=name,
        method=str(entry.get("method", "insulated_form_liner")),
        basin=replace(basin, fittings=basin.fittings or usual_fittings(basin)),
        design=entry["design"],
        promised_on=promised_on,
        as_of=clock.now(),
        owner=str(entry.get("owner", "")),
        done=done,
    )


def _done(one: Any, zone: str) -> Done:
    key, began, ended = one
    return Done(
        key=str(key),
        started_at=datetime.fromisoformat(began).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC),
        finished_at=datetime.fromisoformat(ended).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC),
        said_by="office",
    )
