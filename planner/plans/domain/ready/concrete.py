"""What is poured in a task, as the formulas of strength need it: how it follows the air, and how fast it gains."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from jobs.domain.design import PoolDesign
from jobs.domain.facts import TaskFacts
from jobs.science.concrete_temperature import Member, insulated_wall, slab
from jobs.science.maturity import RateLaw
from jobs.science.strength import DEFAULT_RATE, EUROPEAN_LAWS, CementClass, StrengthLaw

# Where a job has no design: ordinary sizes, cement and strength; common practice, no source.
USUAL_SLAB_M, USUAL_CORE_M, USUAL_SHELL_M = 0.102, 0.152, 0.15
USUAL_CEMENT: CementClass = "N"
USUAL_MPA = 28.0

# The deck is a slab like the floor. A sprayed or one-piece shell is reckoned as its bare floor, which cools first.
MEMBERS: Mapping[str, Callable[[PoolDesign | None], Member]] = {
    "slab_pour": lambda pool: slab(pool.slab_m if pool is not None else USUAL_SLAB_M),
    "deck_pour": lambda pool: slab(USUAL_SLAB_M),
    "wall_pour": lambda pool: insulated_wall(pool.core_m if pool is not None else USUAL_CORE_M),
    "shell_pour": lambda pool: slab(USUAL_SHELL_M),
    "spray_pour": lambda pool: slab(USUAL_SHELL_M),
}

SECTIONS_M: Mapping[str, float] = {"wall_pour": USUAL_CORE_M, "shell_pour": USUAL_SHELL_M, "spray_pour": USUAL_SHELL_M}


@dataclass(frozen=True, slots=True, kw_only=True)
class Curing:
    """How a branch reckons strength.

    Attributes
    ----------
    rate : what an hour at a temperature is worth; the default counts cold hours least.
    member : how every pour follows the air, in place of what its own sizes give.
    """

    rate: RateLaw = DEFAULT_RATE
    member: Member | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Poured:
    """The concrete of one task: ``specified_mpa`` is its 28-day strength."""

    member: Member
    law: StrengthLaw
    rate: RateLaw
    specified_mpa: float = USUAL_MPA


def poured_in(task: TaskFacts, pool: PoolDesign | None, curing: Curing) -> Poured | None:
    """The concrete of a task; ``None`` for work that pours none.

    Raises
    ------
    OutsideValidRange
        A thickness outside the temperature model.
    """
    if task.exposure not in MEMBERS:
        return None
    return Poured(
        member=curing.member or MEMBERS[task.exposure](pool),
        law=EUROPEAN_LAWS[pool.cement if pool is not None else USUAL_CEMENT],
        rate=curing.rate,
        specified_mpa=pool.concrete_mpa if pool is not None else USUAL_MPA,
    )


def section_m(task: TaskFacts, pool: PoolDesign | None) -> float:
    """Least section of what a task pours [m]."""
    if task.exposure == "slab_pour" and pool is not None:
        return pool.slab_m
    if task.exposure == "wall_pour" and pool is not None:
        return pool.core_m
    return SECTIONS_M.get(task.exposure, USUAL_SLAB_M)
