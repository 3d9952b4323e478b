"""Reads of jobs, each scoped to one branch and ordered."""

from datetime import datetime

from django.db.models import Prefetch, Q, QuerySet

from jobs.models import Branch, FieldReport, Hold, Job, Site, Task

GATES_AND_READINGS = (
    FieldReport.Kind.GATE,
    FieldReport.Kind.STRENGTH,
    FieldReport.Kind.SALT,
    FieldReport.Kind.REFILLED,
    FieldReport.Kind.TEMPERATURE,
    FieldReport.Kind.LEVEL,
    FieldReport.Kind.REMAINING,
)


def list_branches() -> QuerySet[Branch]:
    return Branch.objects.order_by("name", "id")


def list_open_jobs(*, branch: Branch) -> QuerySet[Job]:
    """Open jobs with everything a plan reads of them, in a constant number of queries."""
    tasks = Task.objects.order_by("position", "id").select_related("site")
    return (
        Job.objects.filter(branch=branch, state=Job.State.OPEN)
        .select_related("site", "basin")
        .prefetch_related(
            "site__closures",
            Prefetch("tasks", queryset=tasks),
            "links",
            "gear_spans",
            Prefetch("holds", queryset=Hold.objects.order_by("id").prefetch_related("blocks")),
        )
        .order_by("id")
    )


def list_site_tasks(*, branch: Branch) -> QuerySet[Task]:
    """Open work outside any build method."""
    return (
        Task.objects.filter(branch=branch, job__isnull=True, dropped_at__isnull=True, finished_at__isnull=True)
        .select_related("site")
        .prefetch_related("site__closures")
        .order_by("id")
    )


def list_sites_at_work() -> QuerySet[Site]:
    """Sites of every branch where work is left to do, with their branch."""
    at_work = Task.objects.filter(
        Q(job__state=Job.State.OPEN) | Q(job__isnull=True), dropped_at__isnull=True, finished_at__isnull=True
    )
    return Site.objects.filter(pk__in=at_work.values("site")).select_related("branch").order_by("branch_id", "id")


def list_gate_reports(*, branch: Branch, until_at: datetime) -> QuerySet[FieldReport]:
    """Safety gates and readings that were reported of open jobs up to a moment, oldest first."""
    return FieldReport.objects.filter(
        Q(task__job__state=Job.State.OPEN) | Q(task__job__isnull=True, task__finished_at__isnull=True),
        branch=branch,
        kind__in=GATES_AND_READINGS,
        happened_at__lte=until_at,
    ).order_by("happened_at", "id")
