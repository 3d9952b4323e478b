"""Reads of plans, each scoped to one branch."""

from django.db.models import Max, QuerySet

from jobs.models import Branch
from planner.plans.models import Assignment, Plan


def plan_in_force(*, branch: Branch) -> Plan | None:
    """The one plan in force, if there is one."""
    return Plan.objects.filter(branch=branch, state=Plan.State.IN_FORCE).first()


def plan_before(*, plan: Plan) -> Plan | None:
    """The plan that was in force last before this one, if there was one."""
    past = Plan.objects.filter(branch=plan.branch_id, state=Plan.State.PAST, number__lt=plan.number)
    return past.order_by("-in_force_at", "-number").first()


def newest_proposal(*, branch: Branch) -> Plan | None:
    """The newest plan waiting for a decision."""
    return Plan.objects.filter(branch=branch, state=Plan.State.PROPOSED).order_by("-number").first()


def next_number(*, branch: Branch) -> int:
    return (Plan.objects.filter(branch=branch).aggregate(newest=Max("number"))["newest"] or 0) + 1


def list_assignments(*, plan: Plan) -> QuerySet[Assignment]:
    """Assignments of a plan in force, in order of start."""
    return plan.assignments.order_by("start_at", "id")


def crew_keys_by_assignment(*, plan: Plan) -> dict[int, list[str]]:
    """Keys of the crews of each assignment of a plan, sorted; an assignment without any is left out."""
    found: dict[int, list[str]] = {}
    for row, key in plan.assignments.filter(crews__isnull=False).order_by("crews__key").values_list("id", "crews__key"):
        found.setdefault(row, []).append(key)
    return found


def warnings_of(plan: Plan | None) -> tuple[str, ...]:
    """What a plan says that stops nothing and somebody should look at."""
    return tuple(plan.document.get("warnings", ())) if plan is not None else ()
