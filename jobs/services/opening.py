"""From a design to a job with its tasks, links and holds, in one transaction."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from jobs.domain.basin import Basin
from jobs.domain.derive import DerivedJob, DerivedTask, derive_job
from jobs.domain.errors import CannotDo
from jobs.domain.network import Activity, Arrow, critical_path
from jobs.domain.order.buying import buying_from
from jobs.domain.shapes.forms import form_of
from jobs.domain.takeoff import quantities
from jobs.methods.loader import load_method
from jobs.models import Basin as BasinRow
from jobs.models import Branch, GearSpan, Hold, Job, Link, Site, Task
from jobs.services.branches import bump_inputs
from jobs.services.pours import with_wall_pours
from jobs.snapshots import design_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """Work that was done, or begun (``finished_at`` is ``None``), before the job came into the planner."""

    key: str
    started_at: datetime
    finished_at: datetime | None
    said_by: str


def open_job(
    *,
    branch: Branch,
    site: Site,
    name: str,
    method: str,
    basin: Basin,
    design: Mapping[str, Any],
    promised_on: date,
    as_of: datetime,
    earliest_on: date | None = None,
    owner: str = "",
    late_cents_per_day: int = 25_000,
    done: Sequence[Done] = (),
) -> Job:
    """A new job: quantities, tasks with durations, links, holds and gear spans; may enter half built.

    Raises
    ------
    CannotDo
        For a design that is no pool, an unknown method, a new job whose promise is past, done work that the
        method does not know or whose predecessors are not done, a name taken, a wall pour that forms and trucks do
        not allow or that does not end before the office's day does.
    """
    if site.branch_id != branch.pk:
        raise CannotDo("job.site_of_other_branch", field="site", site=site.name)
    if Job.objects.filter(branch=branch, name=name).exists():
        raise CannotDo("job.name_taken", field="name", name=name)
    if not done and promised_on < as_of.astimezone(ZoneInfo(branch.zone)).date():
        raise CannotDo("job.promise_past", field="promised_on", name=name, promised_on=promised_on)
    pool = design_of(basin=basin, soil=site.soil, values=design)
    rules = load_method(method)
    amounts = quantities(pool, cut_on_the_way=rules.cuts_on_the_way, buying=buying_from(branch.buying))
    derived = derive_job(rules, amounts, soil=site.soil, flow_m3_h=pool.mean_flow_m3_h, soil_slows=True)
    derived = with_wall_pours(derived, pool, opens=branch.opens, closes=branch.closes, done=[one.key for one in done])
    _refuse_cycle(derived)
    _refuse_gaps(derived, done, as_of)
    with transaction.atomic():
        job = Job.objects.create(
            branch=branch,
            site=site,
            name=name,
            method=method,
            owner=owner,
            promised_on=promised_on,
            earliest_on=earliest_on,
            late_cents_per_day=late_cents_per_day,
            design=dict(design),
        )
        _write_basin(job, basin)
        tasks = _write_tasks(job, derived, {one.key: one for one in done})
        _write_links(job, derived, tasks)
        _write_holds(job, derived, tasks, {one.key: one for one in done})
        bump_inputs(branch_id=branch.pk)
    return job


def _refuse_cycle(derived: DerivedJob) -> None:
    critical_path(
        [Activity(key=task.key, duration=task.work_minutes) for task in derived.tasks],
        [Arrow(before=link.before, after=link.after) for link in derived.links],
    )


def _refuse_gaps(derived: DerivedJob, done: Sequence[Done], as_of: datetime) -> None:
    titles = {task.key: task.rule.title for task in derived.tasks}
    finished = {one.key for one in done if one.finished_at is not None}
    for one in done:
        if one.key not in titles:
            raise CannotDo("job.unknown_done", field="done", key=one.key, method=derived.method)
        if max(one.started_at, one.finished_at or one.started_at) > as_of:
            raise CannotDo("job.done_in_future", field="done", title=titles[one.key])
        if one.finished_at is not None and one.finished_at < one.started_at:
            raise CannotDo("job.done_backwards", field="done", title=titles[one.key])
        for link in derived.links:
            if link.after == one.key and link.before not in finished:
                raise CannotDo("job.done_out_of_order", field="done", title=titles[one.key], before=titles[link.before])


def _write_basin(job: Job, basin: Basin) -> None:
    shape, form = form_of(basin)
    fittings = [asdict(fitting) for fitting in basin.fittings]
    BasinRow.objects.create(job=job, shape=shape, form=form, freeboard_m=basin.freeboard_m, fittings=fittings)


def _details(task: DerivedTask) -> dict[str, Any]:
    rule = task.rule
    return {
        "gear": list(rule.gear),
        "bookings": list(rule.bookings),
        "cautions": list(rule.cautions),
        "authority": rule.authority,
        "visit_span": rule.visit_span,
        "needs_hold": rule.needs_hold,
        "releases_hold": rule.releases_hold,
        "stand_by_note": rule.stand_by_note,
        "source": rule.source,
        "concrete_m3": task.concrete_m3,
        "evening": rule.evening,
    }


def _write_tasks(job: Job, derived: DerivedJob, done: Mapping[str, Done]) -> dict[str, Task]:
    rows = Task.objects.bulk_create(
        [
            Task(
                branch_id=job.branch_id,
                site_id=job.site_id,
                job=job,
                key=task.key,
                position=position,
                title=task.rule.title,
                kind=task.rule.kind,
                run=task.rule.run,
                trade=task.rule.trade,
                crew_size=task.rule.crew_size,
                crew_min=task.rule.crew_min,
                work_minutes=task.work_minutes,
                quantity=task.quantity or None,
                unit=task.unit,
                exposure=task.rule.exposure,
                splits_nights=task.rule.splits_nights,
                splits_weekends=task.rule.splits_weekends,
                long_day=task.rule.long_day,
                opening_only=task.rule.opening_only,
                start_by_hour=task.rule.start_by_hour,
                stand_by=task.rule.stand_by,
                details=_details(task),
                started_at=done[task.key].started_at if task.key in done else None,
                finished_at=done[task.key].finished_at if task.key in done else None,
            )
            for position, task in enumerate(derived.tasks)
        ]
    )
    return {row.key: row for row in rows}


def _write_links(job: Job, derived: DerivedJob, tasks: Mapping[str, Task]) -> None:
    Link.objects.bulk_create(
        [
            Link(
                job=job,
                before=tasks[rule.before],
                after=tasks[rule.after],
                kind=rule.kind,
                rule=asdict(rule),
                why=rule.why[:300],
            )
            for rule in derived.links
        ]
    )
    GearSpan.objects.bulk_create(
        [
            GearSpan(
                job=job,
                gear=held.gear,
                from_task=tasks[held.from_task],
                until_task=tasks[held.until_task],
                amount=held.amount,
            )
            for held in derived.gear_holds
        ]
    )


def _write_holds(job: Job, derived: DerivedJob, tasks: Mapping[str, Task], done: Mapping[str, Done]) -> None:
    for rule in derived.holds:
        visit = done.get(rule.visit)
        passed = visit is not None and visit.finished_at is not None
        hold = Hold.objects.create(
            job=job,
            key=rule.key,
            title=rule.title,
            looks_at=rule.looks_at,
            visit=tasks[rule.visit],
            result=Hold.Result.PASSED if passed else Hold.Result.OPEN,
            decided_by=visit.said_by if visit is not None and passed else "",
            decided_at=visit.finished_at if visit is not None and passed else None,
        )
        hold.blocks.set([tasks[key] for key in rule.blocks])
