"""What an office does without a solver: everything keeps its order and moves right until it fits.

Twice: with the crews it stood with, which is what a careful office does; and with whoever is free first in the order
of the starts, which is the plain rule the bar was measured against.
"""

from planner.solver.candidates import find_candidates
from planner.solver.check import check, cost_of
from planner.solver.laying.blocks import Block, find_blocks
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger
from planner.solver.masks import lowest
from planner.solver.problem import Problem
from planner.solver.result import Assignment

TRIES = 400


def shifted_dollars(problem: Problem, standing: tuple[Assignment, ...], *, same_crews: bool = True) -> int | None:
    """Cost of the standing plan shifted right; None where something finds no place."""
    ground = Ground(problem=problem, candidates=find_candidates(problem))
    ledger = Ledger(ground)
    for key, starts in ground.starts.items():
        if starts.task.pin is not None:
            ledger.place(key, starts.classes[0], starts.classes[0].runs[0][0])
    stood = {one.task: one for one in standing}
    blocks = find_blocks(ground)
    laid: set[int] = set()
    waiting = sorted(range(len(blocks)), key=lambda number: min(stood[key].start for key in blocks[number].tasks))
    while waiting:
        number = next(one for one in waiting if laid.issuperset(blocks[one].waits_for))
        waiting.remove(number)
        if not _laid(ground, ledger, blocks[number], stood, same_crews=same_crews):
            return None
        laid.add(number)
    plan = ledger.assignments()
    return None if check(problem, plan) else cost_of(problem, plan).total


def _laid(ground: Ground, ledger: Ledger, block: Block, stood: dict[str, Assignment], *, same_crews: bool) -> bool:
    """Lay a block down no earlier than it stood; where its tail does not fit, its head moves right by a position."""
    axis = ground.axis
    lowest_of = {key: axis.start_position(stood[key].start) for key in block.tasks}
    for _ in range(TRIES):
        placed: list[str] = []
        for key in block.tasks:
            room = ledger.room(key)
            options = list(ledger.options(key, room, lowest_of[key])) if room.is_open() else []
            same = [(of, mask) for of, mask in options if same_crews and of.crews == stood[key].crews]
            if not options:
                break
            of, mask = min(same or options, key=lambda one: lowest(one[1]))
            ledger.place(key, of, lowest(mask))
            placed.append(key)
        if len(placed) == len(block.tasks):
            return True
        head = ledger.placed[placed[0]].position if placed else lowest_of[block.tasks[0]]
        for key in placed:
            ledger.lift(key)
        lowest_of[block.tasks[0]] = head + 1
    return False
