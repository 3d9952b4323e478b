"""The form that opens a signed pool: a rectangle in feet, as it stands on the drawing."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal

from jobs.domain.errors import CannotDo
from jobs.domain.units import ft_from_m
from planner.dayplans.presenters.measures import Gettext, gettext_noop
from planner.web.presenters.pages.report_forms import Choice, Field

Table = Literal["", "basin", "design"]
UNITS = ("_ft", "_in", "_lb", "_m", "_kg", "_each", "_on")
# Beyond these a number is a slip of the pen; common practice, no source.
MOST = {"_ft": "1000", "_in": "120", "_lb": "100000", "_each": "100"}
METRES = re.compile(r"(-?\d+(?:\.\d+)?) m\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One value: where it goes in a pool's entry, and how it is asked for."""

    table: Table
    field: Field


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    title: str
    note: str
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningPage:
    """Context ``page`` of ``planner/open_pool.html``; ``error`` is what no single field says."""

    groups: tuple[Group, ...]
    error: str


def _text(name: str, label: str, help: str = "", *, required: bool = True, kind: Any = "text") -> Asked:
    return Asked(table="", field=Field(name=name, label=label, kind=kind, help=help, required=required))


def _number(table: Table, name: str, label: str, value: str = "") -> Asked:
    most = next(most for unit, most in MOST.items() if name.endswith(unit))
    return Asked(table=table, field=Field(name=name, label=label, kind="number", value=value, low="0", high=most))


def _degrees(name: str, label: str, help: str, most: str) -> Asked:
    field = Field(name=name, label=label, kind="number", help=help, low=f"-{most}", high=most)
    return Asked(table="", field=field)


SITE, PROMISE, BASIN, DESIGN = (
    gettext_noop("Where it is"),
    gettext_noop("What was promised"),
    gettext_noop("The pool"),
    gettext_noop("Counted on the drawing"),
)
NOTES = {
    BASIN: gettext_noop(
        "A rectangle with a shallow end, a slope and a deep end, which make up its length. Any other shape: "
        "manage.py open_pool FILE."
    ),
    DESIGN: gettext_noop("Thicknesses are the usual ones; where the engineer drew others, open it from a file."),
}
ASKED: Mapping[str, tuple[Asked, ...]] = {
    SITE: (
        _text("name", gettext_noop("Name of the pool"), gettext_noop("As crews call it; the street does well.")),
        _text("address", gettext_noop("Address")),
        _degrees("latitude", gettext_noop("Latitude, decimal degrees"), gettext_noop("Such as 40.6."), "90"),
        _degrees(
            "longitude",
            gettext_noop("Longitude, decimal degrees"),
            gettext_noop("West is negative, such as -74.4."),
            "180",
        ),
        _text("soil", gettext_noop("Soil"), kind="select"),
        _text("access_note", gettext_noop("Access"), gettext_noop("Gate, key, narrow drive."), required=False),
    ),
    PROMISE: (
        _text("owner", gettext_noop("Owner"), required=False),
        _text("promised_on", gettext_noop("Promised day of hand-over"), kind="date"),
        _text("method", gettext_noop("How it is built"), kind="select"),
    ),
    BASIN: (
        _number("basin", "length_ft", gettext_noop("Length, feet")),
        _number("basin", "width_ft", gettext_noop("Width, feet")),
        _number("basin", "shallow_depth_ft", gettext_noop("Water at the shallow end, feet")),
        _number("basin", "deep_depth_ft", gettext_noop("Water at the deep end, feet")),
        _number("basin", "shallow_length_ft", gettext_noop("Shallow end, feet long")),
        _number("basin", "slope_length_ft", gettext_noop("Slope, feet long")),
        _number("basin", "deep_length_ft", gettext_noop("Deep end, feet long")),
        _number("basin", "freeboard_in", gettext_noop("From the water to the coping, inches"), value="6"),
    ),
    DESIGN: (
        _number("design", "deck_width_ft", gettext_noop("Deck beyond the coping, feet wide")),
        _number("design", "deck_joint_ft", gettext_noop("Deck joints, feet")),
        _number("design", "fence_ft", gettext_noop("Fence, feet")),
        _number("design", "pipe_ft", gettext_noop("Suction and return pipe, feet")),
        _number("design", "floor_pipe_ft", gettext_noop("Pipe under the floor, feet")),
        _number("design", "floor_steel_lb", gettext_noop("Steel of the floor, pounds")),
        _number("design", "bond_points_each", gettext_noop("Bonding points")),
        _number("design", "equipment_each", gettext_noop("Pieces of equipment to set")),
    ),
}


def opening_page(
    gettext: Gettext,
    *,
    soils: tuple[Choice, ...],
    methods: tuple[Choice, ...],
    sent: Mapping[str, str],
    faults: Mapping[str, str],
) -> OpeningPage:
    """The form as it was sent, each fault beside its field."""
    choices = {"soil": soils, "method": methods}

    def shown(field: Field) -> Field:
        return replace(
            field,
            label=gettext(field.label),
            help=gettext(field.help) if field.help else "",
            choices=choices.get(field.name, ()),
            value=sent.get(field.name, field.value),
            error=faults.get(field.name, ""),
        )

    return OpeningPage(
        groups=tuple(
            Group(
                title=gettext(title),
                note=gettext(NOTES[title]) if title in NOTES else "",
                fields=tuple(shown(one.field) for one in asked),
            )
            for title, asked in ASKED.items()
        ),
        error=faults.get("", ""),
    )


def entry_of(gettext: Gettext, sent: Mapping[str, str]) -> tuple[dict[str, Any], dict[str, str]]:
    """A pool's entry as a file would hold it, and what is wrong with what was entered, by field."""
    entry: dict[str, Any] = {"basin": {}, "design": {}}
    faults: dict[str, str] = {}
    for one in _all():
        field, text = one.field, sent.get(one.field.name, "").strip()
        try:
            value = _value(gettext, field, text)
        except CannotDo as refused:
            faults[field.name] = str(refused)
        else:
            (entry[one.table] if one.table else entry)[field.name] = value
    return entry, faults


def field_of(refused: CannotDo) -> str:
    """The field a refusal is about, whatever unit it names it in; empty where it is about several or none."""
    about = _bare(refused.field)
    return next((one.field.name for one in _all() if _bare(one.field.name) == about), "")


def words_of(refused: CannotDo) -> str:
    """What a refusal says, in feet as the form asks."""
    return METRES.sub(lambda found: f"{ft_from_m(float(found[1])):.4g} ft", str(refused))


def _all() -> Iterator[Asked]:
    for asked in ASKED.values():
        yield from asked


def _bare(name: str) -> str:
    for unit in UNITS:
        name = name.removesuffix(unit)
    return name


def _value(gettext: Callable[[str], str], field: Field, text: str) -> Any:
    label = gettext(field.label)
    if field.required and not text:
        raise CannotDo("report.left_empty", field=field.name, label=label)
    if field.kind == "date" and not _is_day(text):
        raise CannotDo("job.bad_day", field=field.name, value=text)
    if field.kind != "number":
        return text
    try:
        value = float(text.replace(",", "."))
    except ValueError as error:
        raise CannotDo("report.no_number", field=field.name, label=label, value=text) from error
    if not float(field.low) <= value <= float(field.high):
        raise CannotDo("report.out_of_range", field=field.name, label=label, value=text, low=field.low, high=field.high)
    return int(value) if value.is_integer() else value


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True
