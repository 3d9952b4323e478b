"""What the sky means for a plan: the judgement at each exposed start, and the dry day that was worth waiting for."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from planner.forecast.domain.judgement import StartJudgement
from planner.plans.domain.assemble import Assembled
from planner.plans.domain.changes import minutes_prepared
from planner.plans.domain.weather import end_with
from planner.plans.domain.world import Judges, World
from planner.solver.check import check
from planner.solver.checks.preparing import way_at
from planner.solver.parameters import GreedyOnly
from planner.solver.problem import Preparing, Problem, Task
from planner.solver.result import Assignment
from planner.solver.solve import solve

KNOWN_SHARE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Sky:
    """The judgement of one exposed task from ``work_at``, and what the plan bought to prepare from ``start_at``."""

    task: str
    start_at: datetime
    work_at: datetime
    end_at: datetime
    judgement: StartJudgement
    prepared: Preparing | None = None

    @property
    def dollars(self) -> int:
        """Expected loss that what is prepared leaves."""
        return self.judgement.dollars if self.prepared is None else self.prepared.loss_dollars

    @property
    def is_forecast(self) -> bool:
        """Whether most of its hours are known, so that the chance is a forecast and not the climate."""
        return self.judgement.known_share >= KNOWN_SHARE


@dataclass(frozen=True, slots=True, kw_only=True)
class Waited:
    """An earlier start that everything but the sky allowed, and what going then would have cost.

    ``forbidden`` starts are not for sale at any price; ``dollars_then`` and ``dollars_now`` are expected losses with
    the price of what would be, and is, prepared.
    """

    task: str
    earlier_at: datetime
    planned_at: datetime
    forbidden: bool
    reasons: tuple[str, ...]
    chance_then: float
    chance_now: float
    dollars_then: int
    dollars_now: int
    prepared_then: str = ""
    prepared_now: str = ""


def skies_of(world: World, assembled: Assembled, assignments: Sequence[Assignment]) -> tuple[Sky, ...]:
    """The judgement at every exposed start of a plan, in order of start."""
    judges = Judges(world)
    tasks = {task.key: task for task in assembled.problem.tasks}
    found = []
    for assignment in sorted(assignments, key=lambda one: (one.start, one.task)):
        _, task = assembled.tasks[assignment.task]
        exposure = world.exposures[task.exposure]
        if not exposure.exposed:
            continue
        way = way_at(tasks[assignment.task], assignment.start)
        prepared = way.prepared if way is not None else None
        # The sky is asked over the work itself, after what is prepared, as for every start of the problem.
        added = minutes_prepared(tasks[assignment.task], assignment.start) if tasks[assignment.task].pin is None else 0
        start_at, end_at = assembled.line.at(assignment.start), assembled.line.at(assignment.end)
        work_at = assembled.line.at(assignment.start + added)
        judgement = _judged(judges, world, assembled, assignment.task, work_at, end_at)
        found.append(
            Sky(
                task=assignment.task,
                start_at=start_at,
                work_at=work_at,
                end_at=end_at,
                judgement=judgement,
                prepared=prepared,
            )
        )
    return tuple(found)


def waited_for(world: World, assembled: Assembled, assignments: Sequence[Assignment], task: str) -> Waited | None:
    """The worst earlier day on which a task could have gone if only the sky had let it.

    A start counts as free if, with the sky left out, moving this one task there breaks no rule with its own crew
    or another that could do it, everything else staying where it is. For concrete, where that finds none, it also
    counts if a whole plan that keeps every rule has the pour there. ``None`` if no earlier day was free.
    """
    problem = assembled.problem
    without_sky = replace(problem, tasks=tuple(replace(one, weather=()) for one in problem.tasks))
    planned = next(one for one in assignments if one.task == task)
    _, facts = assembled.tasks[task]
    of_problem = next(one for one in problem.tasks if one.key == task)
    added = minutes_prepared(of_problem, planned.start) if of_problem.pin is None else 0
    length = planned.end - planned.start - added
    worst: Waited | None = None
    judges = Judges(world)
    work_at = assembled.line.at(planned.start + added)
    now = _judged(judges, world, assembled, task, work_at, work_at + timedelta(minutes=length))
    _, dollars_now, prepared_now = _going(of_problem, planned.start, now)
    opened = _opens_of(problem, planned.start)
    starts = [day.opens + planned.start - opened for day in problem.days if day.closes <= planned.start]
    free = [
        start
        for start in starts
        if _is_free(without_sky, assignments, replace(planned, start=start, end=start + length))
    ]
    if not free and starts and world.exposures[facts.exposure].sets:
        free = _free_in_another_plan(problem, task, until=opened - 1)
    for start in free:
        start_at = assembled.line.at(start)
        then = _judged(
            judges,
            world,
            assembled,
            task,
            start_at,
            end_with(world, facts, start_at, planned.crews),
        )
        forbidden, dollars, prepared = _going(of_problem, start, then)
        if worst is None or (forbidden, dollars) > (worst.forbidden, worst.dollars_then):
            worst = Waited(
                task=task,
                earlier_at=start_at,
                planned_at=assembled.line.at(planned.start),
                forbidden=forbidden,
                reasons=then.reasons,
                chance_then=then.chance_hit,
                chance_now=now.chance_hit,
                dollars_then=dollars,
                dollars_now=dollars_now,
                prepared_then=prepared,
                prepared_now=prepared_now,
            )
    return worst


def _going(task: Task, start: int, judgement: StartJudgement) -> tuple[bool, int, str]:
    """Whether a start is forbidden however it is prepared, what it costs, and what would be prepared."""
    way = way_at(task, start)
    if way is None:
        return True, judgement.dollars, ""
    if way.prepared is None:
        return judgement.forbidden, judgement.dollars, ""
    return False, way.dollars, way.prepared.title


def _free_in_another_plan(problem: Problem, task: str, *, until: int) -> list[int]:
    """A start of the task by ``until`` in some plan that keeps every rule but the sky over this one task."""
    tasks = tuple(
        replace(one, weather=(), latest_start=until if one.latest_start is None else min(until, one.latest_start))
        if one.key == task
        else one
        for one in problem.tasks
    )
    found = solve(replace(problem, tasks=tasks), GreedyOnly())
    return [one.start for one in found.assignments if one.task == task]


def _is_free(without_sky: Problem, assignments: Sequence[Assignment], moved: Assignment) -> bool:
    """Whether one moved task breaks no rule, with its crews or with others that could fill its needs."""
    task = next(one for one in without_sky.tasks if one.key == moved.task)
    choices = {moved.crews}
    if len(task.needs) == 1:
        choices |= {(option.crew,) for option in task.needs[0].options}
    return any(
        not check(
            without_sky,
            tuple(replace(moved, crews=crews) if one.task == moved.task else one for one in assignments),
        )
        for crews in sorted(choices)
    )


def worth_waiting(
    world: World, assembled: Assembled, assignments: Sequence[Assignment], skies: Sequence[Sky]
) -> tuple[Waited, ...]:
    """Starts within the forecast that wait for a better sky, the dearest first."""
    waits = []
    for sky in skies:
        if not sky.is_forecast:
            continue
        found = waited_for(world, assembled, assignments, sky.task)
        if found is not None and (found.forbidden or found.dollars_then > found.dollars_now):
            waits.append(found)
    return tuple(sorted(waits, key=lambda wait: (wait.dollars_now - wait.dollars_then, wait.task)))


def _opens_of(problem: Problem, minute: int) -> int:
    return max((day.opens for day in problem.days if day.opens <= minute), default=problem.days[0].opens)


def _judged(
    judges: Judges, world: World, assembled: Assembled, key: str, start_at: datetime, end_at: datetime
) -> StartJudgement:
    _, task = assembled.tasks[key]
    return judges.at(task.site.id).start(
        world.exposures[task.exposure], start_at=start_at, end_at=end_at, soil=task.site.soil, admixture=task.admixture
    )
