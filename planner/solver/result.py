"""What the solver answers, as plain frozen values. No plan possible is an answer, never an exception."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Assignment:
    """When a task runs [elapsed minutes since the problem's origin] and which crews do it."""

    task: str
    start: int
    end: int
    crews: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Whole dollars by term; the checker sums the same integers."""

    late: int = 0
    weather: int = 0
    crews: int = 0
    open_days: int = 0
    moves: int = 0
    prepare: int = 0
    paid: int = 0

    @property
    def total(self) -> int:
        return self.late + self.weather + self.crews + self.open_days + self.moves + self.prepare + self.paid


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """A requirement that cannot be met: the task, the gate that shuts it, and a sentence with the remedy."""

    task: str
    gate: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """How a plan was made, kept with it."""

    mode: Literal["repeatable", "patient", "greedy"]
    engine: str
    rule: str
    deterministic_seconds: float = 0.0
    patience_seconds: float = 0.0
    bound: int | None = None
    proven: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A plan, or the reasons why there is none."""

    status: Literal["planned", "no_plan"]
    assignments: tuple[Assignment, ...] = ()
    cost: Cost = Cost()
    clashes: tuple[Clash, ...] = ()
    making: Making | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """A rule a plan breaks, found by the checker."""

    rule: str
    task: str
    says: str
