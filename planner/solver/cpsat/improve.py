"""Makes a plan better piece by piece: sets a neighbourhood free, solves it, keeps what is no worse.

Large-neighbourhood search around the one model. Each piece is small enough for the engine to finish, so a branch
of forty pools improves from the first second; with one worker and counted work the plan is repeatable.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from random import Random

from planner.solver.check import cost_of
from planner.solver.cpsat.chances import Chances
from planner.solver.cpsat.engine import Effort, Found, run
from planner.solver.cpsat.neighbourhoods import NOWHERE, Around, Drawn, Neighbourhoods
from planner.solver.cpsat.part import as_assignments, free_part
from planner.solver.laying.ground import Ground
from planner.solver.laying.ledger import Ledger, Placement, laid_out
from planner.solver.result import Assignment

# Tasks set free at once, the first while nothing is known: learnt by how far the engine gets with them.
SMALLEST, FIRST, LARGEST = 12, 40, 60
# Once so many pieces and one more for so many tasks in all have saved nothing, pieces grow beyond that, up to a most.
QUIET, QUIET_TASKS, GROWTH, MOST = 8, 40, 1.5, 200
# Pieces are as large as they may be, or larger by so much with more work each.
EXTENTS = (0.6, 1.0, 1.6)
# No task moves further than so many days in one piece: mostly a little, now and then a lot.
REACHES = (4, 6, 10, 25)
STATING = 0.0005
# What a piece takes on the clock for each counted second, and for each task in it [s]: what is learnt by.
CLOCK, CLOCK_TASK = 5.0, 0.0006


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
    """Tasks set free, where they lay, the problem they make, and how they were drawn."""

    old: dict[str, Placement]
    part: Ground
    before: tuple[Assignment, ...]
    drawn: Drawn
    extent: float
    reach: int

    def effort(self, usual: Effort) -> Effort:
        """Return the effort a piece of this size is worth, from that of a small one: more than in proportion."""
        return replace(usual, counted_seconds=usual.counted_seconds * max(1.0, len(self.old) / LARGEST) ** 2)


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
        self._most = float(LARGEST)
        self._quiet = 0
        self._patience = QUIET + sum(one.task.pin is None for one in ground.starts.values()) // QUIET_TASKS
        self._extents = Chances(EXTENTS, self._random)
        self._reaches = Chances(REACHES, self._random)
        self._spent = 0.0

    def draw(self, taken: frozenset[str] = frozenset()) -> Piece:
        """Return a piece of tasks that are not taken; the plan stays as it is."""
        extent, reach = self._extents.draw(), self._reaches.draw()
        drawn = self._neighbourhoods.draw(self.ledger, round(self._size * extent))
        old = {key: self.ledger.lift(key) for key in drawn.tasks if key not in taken}
        part = free_part(self.ledger, old, self._random, max(drawn.reach, reach * self._ground.axis.units))
        for key, made in old.items():
            self.ledger.place(key, made.of, made.position)
        return Piece(old=old, part=part, before=as_assignments(old, part), drawn=drawn, extent=extent, reach=reach)

    def settle(self, piece: Piece, found: Found) -> Step:
        """Take what was found where it costs no more and still fits, and learn which pieces pay."""
        # The engine does not count what it takes to state a piece, which is about this much.
        self._spent += found.spent + STATING * len(piece.old)
        work = CLOCK * found.spent + CLOCK_TASK * len(piece.old)
        saved = _saved(piece, found.assignments)
        taken = saved >= 0 and self._moved(piece, found.assignments)
        self._neighbourhoods.learn(piece.drawn, saved, work)
        self._extents.learn(piece.extent, saved, work)
        self._reaches.learn(piece.reach, saved, work)
        self._resize(is_finished=found.status == "optimal", is_better=saved > 0)
        return Step(spent=self._spent, saved=saved if taken else 0, ledger=self.ledger)

    def _resize(self, *, is_finished: bool, is_better: bool) -> None:
        """Larger pieces while the engine finishes them; larger still where nothing is found in such any more."""
        self._quiet = 0 if is_better else self._quiet + 1
        if self._quiet >= self._patience:
            self._quiet = 0
            self._most = min(float(MOST), self._most * GROWTH)
        if is_finished:
            self._size = min(int(self._most), self._size + max(1, self._size // 7))
        else:
            self._size = max(SMALLEST, self._size - max(1, self._size // 10))

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
        step = improving.settle(drawn, run(drawn.part, drawn.effort(piece), first=drawn.before))
        spent = step.spent
        yield step


def _saved(piece: Piece, after: tuple[Assignment, ...]) -> int:
    """Dollars a piece saved, by the checker's sum; negative if there is no new plan."""
    if not after:
        return -1
    problem = piece.part.problem
    return cost_of(problem, piece.before).total - cost_of(problem, after).total
