"""Several pieces of one plan solved at the same time, each in a thread: the engine works outside the interpreter.

One thread draws and settles; the others only solve. Pieces share no task. What two of them both wanted, a crew or the
last brace set, goes to the one finished first; the other is given up. Which that is depends on the clock, so nothing
here is repeatable.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait

from planner.solver.cpsat.engine import Effort, Found, Stop, run
from planner.solver.cpsat.improve import SMALLEST, Improving, Piece, Step
from planner.solver.cpsat.neighbourhoods import NOWHERE, Around
from planner.solver.laying.ground import Ground
from planner.solver.result import Assignment


def improve_together(
    ground: Ground,
    plan: tuple[Assignment, ...],
    piece: Effort,
    seed: int,
    is_over: Callable[[float], bool],
    around: Around = NOWHERE,
    *,
    hands: int,
) -> Iterator[Step]:
    """Yield one step for each piece until ``is_over`` says so of the work spent; then end those still at work.

    Parameters
    ----------
    ground, plan, piece, seed, is_over, around
        As for ``improve``.
    hands : int
        Pieces at work at one time, >= 1.
    """
    improving = Improving(ground, plan, seed, around)
    at_work = _AtWork(piece, hands)
    spent = 0.0
    try:
        while not is_over(spent):
            while len(at_work.pieces) < hands:
                drawn = improving.draw(at_work.taken())
                if at_work.pieces and len(drawn.old) < SMALLEST:
                    break
                at_work.begin(drawn)
            for drawn, found in at_work.finished():
                step = improving.settle(drawn, found)
                spent = step.spent
                yield step
    finally:
        at_work.end()


class _AtWork:
    """The pieces being solved."""

    def __init__(self, effort: Effort, hands: int) -> None:
        self._effort = effort
        self._threads = ThreadPoolExecutor(hands, thread_name_prefix="piece")
        self._stops: dict[Future[Found], Stop] = {}
        self.pieces: dict[Future[Found], Piece] = {}

    def taken(self) -> frozenset[str]:
        return frozenset(key for piece in self.pieces.values() for key in piece.old)

    def begin(self, piece: Piece) -> None:
        stop = Stop()
        future = self._threads.submit(run, piece.part, piece.effort(self._effort), first=piece.before, stop=stop)
        self.pieces[future], self._stops[future] = piece, stop

    def finished(self) -> list[tuple[Piece, Found]]:
        """Wait for a piece and return those solved, with what was found; a failure of theirs is raised here."""
        done, _ = wait(self.pieces, return_when=FIRST_COMPLETED)
        # In the order in which they were begun.
        futures = [future for future in self.pieces if future in done]
        for future in futures:
            del self._stops[future]
        return [(self.pieces.pop(future), future.result()) for future in futures]

    def end(self) -> None:
        for stop in self._stops.values():
            stop.now()
        self._threads.shutdown(cancel_futures=True)
