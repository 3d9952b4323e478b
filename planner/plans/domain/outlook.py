"""What the sky means for a plan: the judgement at each exposed start, and the dry day that was worth waiting for."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from planner.forecast.domain.judgement import StartJudgement
from planner.plans.domain.assemble import Assembled
from planner.plans.domain.weather import stay_end
from planner.plans.domain.world import Judges, World
from planner.solver.check import check
from planner.solver.problem import Problem
from planner.solver.result import Assignment

KNOWN_SHARE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Sky:
    """The judgement at the planned start of one exposed task."""

    task: str
    start_at: datetime
    end_at: datetime
    judgement: StartJudgement

    @property
    def dollars(self) -> int:
        """Expected loss."""
        return self.judgement.dollars

    @property
    def is_forecast(self) -> bool:
        """Whether most of its hours are known, so that the chance is a forecast and not the climate."""
        return self.judgement.known_share >= KNOWN_SHARE


@dataclass(frozen=True, slots=True, kw_only=True)
class Waited:
    """An earlier start that everything but the sky allowed, and what going then would have cost.

    ``forbidden`` starts are not for sale at any price; ``dollars_then`` and ``dollars_now`` are expected losses.
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


def skies_of(world: World, assembled: Assembled, assignments: Sequence[Assignment]) -> tuple[Sky, ...]:
    """The judgement at every exposed start of a plan, in order of start."""
    judges = Judges(world)
    found = []
    for assignment in sorted(assignments, key=lambda one: (one.start, one.task)):
        _, task = assembled.tasks[assignment.task]
        exposure = world.exposures[task.exposure]
        if not exposure.exposed:
            continue
        start_at, end_at = assembled.line.at(assignment.start), assembled.line.at(assignment.end)
        judgement = _judged(judges, world, assembled, assignment.task, start_at, end_at)
        found.append(
            Sky(
                task=assignment.task,
                start_at=start_at,
                end_at=end_at,
                judgement=judgement,
            )
        )
    return tuple(found)


def waited_for(world: World, assembled: Assembled, assignments: Sequence[Assignment], task: str) -> Waited | None:
    """The worst earlier day on which a task could have gone if only the sky had let it.

    Everything else of the plan stays where it is; a start counts as free if, with the sky left out, moving this
    one task there breaks no rule with its own crew or another that could do it. ``None`` if no earlier day was free.
    """
    problem = assembled.problem
    without_sky = replace(problem, tasks=tuple(replace(one, weather=()) for one in problem.tasks))
    planned = next(one for one in assignments if one.task == task)
    _, facts = assembled.tasks[task]
    length = planned.end - planned.start
    worst: Waited | None = None
    judges = Judges(world)
    now = _judged(judges, world, assembled, task, assembled.line.at(planned.start), assembled.line.at(planned.end))
    for day in problem.days:
        if day.closes > planned.start:
            break
        start = day.opens + planned.start - _opens_of(problem, planned.start)
        if not _is_free(without_sky, assignments, replace(planned, start=start, end=start + length)):
            continue
        start_at = assembled.line.at(start)
        then = _judged(
            judges,
            world,
            assembled,
            task,
            start_at,
            stay_end(facts, facts.work_minutes, start_at, world.crews.branch_calendar),
        )
        if worst is None or (then.forbidden, then.dollars) > (worst.forbidden, worst.dollars_then):
            worst = Waited(
                task=task,
                earlier_at=start_at,
                planned_at=assembled.line.at(planned.start),
                forbidden=then.forbidden,
                reasons=then.reasons,
                chance_then=then.chance_hit,
                chance_now=now.chance_hit,
                dollars_then=then.dollars,
                dollars_now=now.dollars,
            )
    return worst


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
        world.exposures[task.exposure], start_at=start_at, end_at=end_at, soil=task.site.soil
    )
