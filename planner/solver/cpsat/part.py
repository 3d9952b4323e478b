"""A part of a plan set free: the tasks of a neighbourhood, with everything else turned into gaps in their starts.

What stays fixed needs no interval and no link in the model: crews taken, days full, waits to fixed neighbours and
gear out leave holes in the starts, which the ledger's masks give at once. Fixed tasks remain only where a free one
shares gear, a daily limit or a count of days with them.
"""

from collections.abc import Iterator
from dataclasses import replace
from random import Random

from planner.solver.candidates import Candidates, TaskStarts, pinned_starts
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Placement
from planner.solver.masks import mask_of, runs_of
from planner.solver.problem import DailyLimit, GearHold, Pin
from planner.solver.result import Assignment

# More choices of crews than this are drawn from, the one in the plan always among them.
CHOICES = 4


def free_part(ledger: Ledger, old: dict[str, Placement], random: Random, reach: int) -> Ground:
    """Return the problem of the tasks taken up, the others staying where they are.

    Parameters
    ----------
    ledger : Ledger
        The plan without the free tasks; made with ``holds_on=False``.
    old : dict
        Where the free tasks lay, by key, in a fixed order.
    random : Random
        Draws which crews a task with many choices may have.
    reach : int
        How far a task may move [positions].

    Returns
    -------
    Ground
        A smaller problem; its plans are plans of the whole.
    """
    ground = ledger.ground
    problem = ground.problem
    free = tuple(_narrowed(ledger, made, random, reach) for made in old.values())
    limits = tuple(_limits_near(ledger, free))
    holds = tuple(_holds_beside(ledger, old, free))
    terms = tuple(term for term in problem.open_days if term.from_task in old or term.until_task in old)
    named = dict.fromkeys(
        (
            *(key for limit in limits for key in limit.tasks),
            *(key for hold in holds for key in (hold.from_task if hold.since is None else "", hold.until_task)),
            *(key for term in terms for key in (term.from_task if term.since is None else "", term.until_task)),
        )
    )
    fixed = tuple(_stub(ledger, key) for key in named if key and key not in old)
    tasks = (*free, *fixed)
    return Ground(
        problem=replace(
            problem,
            tasks=tuple(one.task for one in tasks),
            links=tuple(link for link in ground.binding_links if link.before in old and link.after in old),
            limits=limits,
            holds_of_gear=holds,
            open_days=terms,
            promises=tuple(promise for promise in problem.promises if promise.task in old),
            told=tuple(told for told in problem.told if told.task in old),
        ),
        candidates=Candidates(axis=ground.axis, tasks=tasks, clashes=()),
    )


def as_assignments(old: dict[str, Placement], part: Ground) -> tuple[Assignment, ...]:
    """Return where everything in a part lies now."""
    fixed = tuple(
        Assignment(task=one.task.key, start=one.task.pin.start, end=one.task.pin.end, crews=())
        for one in part.candidates.tasks
        if one.task.pin is not None
    )
    free = tuple(Assignment(task=key, start=made.start, end=made.end, crews=made.of.crews) for key, made in old.items())
    return (*free, *fixed)


def _narrowed(ledger: Ledger, old: Placement, random: Random, reach: int) -> TaskStarts:
    """The starts of a task, within reach of where it lay, that what is fixed leaves open."""
    key = old.task
    starts = ledger.ground.starts[key]
    near = mask_of([(max(0, old.position - reach), old.position + reach)])
    others = sorted({of.crews for of in starts.classes if of.crews != old.of.crews})
    crews = {old.of.crews, *(random.sample(others, CHOICES - 1) if len(others) >= CHOICES else others)}
    classes = tuple(
        replace(of, runs=runs_of(mask & near))
        for of, mask in ledger.options(key, ledger.room(key))
        if of.crews in crews and mask & near
    )
    return replace(starts, classes=classes)


def _limits_near(ledger: Ledger, free: tuple[TaskStarts, ...]) -> Iterator[DailyLimit]:
    """The limits that free tasks could break, with those fixed tasks that are in their way."""
    axis, units = ledger.ground.axis, ledger.ground.axis.units
    by_key = {one.task.key: one for one in free}
    for limit in ledger.ground.problem.limits:
        mine = [key for key in limit.tasks if key in by_key]
        if not mine:
            continue
        days = {
            day
            for key in mine
            for of in by_key[key].classes
            for first, last in of.runs
            for day in range(first // units, last // units + 1)
        }
        fixed: dict[int, list[str]] = {}
        for key in limit.tasks:
            if key not in by_key:
                fixed.setdefault(axis.day_index(ledger.placed[key].start), []).append(key)
        # On other days there is room for all the free ones.
        tight = {day for day, keys in fixed.items() if day in days and len(keys) + len(mine) > limit.count}
        beside = {key for day in tight for key in fixed[day]}
        yield replace(limit, tasks=tuple(key for key in limit.tasks if key in by_key or key in beside))


def _holds_beside(ledger: Ledger, old: dict[str, Placement], free: tuple[TaskStarts, ...]) -> Iterator[GearHold]:
    """Holds a free task takes out or brings back, and the fixed ones that could leave too little gear to them."""
    by_key = {one.task.key: one for one in free}
    moving: dict[str, list[GearHold]] = {}
    for hold in ledger.ground.problem.holds_of_gear:
        if _moves(hold, old):
            moving.setdefault(hold.gear, []).append(hold)
    beside: set[int] = set()
    for gear, mine in moving.items():
        reach = 0
        for hold in mine:
            reach |= _reach_of(ledger, hold, by_key)
        beside.update(ledger.in_the_way(gear, sum(hold.amount for hold in mine), reach))
    holds = enumerate(ledger.ground.problem.holds_of_gear)
    return (hold for number, hold in holds if number in beside or _moves(hold, old))


def _reach_of(ledger: Ledger, hold: GearHold, free: dict[str, TaskStarts]) -> int:
    """Every position at which a hold could have its gear out."""
    axis = ledger.ground.axis
    if hold.since is not None:
        first = axis.floor_position(hold.since)
    elif hold.from_task in free:
        first = min(of.runs[0][0] for of in free[hold.from_task].classes)
    else:
        first = axis.floor_position(ledger.placed[hold.from_task].start)
    if hold.until_task in free:
        starts = free[hold.until_task]
        end = max(starts.end_position(axis, of.runs[-1][1], of) for of in starts.classes)
    else:
        end = ledger.placed[hold.until_task].end_position
    reach = mask_of([(first, max(first, end - 1))])
    # What ends at the close of a day ends at the opening of the next too.
    return ledger.ground.whole_days(mask_of([(first, max(first, end))])) if hold.whole_days else reach


def _moves(hold: GearHold, old: dict[str, Placement]) -> bool:
    return hold.until_task in old or (hold.since is None and hold.from_task in old)


def _stub(ledger: Ledger, key: str) -> TaskStarts:
    """A fixed task as a pin without crews: those are gaps in the free tasks' starts already."""
    made = ledger.placed[key]
    task = ledger.ground.starts[key].task
    pin = Pin(start=made.start, end=made.end)
    return pinned_starts(replace(task, needs=(), weather=(), pin=pin), ledger.ground.axis)
