"""Starts by hours and length alone, before anything of the one task bounds them."""

from dataclasses import dataclass

from planner.solver.axis import Axis
from planner.solver.masks import mask_of
from planner.solver.openings.hours import DayList, arriving_stretches, work_stretches
from planner.solver.problem import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Unbound:
    """A mask of starts for each (length, pad), and what ``arrives`` needs to know."""

    masks: tuple[tuple[tuple[int, int], int], ...]
    arrivals: tuple[int | None, ...] = ()
    overnight_from: tuple[int, ...] = ()
    next_day_from: tuple[int, ...] = ()


def starts_by_hours(task: Task, days: DayList, minutes: int, axis: Axis) -> Unbound:
    """Return every start from which ``minutes`` end as the task's run says, whatever else bounds it."""
    arrivals: tuple[int | None, ...] = ()
    overnight: tuple[int, ...] = ()
    next_day: tuple[int, ...] = ()
    if task.run in ("work", "attended"):
        stretches = list(
            work_stretches(days, minutes, axis, splits_nights=task.splits_nights, splits_weekends=task.splits_weekends)
        )
    elif task.run == "visit":
        stretches = list(work_stretches(days, minutes, axis, splits_nights=False, splits_weekends=False))
    elif task.run == "elapsed":
        stretches = list(work_stretches(days, 0, axis, splits_nights=False, splits_weekends=False))
    else:
        stretches, arrivals, overnight, next_day = arriving_stretches(days, minutes, axis)
    openings = mask_of(
        (day * axis.units + hours.first, day * axis.units + hours.first) for day, hours in enumerate(days) if hours
    )
    runs: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for one in stretches:
        runs.setdefault((one.length, one.pad), []).append((one.first, one.last))
    masks = {time: mask_of(those) & (openings if task.opening_only else -1) for time, those in runs.items()}
    return Unbound(
        masks=tuple(sorted(masks.items())), arrivals=arrivals, overnight_from=overnight, next_day_from=next_day
    )
