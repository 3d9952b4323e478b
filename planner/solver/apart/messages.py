"""What goes over the pipes between a solving process and whoever started it: pickled values, each with its length."""

import pickle
import struct
from dataclasses import dataclass
from typing import IO

from planner.solver.parameters import Parameters
from planner.solver.problem import Problem
from planner.solver.result import Assignment, Result
from planner.solver.solve import Progress

HEAD = struct.Struct(">Q")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked; ``standing`` is the plan to begin from, ``None`` to plan afresh."""

    problem: Problem
    parameters: Parameters
    standing: tuple[Assignment, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A better plan on the way, in case the process does not come to its end."""

    assignments: tuple[Assignment, ...]
    rule: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """The result of a run that came to its end."""

    result: Result


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A problem or parameter refused: code, field and facts of the refusal."""

    code: str
    field: str
    facts: tuple[tuple[str, object], ...]


Message = Progress | Kept | Answered | Refused


def write(stream: IO[bytes], value: Question | Message) -> None:
    """Write one value and flush."""
    packed = pickle.dumps(value, protocol=pickle.HIGHEST_PROTOCOL)
    stream.write(HEAD.pack(len(packed)))
    stream.write(packed)
    stream.flush()


def read(stream: IO[bytes]) -> Question | Message | None:
    """Return the next value; None where the other side has ended, even in the middle of a value."""
    head = stream.read(HEAD.size)
    if len(head) < HEAD.size:
        return None
    (length,) = HEAD.unpack(head)
    packed = stream.read(length)
    if len(packed) < length:
        return None
    # Only our own process writes here.
    value: Question | Message = pickle.loads(packed)
    return value
