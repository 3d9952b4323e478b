"""From a sent form to a report, and back to the form with what was entered and what is wrong with it."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from crews.domain.working_time import local_moment
from jobs.domain import units
from jobs.domain.errors import CannotDo
from jobs.models import FieldReport, Task
from planner.dayplans.field_reports import Said
from planner.web.presenters.pages.report_forms import Form

Kind = FieldReport.Kind
LONGEST = 300
INCHES_A_FOOT = 12
# Where a fault of the report's own value is shown on the form.
SHOWN_AT = {
    "minutes": "hours",
    "level_m": "feet",
    "concrete_c": "degrees_f",
    "strength_mpa": "psi",
    "salt_ppm": "ppm",
    "kind": "note",
}


def said_of(form: Form, sent: Mapping[str, str], *, zone: str, task: Task | None = None) -> Said:
    """The report a form says.

    Raises
    ------
    CannotDo
        For a value that is missing, too long, no number, or no moment, naming the field.
    """
    try:
        sent_id = UUID(sent.get("sent_id", ""))
    except ValueError as error:
        raise CannotDo("report.no_sent_id", field="sent_id") from error
    for field in form.fields:
        text = sent.get(field.name, "").strip()
        if field.required and not text:
            raise CannotDo("report.left_empty", field=field.name, label=field.label)
        if len(text) > LONGEST:
            raise CannotDo("report.too_long", field=field.name, label=field.label, longest=LONGEST)
    return Said(
        kind=form.kind,
        sent_id=sent_id,
        said_by=" ".join(sent.get("said_by", "").split())[:120],
        happened_at=_moment(sent.get("happened_at", ""), zone),
        task=task,
        values={**dict(form.hidden), **_values(form, sent)},
    )


def sent_back(form: Form, sent: Mapping[str, str], refused: CannotDo) -> Form:
    """The form with everything that was entered, and the fault beside its field; else over the form."""
    at = SHOWN_AT.get(refused.field, refused.field)
    words = f"{refused.says} {refused.remedy}".strip()
    fields = tuple(
        replace(field, value=sent.get(field.name, ""), error=words if field.name == at else "") for field in form.fields
    )
    shown = any(field.error for field in fields)
    return replace(form, fields=fields, error="" if shown else words, sent_id=sent.get("sent_id", ""))


def _moment(text: str, zone: str) -> datetime:
    try:
        local = datetime.fromisoformat(text)
    except ValueError as error:
        raise CannotDo("report.bad_moment", field="happened_at", value=text) from error
    if local.tzinfo is not None:
        return local
    return local_moment(zone, local.date(), local.time())


def _values(form: Form, sent: Mapping[str, str]) -> dict[str, Any]:
    values: dict[str, Any] = {
        name: sent[name].strip()
        for name in ("note", "inspector", "crew", "on", "set_aside")
        if any(field.name == name for field in form.fields) and sent.get(name, "").strip()
    }
    match form.kind:
        case Kind.REMAINING:
            values["minutes"] = round(_number(form, sent, "hours") * units.MINUTES_PER_HOUR)
        case Kind.LEVEL | Kind.REFILLED:
            feet = _number(form, sent, "feet") + _number(form, sent, "inches") / INCHES_A_FOOT
            values["level_m"] = round(units.m_from_ft(feet), 4)
        case Kind.TEMPERATURE:
            values["concrete_c"] = round(units.c_from_f(_number(form, sent, "degrees_f")), 2)
        case Kind.STRENGTH:
            values["strength_mpa"] = round(units.mpa_from_psi(_number(form, sent, "psi")), 3)
        case Kind.SALT:
            values["salt_ppm"] = _number(form, sent, "ppm")
        case Kind.CREW_SHORT:
            values["people"] = int(_number(form, sent, "people"))
    return values


def _number(form: Form, sent: Mapping[str, str], name: str) -> float:
    field = next(one for one in form.fields if one.name == name)
    text = sent.get(name, "").strip().replace(",", ".")
    try:
        value = float(text)
    except ValueError as error:
        raise CannotDo("report.no_number", field=name, label=field.label, value=text) from error
    low, high = float(field.low or "-inf"), float(field.high or "inf")
    if not low <= value <= high:
        raise CannotDo("report.out_of_range", field=name, label=field.label, value=text, low=field.low, high=field.high)
    return value
