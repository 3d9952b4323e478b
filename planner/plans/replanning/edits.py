"""Corrections by hand in the office's records: counted as a change of inputs, and asked about."""

from typing import Any

from django.db.models import Model
from django.dispatch import receiver

from crews.models import Booking, BranchDay, Crew, Gear, Supplier
from jobs.edited import edited
from jobs.models import Branch, Hold, Job, Site, Task
from jobs.services.branches import bump_inputs
from jobs.words import sentence_for
from planner import clock
from planner.plans.domain.triggers.reasons import Reason
from planner.plans.replanning.requests import ask
from planner.plans.selectors import plan_in_force

REASONS_OF: dict[type[Model], Reason] = {
    Crew: "office_changed",
    Gear: "office_changed",
    BranchDay: "office_changed",
    Supplier: "office_changed",
    Branch: "office_changed",
    Booking: "booking_changed",
    Site: "job_changed",
    Job: "job_changed",
    Task: "job_changed",
    Hold: "job_changed",
}


@receiver(edited)
def ask_after_edit(*, sender: type[Model], instance: Model, gone: bool, **_: Any) -> None:
    """Count the change, and ask for another plan where one is in force; a branch that goes asks for nothing."""
    reason = REASONS_OF.get(sender)
    if reason is None or (gone and isinstance(instance, Branch)):
        return
    branch = _branch_of(instance)
    bump_inputs(branch_id=branch.pk)
    if plan_in_force(branch=branch) is None:
        return
    facts = {"kind": str(instance._meta.verbose_name), "name": str(instance)}
    says, _remedy = sentence_for("replan.removed" if gone else "replan.edited", facts)
    subject = f"{instance._meta.model_name}:{instance.pk}"
    ask(branch=branch, reason=reason, subject=subject, says=says, now=clock.now())


def _branch_of(instance: Model) -> Branch:
    match instance:
        case Branch():
            return instance
        case Booking():
            return instance.task.branch
        case Hold():
            return instance.job.branch
        case Crew() | Gear() | BranchDay() | Supplier() | Site() | Job() | Task():
            return instance.branch
    raise ValueError(f"{instance!r} belongs to no branch")
