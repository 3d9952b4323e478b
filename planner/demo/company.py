"""The invented demo company: read from its file and entered through the same doors as an office's own data."""

import tomllib
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.management import call_command
from django.db import transaction

from crews.models import Booking, Supplier
from crews.services.offices import open_office
from jobs.domain.errors import CannotDo
from jobs.models import Branch, Job, Task
from jobs.services import entries
from planner.forecast.models import RecordedSky
from planner.forecast.skies import load_climate
from planner.forecast.sources.station_csv import read_station_csv

FILE = Path("fixtures") / "demo" / "company.toml"
# The Monday the file's dates were written around.
WRITTEN_FOR = date(2026, 6, 8)
ZONE = "America/New_York"
SLUG = "marlbrook"
RECORD_YEAR = 2013
SOONER_WEEKS = 5
RECORD_BEGINS = date(2013, 1, 8)
OFFICE = ("branch", "crew", "gear", "supplier")
BANNER = "Demo: an invented company under recorded weather, moved to other dates."


def demo_date(text: str, shift: timedelta) -> date:
    """A date of the file, moved to the demo's own days."""
    return date.fromisoformat(text) + shift


def record_shift(on: date) -> timedelta:
    """Whole weeks from the recorded year to the demo's, keeping weekdays and, within five weeks, the season.

    ``SOONER_WEEKS`` bring the record's wet spell of early May to the days of the default demo; where they would
    leave the record, its own season serves.
    """
    weeks = round((on - on.replace(year=RECORD_YEAR, day=min(on.day, 28))).days / 7)
    sooner = timedelta(weeks=weeks + SOONER_WEEKS)
    return sooner if on - sooner >= RECORD_BEGINS else timedelta(weeks=weeks)


def read_company() -> Mapping[str, Any]:
    with (Path(settings.ROOT) / FILE).open("rb") as file:
        return tomllib.load(file)


def forget_company() -> None:
    """Empty a demo's database, so that the demo starts the same every time.

    Raises
    ------
    CannotDo
        ``demo.not_demo_data`` where the data are an office's own; nothing is changed.
    """
    other = Branch.objects.exclude(slug=SLUG).first()
    if other is not None:
        raise CannotDo("demo.not_demo_data", field="--data-dir", branch=other.name)
    call_command("flush", verbosity=0, interactive=False)


def make_company(*, as_of: datetime) -> Branch:
    """Enter the demo company as it stands at ``as_of``; dates of its file move by whole days."""
    company = read_company()
    head = company["branch"]
    on = as_of.astimezone(ZoneInfo(head["zone"])).date()
    shift = on - WRITTEN_FOR
    with transaction.atomic():
        branch = open_office(office={part: company[part] for part in OFFICE}, path=FILE, banner=BANNER)
        _sky(branch, company["sky"], on, as_of)
        for entry in company["job"]:
            _job(branch, entry, shift, as_of)
    branch.refresh_from_db()
    return branch


def _sky(branch: Branch, sky: Mapping[str, Any], on: date, as_of: datetime) -> None:
    RecordedSky.objects.create(branch=branch, record=sky["record"], shift_days=record_shift(on).days, seed=sky["seed"])
    weather = read_station_csv(Path(settings.WEATHER_RECORDS) / sky["record"], zone=branch.zone)
    load_climate(branch=branch, weather=weather, made_from=f"{sky['record']}, {RECORD_YEAR}", now=as_of)


def open_entry(branch: Branch, entry: Mapping[str, Any], *, as_of: datetime) -> Job:
    """Open one more job from an entry as the file writes them."""
    on = as_of.astimezone(ZoneInfo(branch.zone)).date()
    return _job(branch, entry, on - WRITTEN_FOR, as_of)


def _job(branch: Branch, entry: Mapping[str, Any], shift: timedelta, as_of: datetime) -> Job:
    job = entries.open_entry(branch=branch, entry=entry, file=FILE, as_of=as_of, shift=shift)
    _bookings(branch, job, entry, shift, as_of)
    return job


def _bookings(branch: Branch, job: Job, entry: Mapping[str, Any], shift: timedelta, as_of: datetime) -> None:
    suppliers = {supplier.kind: supplier for supplier in Supplier.objects.filter(branch=branch)}
    tasks = {task.key: task for task in Task.objects.filter(job=job)}
    Booking.objects.bulk_create(
        Booking(
            supplier=suppliers.get(kind) or suppliers[tasks[key].details["authority"]],
            task=tasks[key],
            kind=kind,
            state=Booking.State.CONFIRMED,
            on=demo_date(on, shift),
            asked_at=as_of - timedelta(days=7),
            confirmed_at=as_of - timedelta(days=6),
        )
        for key, kind, on in entry["bookings"]
    )
