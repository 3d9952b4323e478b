"""What must pass between two tasks, at least and at most."""

from collections.abc import Iterator

from planner.solver.checks.placed import Placed, is_started
from planner.solver.problem import Link, Wait
from planner.solver.result import Breach


def wait_value(wait: Wait, moment: int) -> int | None:
    """Value of a wait for a moment; None past its last step.

    Examples
    --------
    >>> [wait_value(Wait(steps=((10, 50), (20, 70))), t) for t in (10, 11, 21)]
    [50, 70, None]
    """
    return next((value for until, value in wait.steps if moment <= until), None)


def link_breaches(placed: Placed) -> Iterator[Breach]:
    """Links whose least or most time between two tasks is not kept."""
    for link in placed.problem.links:
        before, after = placed.assignments.get(link.before), placed.assignments.get(link.after)
        if before is None or after is None or is_started(placed.tasks[link.after]):
            continue
        yield from _one_link(placed, link, before.end, after.start)


def _one_link(placed: Placed, link: Link, end: int, start: int) -> Iterator[Breach]:
    soonest, latest = end + link.min_minutes, None if link.max_minutes is None else end + link.max_minutes
    waits = []
    for wait in (link.ready, link.close):
        if wait is not None:
            waits.append(wait_value(wait, end))
            if waits[-1] is None:
                says = f"{_names(placed, link)}: nothing is known for an end at {placed.days.say(end)}{_why(link)}."
                yield Breach(rule="link", task=link.after, says=says)
                return
    if link.ready is not None and waits[0] is not None:
        soonest = max(soonest, waits[0])
    if link.close is not None and waits[-1] is not None:
        latest = waits[-1] if latest is None else min(latest, waits[-1])
    begins = f"{_names(placed, link)}: starts at {placed.days.say(start)}"
    if start < soonest:
        says = f"{begins}, not before {placed.days.say(soonest)}{_why(link)}."
        yield Breach(rule="link", task=link.after, says=says)
    if latest is not None and start > latest:
        says = f"{begins}, not after {placed.days.say(latest)}{_why(link)}."
        yield Breach(rule="link", task=link.after, says=says)


def _names(placed: Placed, link: Link) -> str:
    return f"{placed.tasks[link.after].title} after {placed.tasks[link.before].title}"


def _why(link: Link) -> str:
    return f" ({link.why})" if link.why else ""
