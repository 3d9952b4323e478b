"""Who does it: needs filled by listed crews, and no crew in two places."""

from collections import defaultdict
from collections.abc import Iterator

from planner.solver.checks.placed import Placed
from planner.solver.problem import Task
from planner.solver.result import Assignment, Breach


def crew_breaches(placed: Placed) -> Iterator[Breach]:
    """Needs not filled as listed, then crews that would be in two places."""
    known = {crew.key for crew in placed.problem.crews}
    for task, assignment in placed.pairs():
        if task.pin is None or not task.pin.crews:
            yield from _need_breaches(task, assignment)
        yield from (
            Breach(rule="crew", task=task.key, says=f"{task.title} has {crew}, a crew the branch does not have.")
            for crew in assignment.crews
            if crew not in known
        )
        if len(set(assignment.crews)) != len(assignment.crews):
            yield Breach(rule="crew", task=task.key, says=f"{task.title} has the same crew twice.")
    yield from _place_breaches(placed)
    if placed.problem.drives:
        yield from _drive_breaches(placed)


def _need_breaches(task: Task, assignment: Assignment) -> Iterator[Breach]:
    if len(assignment.crews) != len(task.needs):
        says = f"{task.title} needs {len(task.needs)} crews and has {len(assignment.crews)}."
        yield Breach(rule="crew", task=task.key, says=says)
        return
    for need, crew in zip(task.needs, assignment.crews, strict=True):
        if crew not in {option.crew for option in need.options}:
            says = f"{task.title} cannot have {crew} for {need.trade}."
            yield Breach(rule="crew", task=task.key, says=says)


def _place_breaches(placed: Placed) -> Iterator[Breach]:
    stays: dict[str, list[tuple[int, int, str]]] = defaultdict(list)
    for task, assignment in placed.pairs():
        for crew in dict.fromkeys(assignment.crews):
            if assignment.start < assignment.end:
                stays[crew].append((assignment.start, assignment.end, task.key))
    for crew, mine in sorted(stays.items()):
        mine.sort()
        # The stay that reaches furthest so far is the one a later start can fall into.
        furthest = mine[0]
        for stay in mine[1:]:
            if stay[0] < furthest[1]:
                title, other = placed.tasks[stay[2]].title, placed.tasks[furthest[2]].title
                until = placed.days.say(furthest[1])
                says = f"{crew} would start {title} at {placed.days.say(stay[0])}, but is on {other} until {until}."
                yield Breach(rule="one_place", task=stay[2], says=says)
            furthest = max(furthest, stay, key=lambda one: one[1])


def _drive_breaches(placed: Placed) -> Iterator[Breach]:
    drives = {frozenset(drive.sites): drive.minutes for drive in placed.problem.drives}
    longest = max(drives.values())
    stays: dict[str, list[Assignment]] = defaultdict(list)
    for _, assignment in placed.pairs():
        for crew in dict.fromkeys(assignment.crews):
            if assignment.start < assignment.end:
                stays[crew].append(assignment)
    for crew, mine in sorted(stays.items()):
        mine.sort(key=lambda one: (one.start, one.task))
        for at, later in enumerate(mine):
            # Whoever ended longer ago than the longest drive is of no matter; overlaps are another rule's.
            for earlier in mine[:at]:
                if later.start - earlier.end < longest and earlier.end <= later.start:
                    yield from _one_drive(placed, drives, crew, earlier, later)


def _one_drive(
    placed: Placed, drives: dict[frozenset[str], int], crew: str, earlier: Assignment, later: Assignment
) -> Iterator[Breach]:
    first, second = placed.tasks[earlier.task], placed.tasks[later.task]
    minutes = drives.get(frozenset((first.site, second.site)), 0) if first.site != second.site else 0
    if later.start < earlier.end + minutes and (first.pin is None or second.pin is None):
        when = placed.days.say(later.start)
        says = (
            f"{crew} would start {second.title} at {when}, {later.start - earlier.end} minutes after {first.title} on "
            f"another site, and drives for {minutes}."
        )
        yield Breach(rule="drive", task=later.task, says=says)
