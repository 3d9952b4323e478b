"""What the sky leaves of a task's starts: which it forbids, what the rest cost, and the work that preparing adds."""

from planner.solver.axis import Axis
from planner.solver.masks import Runs, join, mask_of
from planner.solver.problem import Preparing, StartWeather, Task


def taken(segment: StartWeather) -> tuple[int, Preparing | None] | None:
    """Return the dollars of a start in a segment, loss and price together, and what is prepared; None if forbidden.

    >>> sheet = Preparing(title="Sheet", dollars=60, loss_dollars=90)
    >>> taken(StartWeather(start=0, end=9, forbidden=False, dollars=150, ways=(sheet,)))
    (150, None)
    """
    offers: list[tuple[int, Preparing | None]] = []
    if not segment.forbidden:
        offers.append((segment.dollars, None))
    prepared = [(one.dollars + one.loss_dollars, one) for one in segment.ways]
    if segment.settled and prepared:
        return prepared[0]
    offers.extend(prepared)
    return min(offers, key=lambda offer: offer[0]) if offers else None


def starts_by_added_minutes(task: Task, axis: Axis) -> tuple[tuple[int, int], ...]:
    """Return the minutes that preparing adds to the work, each with the mask of starts; forbidden ones are in none."""
    forbidden: list[tuple[int, int]] = []
    longer: dict[int, list[tuple[int, int]]] = {}
    for segment in task.weather:
        way = taken(segment)
        if way is None:
            forbidden.append(positions(axis, segment))
        elif way[1] is not None and way[1].minutes and task.run == "work":
            longer.setdefault(way[1].minutes, []).append(positions(axis, segment))
    masks = {minutes: mask_of(runs) for minutes, runs in longer.items()}
    plain = ~mask_of(forbidden)
    for mask in masks.values():
        plain &= ~mask
    return ((0, plain), *sorted(masks.items()))


def levels(task: Task, axis: Axis) -> tuple[tuple[int, Runs], ...]:
    """Return positions by what the sky costs a start there, cheapest first; the rest of the axis costs nothing."""
    by_dollars: dict[int, list[tuple[int, int]]] = {}
    for segment in task.weather:
        way = taken(segment)
        first, last = positions(axis, segment)
        if way is not None and way[0] and first <= last:
            by_dollars.setdefault(way[0], []).append((first, last))
    return tuple((dollars, join(runs)) for dollars, runs in sorted(by_dollars.items()))


def positions(axis: Axis, segment: StartWeather) -> tuple[int, int]:
    """Return the first and last start inside a segment; the last is before the first if there is none."""
    return axis.start_position(segment.start), axis.start_position(segment.end) - 1
