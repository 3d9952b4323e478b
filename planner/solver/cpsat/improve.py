"""Makes a plan better piece by piece: sets a neighbourhood free, solves it, keeps what is no worse.

Large-neighbourhood search around the one model. Each piece is small enough for the engine to finish, so a branch
of forty pools improves from the first second; with one worker and counted work the plan is repeatable.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random

from planner.solver.check import cost_of
from planner.solver.cpsat.engine import Effort, Found, run
from planner.solver.cpsat.neighbourhoods import NOWHERE, Around, Neighbourhoods
from planner.solver.cpsat.part import as_assignments, free_part
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Placement, laid_out
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Tasks set free, where they lay, and the problem they make."""

    old: dict[str, Placement]
    part: Ground
    before: tuple[Assignment, ...]


class Improving:
    """A plan, and the pieces drawn from it.

    Parameters
    ----------
    ground : Ground
        The problem.
    plan : tuple of Assignment
        A whole plan that keeps every rule.
    seed : int
        Sets which pieces are drawn.
    around : Around
        Tasks that pieces shall rather be drawn around.
    """

    def __init__(self, ground: Ground, plan: tuple[Assignment, ...], seed: int, around: Around) -> None:
        self.ledger = laid_out(ground, plan, holds_on=False)
        self._ground = ground
        self._random = Random(seed)
        self._neighbourhoods = Neighbourhoods(ground, self._random, around)
        self._size = FIRST
        self._spent = 0.0

    def draw(self, taken: frozenset[str] = frozenset()) -> Piece:
        """Return a piece of tasks that are not taken; the plan stays as it is."""
        keys = [key for key in self._neighbourhoods.draw(self.ledger, self._size) if key not in taken]
        old = {key: self.ledger.lift(key) for key in keys}
        part = free_part(self.ledger, old, self._random)
        for key, made in old.items():
            self.ledger.place(key, made.of, made.position)
        return Piece(old=old, part=part, before=as_assignments(old, part))

    def settle(self, piece: Piece, found: Found) -> Step:
        """Take what was found where it costs no more and still fits, and learn how large a piece may be."""
        # The engine does not count what it takes to state a piece, which is about this much.
        self._spent += found.spent + STATING * len(piece.old)
        saved = _saved(piece, found.assignments)
        taken = saved >= 0 and self._moved(piece, found.assignments)
        if found.status == "optimal":
            self._size = min(LARGEST, self._size + max(1, self._size // 7))
        else:
            self._size = max(SMALLEST, self._size - max(1, self._size // 10))
        return Step(spent=self._spent, saved=saved if taken else 0, ledger=self.ledger)

    def _moved(self, piece: Piece, after: tuple[Assignment, ...]) -> bool:
        """Lay the piece down anew; leave it where it lay if another piece was laid in its way meanwhile."""
        new = sorted((one for one in after if one.task in piece.old), key=lambda one: (one.start, one.task))
        if not self._still_counts(piece):
            return False
        for key in piece.old:
            self.ledger.lift(key)
        laid: list[str] = []
        for one in new:
            position = self._ground.axis.start_position(one.start)
            options = self.ledger.options(one.task, self.ledger.room(one.task))
            starts = self._ground.starts[one.task]
            of = next(
                (
                    of
                    for of, mask in options
                    if of.crews == one.crews
                    and mask >> position & 1
                    and starts.end_minute(self._ground.axis, position, of) == one.end
                ),
                None,
            )
            if of is None:
                break
            self.ledger.place(one.task, of, position)
            laid.append(one.task)
        if len(laid) == len(new):
            return True
        for key in laid:
            self.ledger.lift(key)
        for key, made in piece.old.items():
            self.ledger.place(key, made.of, made.position)
        return False

    def _still_counts(self, piece: Piece) -> bool:
        """Whether what is fixed in the piece's counts of open days lies where it lay."""
        named = {key for term in piece.part.problem.open_days for key in (term.from_task, term.until_task)}
        return all(
            (self.ledger.placed[one.task].start, self.ledger.placed[one.task].end) == (one.start, one.end)
            for one in piece.before
            if one.task in named and one.task not in piece.old
        )


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
    improving = Improving(ground, plan, seed, around)
    spent = 0.0
    while not is_over(spent):
        drawn = improving.draw()
        step = improving.settle(drawn, run(drawn.part, piece, first=drawn.before))
        spent = step.spent
        yield step


def _saved(piece: Piece, after: tuple[Assignment, ...]) -> int:
    """Dollars a piece saved, by the checker's sum; negative if there is no new plan."""
    if not after:
        return -1
    problem = piece.part.problem
    return cost_of(problem, piece.before).total - cost_of(problem, after).total
