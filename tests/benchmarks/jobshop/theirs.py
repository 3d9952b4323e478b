"""A drawn problem as a model of PyJobShop: crews are machines with breaks, gear is renewable, waits are delays."""

from dataclasses import dataclass

from pyjobshop import Model

from tests.benchmarks.jobshop.drawn import Drawn
from tests.benchmarks.jobshop.ours import key


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Dollars of lateness, ``None`` without a plan; whether proven; each task's crew and span."""

    dollars: int | None
    proven: bool
    spans: tuple[tuple[str, int, int, int], ...] = ()


def solve_with_library(drawn: Drawn, seconds: float) -> Found:
    """Least dollars of lateness, as the library finds them."""
    model = Model()
    crews = [model.add_machine(breaks=list(spans)) for spans in drawn.away]
    gear = model.add_renewable(drawn.gear)
    ways: list[int] = []
    names: list[str] = []
    for at, chain in enumerate(drawn.chains):
        job = model.add_job(weight=chain.dollars, release_date=chain.from_unit, due_date=chain.due)
        before = None
        for number, step in enumerate(chain.steps):
            task = model.add_task(job=job, allow_breaks=True)
            names.append(key(at, number))
            for crew, length in step.ways:
                uses, demands = ([crews[crew], gear], [0, 1]) if step.gear else ([crews[crew]], [0])
                model.add_mode(task, uses, length, demands)
                ways.append(crew)
            if before is not None:
                model.add_end_before_start(before, task, step.least_wait)
                if step.longest_wait is not None:
                    model.add_start_before_end(task, before, -step.longest_wait)
            before = task
    model.set_objective(weight_total_tardiness=1)
    result = model.solve(time_limit=seconds, display=False, num_workers=1)
    status = result.status.name
    if status not in ("OPTIMAL", "FEASIBLE"):
        return Found(dollars=None, proven=status == "INFEASIBLE")
    spans = tuple(
        (name, ways[one.mode], one.start, one.end) for name, one in zip(names, result.best.tasks, strict=True)
    )
    return Found(dollars=round(result.objective), proven=status == "OPTIMAL", spans=spans)
