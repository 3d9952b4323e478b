"""Judge a branch: keep the verdicts with their arithmetic and run, and tell people each fact once."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from jobs.domain.errors import CannotDo
from jobs.models import Branch
from planner.plans.domain.world import World
from planner.plans.replanning.warned import WarnedStart, ask_under_warnings
from planner.plans.selectors import plan_in_force
from planner.plans.services import world_of
from planner.watch.domain.report import StartWatch, Verdict, WatchReport
from planner.watch.domain.telling.facts import Fact, Stands, facts_to_tell, tell_from, weekend_from
from planner.watch.domain.telling.ladder import next_rung_at, rung_of
from planner.watch.domain.telling.record import record_of
from planner.watch.domain.watch import watch
from planner.watch.models import BranchWatch, WatchVerdict
from planner.watch.selectors import current_verdicts, list_told, list_unread, previous_of
from planner.watch.telling import note_seen, tell

# While a warning is in force its end is looked for this often; it may be called off at any time.
LOOK_AT_WARNINGS_EVERY = timedelta(minutes=30)
# Nothing is left alone longer than this: forecasts age even when none comes.
LOOK_AT_LEAST_EVERY = timedelta(hours=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What a judgement brought.

    ``changed`` are the starts whose verdict is another than before, ``facts`` what people were told. ``overtaken``:
    another worker judged meanwhile, or later; nothing was written. ``report`` is ``None`` where no plan is in force.
    """

    report: WatchReport | None = None
    changed: tuple[StartWatch, ...] = ()
    facts: tuple[Fact, ...] = ()
    next_at: datetime | None = None
    overtaken: bool = False


def watch_branch(*, branch: Branch, now: datetime) -> WatchReport:
    """The watch over the plan in force as it stands now; nothing is kept and nobody is told.

    Raises
    ------
    CannotDo
        ``plans.none_in_force``.
    """
    if plan_in_force(branch=branch) is None:
        raise CannotDo("plans.none_in_force", field="branch", branch=branch.name)
    world = world_of(branch=branch, as_of=now)
    return report_of(branch=branch, world=world, now=now)


def report_of(*, branch: Branch, world: World, now: datetime) -> WatchReport:
    """The watch over a branch that is read already; a verdict that stands eases only when it clearly may."""
    return watch(world, world.told, now=now, previous=previous_of(current_verdicts(branch=branch)))


def judge_branch(*, branch: Branch, now: datetime) -> Judged:
    """Judge every exposed start of the next 72 hours and every state at risk, keep it, and tell what is new.

    Verdicts, what was told, the messages and the requests for another plan that public warnings bring are one
    transaction; of two workers at once one writes. Judging again
    with nothing new writes no verdict and tells nobody. The number of queries does not grow with the starts.

    Returns
    -------
    Judged
        ``report`` is ``None`` where no plan is in force.
    """
    row, _ = BranchWatch.objects.get_or_create(branch=branch)
    if row.judged_at is not None and row.judged_at > now:
        return Judged(overtaken=True)
    if plan_in_force(branch=branch) is None:
        _take(row, now=now, next_at=None, branch=branch)
        return Judged()
    world = world_of(branch=branch, as_of=now)
    before = current_verdicts(branch=branch)
    report = watch(world, world.told, now=now, previous=previous_of(before))
    by_task = {one.task_id: one for one in before}
    since = {start.task: _since(by_task.get(start.task), start, now) for start in report.starts}
    next_at = _next_at(world, report, now)
    with transaction.atomic():
        if not _take(row, now=now, next_at=next_at, branch=branch, world=world):
            return Judged(overtaken=True)
        _keep(branch, report, by_task, since, now)
        ask_under_warnings(branch=branch, starts=_warned(report), now=now)
        facts = facts_to_tell(
            stands=[_stands(start, since[start.task]) for start in report.starts],
            states=report.states,
            stretch=report.stretch,
            weekend=report.weekend,
            told=list_told(branch=branch, now=now),
            calendar=world.crews.branch_calendar,
            now=now,
        )
        tell(branch=branch, report=report, facts=facts, now=now)
        note_seen(branch=branch, rows=list_unread(branch=branch))
    changed = tuple(start for start in report.starts if _is_other(by_task.get(start.task), start))
    return Judged(report=report, changed=changed, facts=facts, next_at=next_at)


def _warned(report: WatchReport) -> list[WarnedStart]:
    """Starts ahead that a public warning asks to move."""
    return [
        WarnedStart(
            task=start.task,
            title=start.title,
            pool=start.job or start.site,
            start_at=start.start_at,
            event=warning.event,
            event_key=warning.event_key or warning.message_id,
            until_at=warning.until_at,
        )
        for start in report.starts
        if start.start_at > report.now and start.verdict is Verdict.MOVE
        for warning in start.warnings
        if warning.least is Verdict.MOVE
    ]


def _take(
    row: BranchWatch, *, now: datetime, next_at: datetime | None, branch: Branch, world: World | None = None
) -> bool:
    """Move the guard forward; false where another worker has."""
    unchanged = BranchWatch.objects.filter(pk=row.pk, judged_at=row.judged_at)
    if row.judged_at is None:
        unchanged = BranchWatch.objects.filter(pk=row.pk, judged_at__isnull=True)
    facts = world.branch if world is not None else branch
    taken = unchanged.update(
        judged_at=now,
        next_at=next_at,
        plan_number=facts.plan_number,
        input_revision=facts.input_revision,
        newest_run=max((sky.run for sky in world.skies.values()), default=0) if world is not None else 0,
    )
    return taken == 1


def _since(before: WatchVerdict | None, start: StartWatch, now: datetime) -> datetime:
    return now if before is None or _is_other(before, start) else before.since_at


def _is_other(before: WatchVerdict | None, start: StartWatch) -> bool:
    return before is None or before.start_at != start.start_at or before.verdict != start.verdict.value


def _stands(start: StartWatch, since_at: datetime) -> Stands:
    return Stands(
        task=start.task,
        start_at=start.start_at,
        verdict=start.verdict,
        since_at=since_at,
        free_until=start.free_until,
    )


def _keep(
    branch: Branch,
    report: WatchReport,
    before: Mapping[int, WatchVerdict],
    since: Mapping[int, datetime],
    now: datetime,
) -> None:
    """One row for each run, rung and change; the same again only says when it was looked at last."""
    same, new = [], []
    for start in report.starts:
        rung = rung_of(start.start_at, now)
        old = before.get(start.task)
        if old is not None and _is_same(old, start, report, rung):
            same.append(old.pk)
            continue
        new.append(
            WatchVerdict(
                branch=branch,
                task_id=start.task,
                plan_number=report.plan_number,
                start_at=start.start_at,
                verdict=start.verdict.value,
                by_forecast=start.forecast_verdict.value,
                since_at=since[start.task],
                first_judged_at=now,
                judged_at=now,
                rung_hours=rung,
                run_id=start.run or None,
                arithmetic=record_of(start),
            )
        )
    rows = WatchVerdict.objects.filter(branch=branch, current=True)
    rows.exclude(pk__in=same).update(current=False)
    rows.filter(pk__in=same).update(judged_at=now)
    WatchVerdict.objects.bulk_create(new)


def _is_same(old: WatchVerdict, start: StartWatch, report: WatchReport, rung: int) -> bool:
    return (
        not _is_other(old, start)
        and old.by_forecast == start.forecast_verdict.value
        and (old.run_id or 0) == start.run
        and old.rung_hours == rung
        and old.plan_number == report.plan_number
        and old.arithmetic["going_dollars"] == start.going_dollars
        and old.arithmetic["moving_dollars"] == start.moving_dollars
        and [one["message_id"] for one in old.arithmetic["warnings"]] == [one.message_id for one in start.warnings]
    )


def _next_at(world: World, report: WatchReport, now: datetime) -> datetime:
    """When to look again although no new forecast comes."""
    open_tasks = {
        task.id
        for job in world.jobs
        for task in job.tasks
        if task.is_open and task.started_at is None and world.exposures[task.exposure].exposed
    }
    calendar = world.crews.branch_calendar
    moments = [now + LOOK_AT_LEAST_EVERY]
    rung_at = next_rung_at((stay.start_at for stay in world.told if stay.task in open_tasks), now)
    if rung_at is not None:
        moments.append(rung_at)
    moments += [tell_from(start.free_until, calendar) for start in report.starts if start.free_until is not None]
    if report.stretch is not None:
        moments.append(weekend_from(report.stretch, calendar))
    warnings = [warning for start in report.starts for warning in start.warnings]
    if warnings:
        moments += [now + LOOK_AT_WARNINGS_EVERY, *(warning.until_at for warning in warnings)]
        moments += [warning.starts_at for warning in warnings]
    return min(moment for moment in moments if moment > now)
