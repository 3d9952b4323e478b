"""How hard and how repeatably to search, as checked values."""

from dataclasses import dataclass

from jobs.domain.errors import CannotDo


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeatable:
    """One interleaved worker and a limit of counted work: equal problems give equal plans.

    Parameters
    ----------
    deterministic_seconds : float
        Work to spend, in the engine's own count [s], 0 to 3,600; one takes two to four seconds.
    seed : int
        Number that sets the engine's choices, >= 0.
    outer_seconds : float
        Emergency stop on the clock [s]; a plan cut off by it is recorded as patient, not repeatable.

    Raises
    ------
    CannotDo
        If a value is out of range.
    """

    deterministic_seconds: float = 6.0
    seed: int = 1
    outer_seconds: float = 900.0

    def __post_init__(self) -> None:
        _within("deterministic_seconds", self.deterministic_seconds, 0.0, 3600.0)
        _within("seed", self.seed, 0, 2**31 - 1)
        _within("outer_seconds", self.outer_seconds, 1.0, 86400.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Patient:
    """Several workers and a limit on the clock: better plans, not the same twice.

    Parameters
    ----------
    seconds : float
        Time to search [s], 0.1 to 86,400.
    workers : int
        Threads, 1 to 64; twice the cores is a good number.
    seed : int
        As for ``Repeatable``.

    Raises
    ------
    CannotDo
        If a value is out of range.
    """

    seconds: float
    workers: int = 4
    seed: int = 1

    def __post_init__(self) -> None:
        _within("seconds", self.seconds, 0.1, 86400.0)
        _within("workers", self.workers, 1, 64)
        _within("seed", self.seed, 0, 2**31 - 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class GreedyOnly:
    """No search: the best of the greedy rules, in well under a second."""


Parameters = Repeatable | Patient | GreedyOnly


def _within(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise CannotDo("solver.parameter", field=name, name=name, value=value, allowed=f"from {low:g} to {high:g}")
