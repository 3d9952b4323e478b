"""Makes a plan better piece by piece: sets a neighbourhood free, solves it, keeps what is no worse.

Large-neighbourhood search around the one model. Each piece is small enough for the engine to finish, so a branch
of forty pools improves from the first second; with one worker and counted work the plan is repeatable.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random

from planner.solver.check import cost_of
from planner.solver.cpsat.engine import Effort, run
from planner.solver.cpsat.neighbourhoods import NOWHERE, Around, Neighbourhoods
from planner.solver.cpsat.part import as_assignments, free_part
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, laid_out
from planner.solver.result import Assignment

SMALLEST, FIRST, LARGEST = 12, 40, 90
STATING = 0.002


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One piece solved: work spent in all [s], dollars saved, and the plan so far."""

    spent: float
    saved: int
    ledger: Ledger

    def assignments(self) -> tuple[Assignment, ...]:
        """Return the plan so far."""
        return self.ledger.assignments()


def improve(
    ground: Ground,
    plan: tuple[Assignment, ...],
    piece: Effort,
    seed: int,
    is_over: Callable[[float], bool],
    around: Around = NOWHERE,
) -> Iterator[Step]:
    """Yield one step for each piece until ``is_over`` says so of the work spent.

    Parameters
    ----------
    ground : Ground
        The problem.
    plan : tuple of Assignment
        A whole plan that keeps every rule.
    piece : Effort
        What one piece may cost.
    seed : int
        Sets which pieces are drawn.
    is_over : callable
        Asked before each piece with the counted work so far [s].
    around : Around
        Tasks that pieces shall rather be drawn around.
    """
    ledger = laid_out(ground, plan, holds_on=False)
    random = Random(seed)
    neighbourhoods = Neighbourhoods(ground, random, around)
    size = FIRST
    spent = 0.0
    while not is_over(spent):
        keys = neighbourhoods.draw(ledger, size)
        old = {key: ledger.lift(key) for key in keys}
        part = free_part(ledger, old, random)
        before = as_assignments(old, part)
        found = run(part, piece, first=before)
        # The engine does not count what it takes to state a piece, which is about this much.
        spent += found.spent + STATING * len(keys)
        saved = _saved(part, before, found.assignments)
        new = {one.task: one for one in found.assignments} if saved >= 0 else {}
        for key, made in old.items():
            starts = ground.starts[key]
            if key in new:
                position = ground.axis.start_position(new[key].start)
                of = starts.class_at(position, new[key].crews)
                assert of is not None
                ledger.place(key, of, position)
            else:
                ledger.place(key, made.of, made.position)
        if found.status == "optimal":
            size = min(LARGEST, size + max(1, size // 7))
        else:
            size = max(SMALLEST, size - max(1, size // 10))
        yield Step(spent=spent, saved=max(0, saved), ledger=ledger)


def _saved(part: Ground, before: tuple[Assignment, ...], after: tuple[Assignment, ...]) -> int:
    """Dollars a piece saved, by the checker's sum; negative if there is no new plan."""
    if not after:
        return -1
    return cost_of(part.problem, before).total - cost_of(part.problem, after).total
