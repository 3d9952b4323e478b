"""The solving process: reads one question, writes progress and one answer, and ends.

python -m planner.solver.apart.child
"""

import os
import sys
from threading import Thread
from typing import IO

from jobs.domain.errors import CannotDo
from planner.solver.apart.messages import Answered, Kept, Question, Refused, read, write
from planner.solver.replan import replan
from planner.solver.result import Assignment
from planner.solver.solve import Progress, solve


def answer(question: Question, to: IO[bytes]) -> None:
    """Solve a question, and write what comes of it."""

    def tell(progress: Progress) -> None:
        write(to, progress)

    def keep(assignments: tuple[Assignment, ...], rule: str) -> None:
        write(to, Kept(assignments=assignments, rule=rule))

    problem, parameters, standing = question.problem, question.parameters, question.standing
    try:
        if standing is None:
            result = solve(problem, parameters, on_progress=tell, keep=keep)
        else:
            result = replan(problem, standing, frozenset(), parameters, on_progress=tell, keep=keep).result
    except CannotDo as refusal:
        write(to, Refused(code=refusal.code, field=refusal.field, facts=tuple(refusal.facts.items())))
    else:
        write(to, Answered(result=result))


def main() -> None:
    """Answer on standard output, which nobody else may write to."""
    to = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    question = read(sys.stdin.buffer)
    if isinstance(question, Question):
        Thread(target=_end_with_whoever_asked, daemon=True).start()
        answer(question, to)


def _end_with_whoever_asked() -> None:
    """A process that was killed cannot end this one; but its end of the pipe closes."""
    os.read(sys.stdin.fileno(), 1)
    os._exit(1)


if __name__ == "__main__":
    main()
