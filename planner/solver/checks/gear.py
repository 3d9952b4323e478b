"""What there is only so much of: gear held over a stretch, and starts a day."""

from collections import defaultdict
from collections.abc import Iterator

from planner.solver.checks.placed import Placed
from planner.solver.problem import GearHold
from planner.solver.result import Breach


def gear_breaches(placed: Placed) -> Iterator[Breach]:
    """Holds that end before they start, and the first moment each gear is held more often than it exists."""
    changes: dict[str, list[tuple[int, int, str]]] = defaultdict(list)
    for hold in placed.problem.holds_of_gear:
        stretch = _stretch(placed, hold)
        if stretch is None:
            continue
        start, end = stretch
        if end < start:
            says = f"{hold.gear}: its hold would end before it starts ({placed.days.say(start)})."
            yield Breach(rule="gear", task=hold.until_task, says=says)
            continue
        if hold.whole_days:
            first, last = placed.days.index(start), placed.days.index(end)
            start, end = placed.days.opens(first), placed.days.opens(last + 1)
        if start < end:
            changes[hold.gear].append((start, hold.amount, hold.from_task or hold.until_task))
            changes[hold.gear].append((end, -hold.amount, hold.until_task))
    for gear in placed.problem.gear:
        held = 0
        # At one moment what comes back is counted before what goes out: stretches are half-open.
        for moment, amount, task in sorted(changes[gear.key]):
            held += amount
            if held > gear.count:
                says = f"{gear.name}: {held} would be out at {placed.days.say(moment)}, and there are {gear.count}."
                yield Breach(rule="gear", task=task, says=says)
                break


def _stretch(placed: Placed, hold: GearHold) -> tuple[int, int] | None:
    until = placed.assignments.get(hold.until_task)
    since = hold.since
    if since is None and hold.from_task in placed.assignments:
        since = placed.assignments[hold.from_task].start
    return None if until is None or since is None else (since, until.end)


def limit_breaches(placed: Placed) -> Iterator[Breach]:
    """Days on which more of a limit's tasks start than it allows."""
    for limit in placed.problem.limits:
        starts: dict[int, list[str]] = defaultdict(list)
        for key in limit.tasks:
            if key in placed.assignments:
                starts[placed.days.index(placed.assignments[key].start)].append(key)
        for index in sorted(starts):
            keys = starts[index]
            if len(keys) > limit.count:
                when = placed.days.say(placed.days.opens(index)).partition(",")[0]
                says = f"{limit.key}: {len(keys)} start on {when}, and {limit.count} may."
                yield Breach(rule="limit", task=keys[limit.count], says=says)
