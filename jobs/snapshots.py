"""Rows to frozen values."""

from collections.abc import Mapping
from typing import Any, cast

from jobs.domain.basin import Basin, Fitting
from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.exposure import Soil
from jobs.domain.facts import (
    BranchFacts,
    Closure,
    GearSpanFacts,
    HoldFacts,
    JobFacts,
    LinkFacts,
    SiteFacts,
    TaskFacts,
)
from jobs.domain.method import LevelWindow, LinkRule
from jobs.domain.order.buying import buying_from
from jobs.domain.order.finish import finish_of
from jobs.domain.order.lines import OrderLine, Say, in_si
from jobs.domain.order.take import order_list
from jobs.domain.shapes.forms import basin_from
from jobs.methods.loader import load_method
from jobs.models import Basin as BasinRow
from jobs.models import Branch, Hold, Job, Site, Task
from jobs.science.setting import Admixture
from jobs.science.water.inflow import sources_from
from jobs.selectors import list_open_jobs, list_site_tasks


def branch_facts(branch: Branch) -> BranchFacts:
    return BranchFacts(
        id=branch.pk,
        name=branch.name,
        company=branch.company,
        zone=branch.zone,
        country=branch.country,
        subdivision=branch.subdivision,
        opens=branch.opens,
        closes=branch.closes,
        yard_latitude=branch.yard_latitude,
        yard_longitude=branch.yard_longitude,
        keeps_public_holidays=branch.keeps_public_holidays,
        input_revision=branch.input_revision,
        plan_number=branch.plan_number,
        banner=branch.banner,
        phone=branch.phone,
    )


def site_facts(site: Site) -> SiteFacts:
    return SiteFacts(
        id=site.pk,
        name=site.name,
        address=site.address,
        latitude=site.latitude,
        longitude=site.longitude,
        soil=cast(Soil, site.soil),
        access_note=site.access_note,
        work_from=site.work_from,
        work_until=site.work_until,
        closures=tuple(
            Closure(first_on=row.first_on, last_on=row.last_on, reason=row.reason)
            for row in sorted(site.closures.all(), key=lambda row: (row.first_on, row.pk))
        ),
    )


def task_facts(task: Task, site: SiteFacts, *, admixture: Admixture = "none") -> TaskFacts:
    details: dict[str, Any] = task.details
    return TaskFacts(
        id=task.pk,
        key=task.key,
        title=task.title,
        kind=task.kind,
        run=task.run,
        trade=task.trade,
        crew_size=task.crew_size,
        crew_min=task.crew_min,
        work_minutes=task.work_minutes,
        exposure=task.exposure,
        site=site,
        position=task.position,
        remaining_minutes=task.remaining_minutes,
        quantity=task.quantity,
        unit=task.unit,
        splits_nights=task.splits_nights,
        splits_weekends=task.splits_weekends,
        long_day=task.long_day,
        opening_only=task.opening_only,
        start_by_hour=task.start_by_hour,
        stand_by=task.stand_by,
        earliest_at=task.earliest_at,
        earliest_why=task.earliest_why,
        started_at=task.started_at,
        finished_at=task.finished_at,
        dropped=task.dropped_at is not None,
        frozen=task.frozen,
        gear=tuple(details.get("gear", ())),
        bookings=tuple(details.get("bookings", ())),
        cautions=tuple(details.get("cautions", ())),
        authority=details.get("authority", ""),
        visit_span=details.get("visit_span", ""),
        concrete_m3=details.get("concrete_m3", 0.0),
        evening=details.get("evening", False),
        admixture=admixture,
    )


def link_rule(stored: dict[str, Any]) -> LinkRule:
    """A link rule from its stored fields."""
    level = stored["level"]
    window = LevelWindow(of=tuple(level["of"]), from_m=level["from_m"], until_m=level["until_m"]) if level else None
    return LinkRule(**{**stored, "level": window})


def hold_facts(hold: Hold) -> HoldFacts:
    return HoldFacts(
        id=hold.pk,
        key=hold.key,
        title=hold.title,
        result=hold.result,
        visit=hold.visit_id,
        blocks=tuple(sorted(task.pk for task in hold.blocks.all())),
        decided_by=hold.decided_by,
        decided_at=hold.decided_at,
        note=hold.note,
        looks_at=hold.looks_at,
    )


def design_of(*, basin: Basin, soil: str, values: Mapping[str, Any]) -> PoolDesign:
    """A pool's design from its basin, its soil and the counted values of the drawing.

    Raises
    ------
    CannotDo
        Where a value is missing, unknown or makes no pool, naming it.
    """
    known = set(PoolDesign.__dataclass_fields__) - {"basin", "soil"}
    for name in values:
        if name not in known:
            raise CannotDo("job.unknown_design_value", field=name, name=name)
    given = {**values, "water": sources_from(values["water"])} if "water" in values else values
    try:
        return PoolDesign(basin=basin, soil=cast(Soil, soil), **given)
    except TypeError as error:
        required = {"deck_width_m", "fence_m", "pipe_m", "floor_pipe_m", "floor_steel_kg", "bond_points_each"}
        required |= {"deck_joint_m", "equipment_each"}
        missing = sorted(required - set(values))
        raise CannotDo("job.missing_design_value", field=", ".join(missing), names=", ".join(missing)) from error


def basin_of(row: BasinRow) -> Basin:
    """The stored basin as a value, checked again as it is built.

    Raises
    ------
    CannotDo
        Where what is stored makes no pool.
    """
    fittings = tuple(Fitting(kind=one["kind"], flange_m=one["flange_m"]) for one in row.fittings)
    return basin_from(row.shape, row.form, freeboard_m=row.freeboard_m, fittings=fittings)


def pool_of(job: Job) -> PoolDesign | None:
    """The design of a job; ``None`` without a basin."""
    row = getattr(job, "basin", None)
    return design_of(basin=basin_of(row), soil=job.site.soil, values=job.design) if row is not None else None


def order_of(job: Job, *, say: Say = in_si) -> tuple[OrderLine, ...]:
    """What is bought for a job, in the sizes and at the prices of its branch.

    Raises
    ------
    CannotDo
        ``job.no_design`` without a basin; what design, take-off or the branch's own sizes refuse.
    """
    design = pool_of(job)
    if design is None:
        raise CannotDo("job.no_design", field="pool", name=job.name)
    finish = finish_of(load_method(job.method))
    return order_list(design, finish=finish, buying=buying_from(job.branch.buying), say=say)


def job_facts(job: Job) -> JobFacts:
    """One job; reads what ``selectors.list_open_jobs`` has prefetched."""
    site, pool = site_facts(job.site), pool_of(job)
    admixture = pool.admixture if pool is not None else "none"
    return JobFacts(
        id=job.pk,
        name=job.name,
        site=site,
        method=job.method,
        promised_on=job.promised_on,
        earliest_on=job.earliest_on,
        late_dollars_per_day=round(job.late_cents_per_day / 100),
        open_dig_dollars_per_day=round(job.open_dig_cents_per_day / 100),
        tasks=tuple(task_facts(task, site, admixture=admixture) for task in job.tasks.all()),
        links=tuple(
            LinkFacts(before=row.before_id, after=row.after_id, rule=link_rule(row.rule))
            for row in sorted(job.links.all(), key=lambda row: row.pk)
        ),
        holds=tuple(hold_facts(row) for row in job.holds.all()),
        gear_spans=tuple(
            GearSpanFacts(gear=row.gear, from_task=row.from_task_id, until_task=row.until_task_id, amount=row.amount)
            for row in sorted(job.gear_spans.all(), key=lambda row: row.pk)
        ),
        design=job.design,
        pool=pool,
    )


def jobs_of(branch: Branch) -> tuple[JobFacts, ...]:
    """Every open job of a branch, and its work outside any build method as job 0."""
    jobs = tuple(job_facts(job) for job in list_open_jobs(branch=branch))
    loose = list(list_site_tasks(branch=branch))
    if not loose:
        return jobs
    sites = {task.site_id: site_facts(task.site) for task in loose}
    return (
        *jobs,
        JobFacts(
            id=0,
            name="",
            site=sites[loose[0].site_id],
            method="",
            promised_on=None,
            earliest_on=None,
            late_dollars_per_day=0,
            open_dig_dollars_per_day=0,
            tasks=tuple(task_facts(task, sites[task.site_id]) for task in loose),
        ),
    )
