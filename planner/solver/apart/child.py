"""The solving process: reads one question, writes progress and one answer, and ends.

python -m planner.solver.apart.child
"""

import os
import sys
from typing import IO

from jobs.domain.errors import CannotDo
from planner.solver.apart.messages import Answered, Kept, Question, Refused, read, write
from planner.solver.solve import solve


def answer(asked: IO[bytes], to: IO[bytes]) -> None:
    """Solve the question that is read, and write what comes of it."""
    question = read(asked)
    if not isinstance(question, Question):
        return
    try:
        result = solve(
            question.problem,
            question.parameters,
            on_progress=lambda progress: write(to, progress),
            keep=lambda assignments, rule: write(to, Kept(assignments=assignments, rule=rule)),
        )
    except CannotDo as refusal:
        write(to, Refused(code=refusal.code, field=refusal.field, facts=tuple(refusal.facts.items())))
    else:
        write(to, Answered(result=result))


def main() -> None:
    """Answer on standard output, which nobody else may write to."""
    to = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    answer(sys.stdin.buffer, to)


if __name__ == "__main__":
    main()
