"""Which work stands half done, since when and until when: what happened first, then what is planned."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.world import Judges, Stay, World
from planner.watch.domain.concrete.young import protected_for
from planner.watch.domain.report import StateKind

# No concrete that a forecast can name is still unset after this long.
SET_BY_THEN = timedelta(hours=60)
FILL = "fill"
Edge = Literal["start", "end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A state that begins at the first task of ``begins`` a job has and ends with the first of ``ends`` it has.

    ``trades`` can protect it.
    """

    kind: StateKind
    begins: tuple[tuple[str, Edge], ...]
    ends: tuple[tuple[str, Edge], ...]
    trades: tuple[str, ...]


RULES = (
    # Earth is the back form of a sprayed shell, so spraying closes the dig; else backfill does.
    Rule(
        kind="open_dig",
        begins=(("dig", "start"),),
        ends=(("spray_shell", "end"), ("backfill", "end")),
        trades=("excavation", "concrete_forms"),
    ),
    Rule(
        kind="unbraced_forms",
        begins=(("stack_forms", "start"),),
        ends=(("brace_and_square", "end"),),
        trades=("concrete_forms",),
    ),
    Rule(
        kind="braced_forms",
        begins=(("brace_and_square", "end"),),
        ends=(("pour_walls", "end"), ("pour_shell", "end")),
        trades=("concrete_forms",),
    ),
    Rule(
        kind="bare_basin",
        begins=(("clean_and_patch", "end"),),
        ends=(("wall_sheet", "start"), ("floor_foam", "start")),
        trades=("liner", "concrete_forms"),
    ),
    Rule(
        kind="open_foam",
        begins=(("wall_sheet", "end"), ("floor_foam", "end")),
        ends=(("drop_liner", "end"),),
        trades=("liner",),
    ),
)
SHELL_BEGINS: tuple[tuple[str, Edge], ...] = (("pour_walls", "end"), ("pour_shell", "end"), ("spray_shell", "end"))
SHELL_TRADES = ("concrete_forms", "service", "liner")
POUR_TRADES = ("concrete_forms", "spray")
FILL_TRADES = ("service", "liner")


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One state of one job; ``task`` is the work that brought it about. ``until_at`` ``None``: no end is known."""

    kind: StateKind
    job: JobFacts
    task: TaskFacts
    from_at: datetime
    until_at: datetime | None
    trades: tuple[str, ...]


def standing_of(
    world: World, judges: Judges, job: JobFacts, stays: Mapping[int, Stay], now: datetime
) -> tuple[Standing, ...]:
    """Every state of a job that stands now or will by the plan, in order of its beginning.

    A beginning whose planned time is past counts although nobody reported it; an end does not: work that covers
    or closes is never assumed finished.
    """
    found = [state for rule in RULES if (state := _by_rule(rule, job, stays, now)) is not None]
    found += _concrete(world, judges, job, stays, now)
    shell = _shell(job, stays, now)
    if shell is not None:
        found.append(shell)
    found += _fills(job, stays)
    alive = (state for state in found if state.until_at is None or state.until_at > max(now, state.from_at))
    return tuple(sorted(alive, key=lambda state: (state.from_at, state.kind, state.task.id)))


def _by_rule(rule: Rule, job: JobFacts, stays: Mapping[int, Stay], now: datetime) -> Standing | None:
    begin = _first(job, rule.begins)
    if begin is None:
        return None
    task, edge = begin
    from_at = begun_at(task, edge, stays)
    if from_at is None:
        return None
    end = _first(job, rule.ends)
    until_at = ended_at(end[0], end[1], stays, now) if end is not None else None
    return Standing(kind=rule.kind, job=job, task=task, from_at=from_at, until_at=until_at, trades=rule.trades)


def _first(job: JobFacts, edges: tuple[tuple[str, Edge], ...]) -> tuple[TaskFacts, Edge] | None:
    by_key = {task.key: task for task in job.tasks if not task.dropped}
    return next(((by_key[key], edge) for key, edge in edges if key in by_key), None)


def begun_at(task: TaskFacts, edge: Edge, stays: Mapping[int, Stay]) -> datetime | None:
    """When a task starts or ends: as reported, else as planned; ``None`` where neither is known."""
    stay = stays.get(task.id)
    if edge == "start":
        known = task.started_at or task.finished_at
        return known or (stay.start_at if stay else None)
    return task.finished_at or (stay.end_at if stay else None)


def ended_at(task: TaskFacts, edge: Edge, stays: Mapping[int, Stay], now: datetime) -> datetime | None:
    """As ``begun_at``, but a planned moment that is past and was not reported is no moment."""
    reported = (task.started_at or task.finished_at) if edge == "start" else task.finished_at
    if reported is not None:
        return reported
    planned = begun_at(task, edge, stays)
    return planned if planned is not None and planned > now else None


def _concrete(world: World, judges: Judges, job: JobFacts, stays: Mapping[int, Stay], now: datetime) -> list[Standing]:
    """Every pour, until rain no longer hurts it and until its protection days are over.

    A pour that has not begun is watched as a start until it is rain-safe.
    """
    found = []
    for task in job.tasks:
        exposure = world.exposures[task.exposure]
        placed_at = begun_at(task, "end", stays)
        if not exposure.sets or task.dropped or placed_at is None:
            continue
        from_at = begun_at(task, "start", stays) or placed_at
        found.append(
            Standing(
                kind="young_concrete",
                job=job,
                task=task,
                from_at=placed_at,
                until_at=placed_at + protected_for(task, job.pool),
                trades=POUR_TRADES,
            )
        )
        if from_at <= now < placed_at + SET_BY_THEN:
            placed_at = max(placed_at, from_at) if task.finished_at is not None else max(placed_at, now)
            judge = judges.at(task.site.id)
            judged = judge.start(
                exposure, start_at=from_at, end_at=placed_at, soil=task.site.soil, admixture=task.admixture
            )
            found.append(
                Standing(
                    kind="fresh_concrete",
                    job=job,
                    task=task,
                    from_at=from_at,
                    until_at=judged.safe_at,
                    trades=POUR_TRADES,
                )
            )
    return found


def _shell(job: JobFacts, stays: Mapping[int, Stay], now: datetime) -> Standing | None:
    """A poured shell until the last fill is in."""
    begin = _first(job, SHELL_BEGINS)
    if begin is None:
        return None
    task, edge = begin
    from_at = begun_at(task, edge, stays)
    if from_at is None:
        return None
    fills = [fill for fill in job.tasks if fill.exposure == FILL and not fill.dropped]
    ends = [ended_at(fill, "end", stays, now) for fill in fills]
    known = [end for end in ends if end is not None]
    until_at = max(known) if known and len(known) == len(ends) else None
    return Standing(kind="empty_shell", job=job, task=task, from_at=from_at, until_at=until_at, trades=SHELL_TRADES)


def _fills(job: JobFacts, stays: Mapping[int, Stay]) -> list[Standing]:
    """Segments of a fill that run by the clock; those somebody attends are shut off when he leaves."""
    found = []
    for task in job.tasks:
        stay = stays.get(task.id)
        if task.exposure != FILL or not task.is_open or task.run == "attended" or stay is None:
            continue
        found.append(
            Standing(
                kind="unattended_fill",
                job=job,
                task=task,
                from_at=task.started_at or stay.start_at,
                until_at=stay.end_at,
                trades=FILL_TRADES,
            )
        )
    return found
