"""What a plan bought, in its stored document and read back from it."""

from collections.abc import Mapping
from typing import Any

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.outlook import Sky
from planner.plans.domain.world import PaidTime, Prepared
from planner.solver.checks.paid import paid_hours
from planner.solver.checks.placed import place
from planner.solver.result import Assignment


def paid_times(assembled: Assembled, assignments: tuple[Assignment, ...]) -> dict[str, PaidTime]:
    """The hours a plan buys, by task key; of joint crews the minutes of one and the dollars of all."""
    found: dict[str, PaidTime] = {}
    for hours in paid_hours(place(assembled.problem, assignments)):
        before = found.get(hours.task)
        found[hours.task] = PaidTime(
            overtime_minutes=max(hours.overtime_minutes, before.overtime_minutes if before else 0),
            day_off_minutes=max(hours.day_off_minutes, before.day_off_minutes if before else 0),
            dollars=hours.dollars + (before.dollars if before else 0),
        )
    return found


def bought(sky: Sky | None, paid: PaidTime | None) -> dict[str, Any]:
    """What a stay bought as plain values of the document."""
    found: dict[str, Any] = {}
    if sky is not None and sky.prepared is not None:
        found["prepare"] = {
            "title": sky.prepared.title,
            "dollars": sky.prepared.dollars,
            "minutes": sky.prepared.minutes,
            "left": sky.prepared.loss_dollars,
        }
    if paid is not None:
        found["paid"] = {
            "overtime_minutes": paid.overtime_minutes,
            "day_off_minutes": paid.day_off_minutes,
            "dollars": paid.dollars,
        }
    return found


def prepared_of(stored: Mapping[str, Any]) -> Prepared | None:
    """What a stored stay bought to prepare."""
    values = stored.get("prepare")
    if values is None:
        return None
    return Prepared(titles=Prepared.titles_of(values["title"]), dollars=values["dollars"], minutes=values["minutes"])


def paid_of(stored: Mapping[str, Any]) -> PaidTime | None:
    """The hours a stored stay bought."""
    values = stored.get("paid")
    return None if values is None else PaidTime(**values)
