"""An office is entered from a file: its branch, crews, gear, suppliers, and how it is reached."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import time
from pathlib import Path
from typing import Any, TypeVar

from django.core.exceptions import NON_FIELD_ERRORS, FieldDoesNotExist, ValidationError
from django.db import models, transaction
from django.utils.text import slugify

from crews.domain.week_text import week_of_text
from crews.domain.working_time import public_holidays
from crews.models import BranchReach, Crew, CrewTrade, Gear, Supplier
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_vocabulary
from jobs.models import Branch

PARTS = ("branch", "reach", "crew", "gear", "supplier", "person", "job")
USUAL_WEEK = "Mon-Fri 07:00-15:30"

Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where in a file an entry stands, for the sentence that refuses it."""

    path: Path
    what: str
    name: str

    def wrong(self, field: str, says: str) -> CannotDo:
        return CannotDo("office.entry_field", field=field, path=self.path, what=self.what, name=self.name, says=says)


def read_office(path: Path) -> Mapping[str, Any]:
    """The parts of an office's file.

    Raises
    ------
    CannotDo
        ``office.bad_file``, ``office.unknown_part``, ``office.missing``.
    """
    try:
        with path.open("rb") as file:
            office = tomllib.load(file)
    except (OSError, tomllib.TOMLDecodeError) as error:
        raise CannotDo("office.bad_file", field="file", path=path, says=error) from error
    for part in office:
        if part not in PARTS:
            raise CannotDo("office.unknown_part", field="file", path=path, what=part, known=", ".join(PARTS))
    for part in ("branch", "crew"):
        if not office.get(part):
            raise CannotDo("office.missing", field="file", path=path, what=f"[{part}]")
    return office


@transaction.atomic
def open_office(*, office: Mapping[str, Any], path: Path, banner: str = "") -> Branch:
    """Enter a branch with its people, gear and suppliers; all of it or nothing.

    Raises
    ------
    CannotDo
        ``office.exists``; ``office.entry_field`` with the entry and the field at fault;
        ``crews.unknown_holidays``, ``crews.unknown_zone``.
    """
    head = office["branch"]
    at = Place(path=path, what="branch", name=str(head.get("name", "?")))
    slug = str(head.get("slug") or slugify(at.name))
    if Branch.objects.filter(slug=slug).exists():
        raise CannotDo("office.exists", field="slug", slug=slug)
    branch = _kept(Branch, {**head, "slug": slug, "banner": banner}, at)
    if branch.keeps_public_holidays:
        public_holidays(branch.country, branch.subdivision, (2026,))
    if "reach" in office:
        _kept(BranchReach, {**office["reach"], "branch": branch}, Place(path=path, what="reach", name=branch.name))
    suppliers = {entry.get("kind", ""): _supplier(branch, entry, path) for entry in office.get("supplier", ())}
    for entry in office["crew"]:
        _crew(branch, entry, suppliers, path)
    for entry in office.get("gear", ()):
        at = Place(path=path, what="gear", name=str(entry.get("name", "?")))
        _one_of(load_vocabulary().gear, entry, "kind", at)
        _kept(Gear, {**entry, "branch": branch}, at)
    return branch


def _supplier(branch: Branch, entry: Mapping[str, Any], path: Path) -> Supplier:
    at = Place(path=path, what="supplier", name=str(entry.get("name", "?")))
    values = {"role": Supplier.Role.SUPPLIER, **entry, "branch": branch}
    if values["role"] == Supplier.Role.AUTHORITY:
        _one_of(load_vocabulary().authorities, entry, "kind", at)
    return _kept(Supplier, _with_week(values, at), at)


def _crew(branch: Branch, entry: Mapping[str, Any], suppliers: Mapping[str, Supplier], path: Path) -> None:
    at = Place(path=path, what="crew", name=str(entry.get("name", "?")))
    values = {"key": slugify(at.name), **entry, "branch": branch}
    trades = values.pop("trades", ())
    if not isinstance(trades, list) or not trades:
        raise at.wrong("trades", "name at least one, as a list.")
    for trade in trades:
        _one_of(load_vocabulary().trades, {"trades": trade}, "trades", at)
    if booked_as := values.pop("booked_as", ""):
        if booked_as not in suppliers:
            raise at.wrong("booked_as", f"no [[supplier]] of the file has the kind {booked_as}.")
        values["booked_through"] = suppliers[booked_as]
    crew = _kept(Crew, _with_week(values, at), at)
    CrewTrade.objects.bulk_create(CrewTrade(crew=crew, trade=trade) for trade in trades)


def _with_week(values: dict[str, Any], at: Place) -> dict[str, Any]:
    try:
        return {**values, "week": week_of_text(str(values.get("week", USUAL_WEEK)))}
    except CannotDo as refused:
        raise at.wrong("week", str(refused)) from refused


def _one_of(known: Mapping[str, object], entry: Mapping[str, Any], field: str, at: Place) -> None:
    if entry.get(field) not in known:
        raise at.wrong(field, f"“{entry.get(field, '')}” is not known; choose one of {', '.join(known)}.")


def _kept(model: type[Row], entry: Mapping[str, Any], at: Place) -> Row:
    """A row of checked values; dollars become cents, and a word the row does not know is refused."""
    values: dict[str, Any] = {}
    for key, value in entry.items():
        name = key.replace("dollars", "cents")
        try:
            field = model._meta.get_field(name)
        except FieldDoesNotExist as error:
            raise at.wrong(key, "there is no such value.") from error
        values[name] = _value(field, _cents(value, key, at) if name != key else value, key, at)
    row = model(**values)
    try:
        row.full_clean()
    except ValidationError as error:
        wrong, says = next(iter(error.message_dict.items()))
        if wrong == NON_FIELD_ERRORS:
            raise at.wrong("name and kind", "another one has the same.") from error
        raise at.wrong(wrong.replace("cents", "dollars"), " ".join(says)) from error
    row.save()
    return row


def _cents(value: Any, key: str, at: Place) -> int:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise at.wrong(key, f"“{value}” is no number of dollars.")
    return round(value * 100)


def _value(field: Any, value: Any, key: str, at: Place) -> Any:
    if not isinstance(field, models.TimeField) or isinstance(value, time):
        return value
    try:
        return time.fromisoformat(str(value))
    except ValueError as error:
        raise at.wrong(key, f"“{value}” is no time of day; write it as 07:00.") from error
