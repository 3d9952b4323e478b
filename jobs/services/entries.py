"""Signed pools written in a TOML file: each entry becomes a site and a job with its tasks."""

import tomllib
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from jobs.domain.errors import CannotDo
from jobs.domain.shapes.entry import basin_of_entry
from jobs.domain.units import metric
from jobs.models import Branch, Job, Site
from jobs.services.branches import add_site
from jobs.services.opening import Done, open_job

NEEDED = ("name", "address", "latitude", "longitude", "soil", "promised_on", "basin", "design")
USUAL_METHOD = "insulated_form_liner"
NO_SHIFT = timedelta(0)


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


def open_entry(
    *, branch: Branch, entry: Mapping[str, Any], file: Path, as_of: datetime, shift: timedelta = NO_SHIFT
) -> Job:
    """Open one pool of a file, with its site; its lengths and weights may be in feet, inches and pounds.

    Parameters
    ----------
    branch : Branch
        The office that builds it.
    entry : Mapping[str, Any]
        A ``[[job]]`` of the file.
    file : Path
        Named where the entry is refused.
    as_of : datetime
        The present moment, aware.
    shift : timedelta
        Moves every date of the entry: the demo's are written around a day of their own.

    Raises
    ------
    CannotDo
        ``job.entry_field`` for a value that is missing or not of its kind; as the services say for the rest.
    """
    name = str(entry.get("name", "?"))
    for field in NEEDED:
        if field not in entry:
            raise CannotDo("job.entry_field", field=field, path=file, name=name, says="is missing")
    try:
        promised_on = date.fromisoformat(str(entry["promised_on"])) + shift
        done = tuple(_done(one, branch.zone, shift) for one in entry.get("done", ()))
    except (TypeError, ValueError) as error:
        raise CannotDo("job.entry_field", field="done or promised_on", path=file, name=name, says=error) from error
    for field in ("basin", "design"):
        if not isinstance(entry[field], Mapping):
            raise CannotDo("job.entry_field", field=field, path=file, name=name, says="is no table of values")
    if Site.objects.filter(branch=branch, name=name).exists():
        raise CannotDo("job.name_taken", field="name", name=name)
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
        method=str(entry.get("method", USUAL_METHOD)),
        basin=basin_of_entry(metric(entry["basin"])),
        design=metric(entry["design"]),
        promised_on=promised_on,
        as_of=as_of,
        owner=str(entry.get("owner", "")),
        done=done,
    )


def moment_of(text: str, zone: str, shift: timedelta = NO_SHIFT) -> datetime:
    """A local time of the file [aware, UTC]; it is moved on the wall clock."""
    return (datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)) + shift).astimezone(UTC)


def _done(one: Sequence[str], zone: str, shift: timedelta) -> Done:
    """Key, start and end; begun and not finished where the end is left out."""
    key, began, *ended = one
    if len(ended) > 1:
        raise ValueError(f"{one} names more than a task, its start and its end")
    return Done(
        key=str(key),
        started_at=moment_of(began, zone, shift),
        finished_at=moment_of(ended[0], zone, shift) if ended else None,
        said_by="office",
    )
