"""Solves in a process of its own, with a hard limit, so that a search can be stopped within a second.

The engine looks at its clock only between chunks of work, and a crash of it takes its process along. Here that process
is another one: it is ended when time is up or when somebody cancels, and the best plan it sent until then, judged
again on this side, is the answer.
"""

import logging
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Thread
from time import monotonic

from jobs.domain.errors import CannotDo, OutsideFailure
from jobs.words import sentence_for
from planner.solver.apart.messages import Answered, Kept, Message, Question, Refused, read, write
from planner.solver.check import check, cost_of
from planner.solver.parameters import GreedyOnly, Parameters, Patient
from planner.solver.problem import Problem
from planner.solver.result import Assignment, Clash, Making, Result
from planner.solver.solve import OnProgress, Progress

logger = logging.getLogger(__name__)

ROOT = Path(__file__).resolve().parents[3]
CHILD = "planner.solver.apart.child"
# Seconds between two looks at who cancels and at the clock.
LOOK_SECONDS = 0.1
# What starting, stating the problem and judging may take beyond the search itself [s].
GRACE_SECONDS = 60.0
GREEDY_SECONDS = 120.0


def solve_apart(
    problem: Problem,
    parameters: Parameters,
    on_progress: OnProgress | None = None,
    cancelled: Callable[[], bool] | None = None,
    *,
    standing: tuple[Assignment, ...] | None = None,
    limit_seconds: float | None = None,
) -> Result:
    """Return what ``solve`` returns, or ``replan`` from a standing plan, from a process of its own.

    Parameters
    ----------
    problem : Problem
        What is asked.
    parameters : Repeatable, Patient or GreedyOnly
        How hard to search.
    on_progress : callable, optional
        Called, in this process, with each better plan found on the way.
    cancelled : callable, optional
        Asked ten times a second; once it says yes the process is ended.
    standing : tuple of Assignment, optional
        The plan to begin from; without one it is made afresh.
    limit_seconds : float, optional
        Hard limit on the clock [s]; from the parameters if not given.

    Returns
    -------
    Result
        Ended early: the best plan so far, recorded as patient, or ``no_plan`` with the clash that time was up.

    Raises
    ------
    CannotDo
        As ``solve``.
    OutsideFailure
        ``solver.process_ended`` if the process died before it had any plan.
    """
    limit = limit_seconds if limit_seconds is not None else limit_of(parameters)
    with _Process(Question(problem=problem, parameters=parameters, standing=standing)) as process:
        return _Listening(problem, process, on_progress, cancelled, limit).answer()


def limit_of(parameters: Parameters) -> float:
    """Return the hard limit [s] that goes with parameters."""
    if isinstance(parameters, GreedyOnly):
        return GREEDY_SECONDS
    seconds = parameters.seconds if isinstance(parameters, Patient) else parameters.outer_seconds
    return seconds + GRACE_SECONDS


class _Process:
    """The other process with a thread that reads what it writes; ended, whatever happens, on the way out."""

    def __init__(self, question: Question) -> None:
        self._question = question
        self.messages: SimpleQueue[Message | None] = SimpleQueue()

    def __enter__(self) -> "_Process":
        self._child = subprocess.Popen(
            [sys.executable, "-m", CHILD], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        Thread(target=self._talk, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self._child.kill()
        self._child.wait()
        for stream in (self._child.stdin, self._child.stdout):
            if stream is not None:
                # What was not read any more has nowhere to go once the process is over.
                with suppress(BrokenPipeError):
                    stream.close()

    def end(self) -> None:
        """End it at once."""
        self._child.kill()

    def exit_code(self) -> int:
        """Wait for it to be over."""
        return self._child.wait()

    def _talk(self) -> None:
        """Ask, then pass on what comes until the other side ends."""
        asked, said = self._child.stdin, self._child.stdout
        assert asked is not None
        assert said is not None
        try:
            write(asked, self._question)
            while (message := read(said)) is not None:
                self.messages.put(message)  # type: ignore[arg-type]
        except (OSError, ValueError) as failure:
            logger.info("the solving process ended while it was spoken to: %s", failure)
        self.messages.put(None)


class _Listening:
    """Waits for the answer of one process."""

    def __init__(
        self,
        problem: Problem,
        process: _Process,
        on_progress: OnProgress | None,
        cancelled: Callable[[], bool] | None,
        limit: float,
    ) -> None:
        self._problem = problem
        self._process = process
        self._on_progress = on_progress
        self._cancelled = cancelled
        self._began = monotonic()
        self._limit = limit
        self._kept: Kept | None = None

    def answer(self) -> Result:
        """What came of it."""
        while True:
            if self._is_stopped():
                self._process.end()
                return self._best_so_far() or self._out_of_time()
            try:
                message = self._process.messages.get(timeout=LOOK_SECONDS)
            except Empty:
                continue
            if isinstance(message, Answered):
                return message.result
            if isinstance(message, Refused):
                raise CannotDo(message.code, **{"field": message.field, **dict(message.facts)})  # type: ignore[arg-type]
            if isinstance(message, Kept):
                self._kept = message
            elif isinstance(message, Progress):
                if self._on_progress is not None:
                    self._on_progress(message)
            else:
                return self._after_a_crash()

    def _is_stopped(self) -> bool:
        return monotonic() - self._began > self._limit or (self._cancelled is not None and self._cancelled())

    def _best_so_far(self) -> Result | None:
        """The last plan that was sent, if the checker on this side passes it."""
        if self._kept is None or check(self._problem, self._kept.assignments):
            return None
        return Result(
            status="planned",
            assignments=self._kept.assignments,
            cost=cost_of(self._problem, self._kept.assignments),
            making=Making(
                mode="patient",
                engine="stopped early",
                rule=self._kept.rule,
                patience_seconds=round(monotonic() - self._began, 1),
            ),
        )

    def _out_of_time(self) -> Result:
        first = next((task.key for task in self._problem.tasks), "")
        says = " ".join(sentence_for("solver.stopped", {"field": "plan", "seconds": round(monotonic() - self._began)}))
        return Result(status="no_plan", clashes=(Clash(task=first, gate="stopped", says=says),))

    def _after_a_crash(self) -> Result:
        code = self._process.exit_code()
        logger.error("the solving process ended with code %s before it had answered", code)
        best = self._best_so_far()
        if best is None:
            raise OutsideFailure("solver.process_ended", field="plan", exit_code=code)
        return best
