"""Why a task starts when it does: its gates, the chain of binding gates back to now, what a day would cost."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.assemble import Assembled
from planner.plans.domain.binding import BindingGate, Gatekeeper
from planner.plans.domain.world import Stay, World
from planner.solver.explain.price import EFFORT, DayPrice, price_of_a_day
from planner.solver.parameters import Repeatable
from planner.solver.result import Assignment


@dataclass(frozen=True, slots=True, kw_only=True)
class DayMoved:
    """What a day earlier or later costs, about; ``start_at`` is ``None`` where no plan was found that has it there."""

    start_at: datetime | None
    dollars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """One task of a plan. ``gates`` come in the order they open, the binding one last; ``chain`` goes back to now."""

    job: JobFacts
    task: TaskFacts
    stay: Stay
    gates: tuple[BindingGate, ...]
    chain: tuple[tuple[JobFacts, TaskFacts, BindingGate], ...]
    earlier: DayMoved
    later: DayMoved


def stays_from(assembled: Assembled, assignments: Sequence[Assignment]) -> tuple[Stay, ...]:
    """A plan of the solver as stays."""
    return tuple(
        Stay(
            task=assembled.tasks[one.task][1].id,
            start_at=assembled.line.at(one.start),
            end_at=assembled.line.at(one.end),
            crews=one.crews,
        )
        for one in assignments
    )


def explain(
    world: World,
    assembled: Assembled,
    assignments: tuple[Assignment, ...],
    task: TaskFacts,
    *,
    effort: Repeatable = EFFORT,
) -> Explained:
    """Explain one open task of a plan.

    Parameters
    ----------
    world, assembled :
        What the plan was made from.
    assignments :
        The plan, every open task in it.
    task : TaskFacts
        An open task.
    effort : Repeatable
        Bound of each search for the price of a day.
    """
    stays = stays_from(assembled, assignments)
    key, job = next((key, job) for key, (job, one) in assembled.tasks.items() if one.id == task.id)
    keeper = Gatekeeper(world, stays)

    def moved(price: DayPrice) -> DayMoved:
        start_at = assembled.line.at(price.start) if price.start is not None else None
        return DayMoved(start_at=start_at, dollars=price.dollars)

    return Explained(
        job=job,
        task=task,
        stay=next(stay for stay in stays if stay.task == task.id),
        gates=keeper.every(job, task),
        chain=keeper.chain(job, task),
        earlier=moved(price_of_a_day(assembled.problem, assignments, key, "earlier", effort)),
        later=moved(price_of_a_day(assembled.problem, assignments, key, "later", effort)),
    )
