"""Plans worlds from the plan people were told, all in the same way."""

from collections.abc import Sequence
from dataclasses import replace

from planner.plans.asking.outcome import Outcome, outcome_of, standing_of
from planner.plans.asking.trying import Change
from planner.plans.domain.assemble import Assembled, assemble
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import Judges, World
from planner.plans.lapsing import plan_letting_lapse
from planner.solver.check import check, cost_of
from planner.solver.parameters import Parameters
from planner.solver.replan import Replanned, replan, reported
from planner.solver.result import Result

HORIZONS_DAYS = (120, 240)
NOTHING: frozenset[str] = frozenset()


def try_worlds(world: World, changes: tuple[Change, ...], parameters: Parameters, *, title: str) -> tuple[Outcome, ...]:
    """What comes of the world as it is, then of each change.

    Raises
    ------
    CannotDo
        Where a change names what the branch does not have; before anything is planned.
    """
    worlds = [(title, world), *((change.title, change.made(world)) for change in changes)]
    made = [(name, one, *plan_world(one, parameters)) for name, one in worlds]
    plans = [done.result for _, _, _, done in made if done.result.status == "planned"]
    return tuple(
        outcome_of(name, assembled, _cheapest(one, assembled, done, plans)) for name, one, assembled, done in made
    )


def _cheapest(world: World, assembled: Assembled, done: Replanned, plans: Sequence[Result]) -> Replanned:
    """The plan made for a world, or one made for another that holds here too and costs less.

    A search ends before it has seen everything; without this an extra crew could seem to cost money.
    """
    problem = assembled.problem
    best = done.result
    for other in plans:
        if best.status == "planned" and not check(problem, other.assignments):
            cost = cost_of(problem, other.assignments)
            if cost.total < best.cost.total:
                best = replace(best, assignments=other.assignments, cost=cost)
    if best is done.result:
        return done
    return reported(problem, standing_of(world, assembled), done.broken, best)


def plan_world(world: World, parameters: Parameters) -> tuple[Assembled, Replanned]:
    """One world planned from the plan in force; limits counted from finished work lapse as in any plan."""
    first_on = world.crews.branch_calendar.date_of(world.as_of)
    judges, waits = Judges(world), Waits(world)
    broken: tuple[str, ...] = ()

    def assemble_for(let_lapse: frozenset[str], horizon_days: int) -> Assembled:
        return assemble(
            world, first_on=first_on, horizon_days=horizon_days, let_lapse=let_lapse, judges=judges, waits=waits
        )

    def plan_for(assembled: Assembled) -> Result:
        nonlocal broken
        done = replan(assembled.problem, standing_of(world, assembled), NOTHING, parameters)
        broken = done.broken
        return done.result

    assembled, result = plan_letting_lapse(assemble_for, plan_for, HORIZONS_DAYS)
    return assembled, reported(assembled.problem, standing_of(world, assembled), broken, result)
