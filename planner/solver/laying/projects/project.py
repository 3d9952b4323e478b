"""A problem whose tasks only wait for one another and for counted things: nothing else decides when they may start.

Such a problem, a plain project, is planned far faster by lists than by any model: see ``breeding``.
"""

from dataclasses import dataclass

from planner.solver.candidates import TaskStarts
from planner.solver.laying.ground import Ground
from planner.solver.problem import Link, Promise

# Price of a start on each day of the axis, by the task it is of.
Prices = tuple[tuple[int, tuple[int, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """A plain project in positions of the axis.

    Parameters
    ----------
    keys : tuple of str
        Task keys; tasks are numbered in this order, each after those it waits for.
    lengths : tuple of int
        Positions each task takes, >= 0.
    releases : tuple of int
        First position each may start on.
    before, after : tuple of tuple of int
        Tasks each waits for, and tasks that wait for it.
    demands : tuple of tuple of (int, int)
        What each takes while it runs: number of the counted thing, and how much of it.
    counts : tuple of int
        How much there is of each.
    due : tuple of (task, position, dollars)
        Promises: dollars for each day begun that the task ends after ``position``.
    units : int
        Positions in a day.
    size : int
        Positions of the axis.
    """

    keys: tuple[str, ...]
    lengths: tuple[int, ...]
    releases: tuple[int, ...]
    before: tuple[tuple[int, ...], ...]
    after: tuple[tuple[int, ...], ...]
    demands: tuple[tuple[tuple[int, int], ...], ...]
    counts: tuple[int, ...]
    due: tuple[tuple[int, int, int], ...]
    units: int
    size: int

    def dollars(self, starts: list[int]) -> int:
        """Return what starts [positions] cost."""
        total = 0
        for task, due, rate in self.due:
            late = starts[task] + self.lengths[task] - due
            if late > 0:
                total += rate * -(-late // self.units)
        return total


def as_project(ground: Ground) -> Project | None:
    """Return the plain project a problem is, or None if anything else decides its starts.

    Parameters
    ----------
    ground : Ground
        The problem; every task has candidates.
    """
    problem = ground.problem
    if problem.limits or problem.open_days or problem.told:
        return None
    if not all(_is_plain(starts) for starts in ground.starts.values()):
        return None
    if not all(_is_plain_link(ground, link) for link in problem.links):
        return None
    if any(h.since is not None or h.whole_days or h.from_task != h.until_task for h in problem.holds_of_gear):
        return None
    number = {key: index for index, key in enumerate(ground.order)}
    counted = {name: index for index, name in enumerate((*ground.gear, *(crew.key for crew in problem.crews)))}
    counts = (*(gear.count for gear in problem.gear), *(1 for _ in problem.crews))
    demands: list[dict[int, int]] = [{} for _ in number]
    for hold in problem.holds_of_gear:
        mine = demands[number[hold.from_task]]
        mine[counted[hold.gear]] = mine.get(counted[hold.gear], 0) + hold.amount
    for key, starts in ground.starts.items():
        demands[number[key]].update((counted[crew], 1) for crew in starts.classes[0].crews)
    if any(amount > counts[thing] for mine in demands for thing, amount in mine.items()):
        return None
    axis = ground.axis
    return Project(
        keys=ground.order,
        lengths=tuple(ground.starts[key].classes[0].length for key in ground.order),
        releases=tuple(ground.starts[key].classes[0].runs[0][0] for key in ground.order),
        before=tuple(tuple(number[link.before] for link in ground.links_in[key]) for key in ground.order),
        after=tuple(tuple(number[link.after] for link in ground.links_out[key]) for key in ground.order),
        demands=tuple(tuple((thing, amount) for thing, amount in mine.items() if amount) for mine in demands),
        counts=counts,
        due=tuple((number[one.task], _due(ground, one), one.dollars_per_day) for one in problem.promises),
        units=axis.units,
        size=axis.size,
    )


def _due(ground: Ground, promise: Promise) -> int:
    """Last position at which a promised task may end without being late."""
    axis = ground.axis
    close = (axis.day_index(promise.due) + 1) * axis.units
    # What takes no time ends where it starts, and the close of a day is the opening of the next.
    return close if ground.starts[promise.task].ends == "length" else close - 1


def _is_plain(starts: TaskStarts) -> bool:
    """One choice of crews, one length, and from some position on every start to the end of the axis."""
    task = starts.task
    if task.pin is not None or starts.levels or len(starts.classes) != 1 or len(starts.classes[0].runs) != 1:
        return False
    if task.weather or task.latest_start is not None or task.windows:
        return False
    return starts.ends == "length" or (starts.ends == "elapsed" and task.span_minutes == 0)


def _is_plain_link(ground: Ground, link: Link) -> bool:
    return not link.min_minutes and link.ready is None and link.max_minutes is None and link.close is None
