"""Designs and water levels of a branch's pools, each in one query."""

from collections.abc import Mapping

from jobs.domain.design import PoolDesign
from jobs.models import Basin, Branch, FieldReport, Job
from jobs.snapshots import basin_of, design_of


def designs_of(*, branch: Branch) -> Mapping[int, PoolDesign]:
    """Designs of the branch's open pools by job id."""
    rows = Basin.objects.filter(job__branch=branch, job__state=Job.State.OPEN).select_related("job", "job__site")
    return {row.job_id: _design(row) for row in rows}


def design_of_job(*, job: Job) -> PoolDesign | None:
    """The design of one job; ``None`` for a job without a basin."""
    row = Basin.objects.filter(job=job).select_related("job", "job__site").first()
    return _design(row) if row is not None else None


def _design(row: Basin) -> PoolDesign:
    return design_of(basin=basin_of(row), soil=row.job.site.soil, values=row.job.design)


def levels_of(*, branch: Branch) -> Mapping[int, float]:
    """The water level [m] the site read last, by job id."""
    rows = (
        FieldReport.objects.filter(branch=branch, kind=FieldReport.Kind.LEVEL, task__job__isnull=False)
        .order_by("happened_at", "id")
        .values_list("task__job_id", "values")
    )
    return {job_id: float(values["level_m"]) for job_id, values in rows if "level_m" in values}
