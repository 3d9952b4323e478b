"""What measures make of a start's risks: the chance left, the cheapest set of them, and what they allow."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import combinations

from jobs.domain.exposure import Exposure, Hazard, Measure
from planner.forecast.domain.chance import any_of
from planner.forecast.domain.judgement import StartJudgement, expected_loss
from planner.forecast.domain.limits.risk import HalfDayRisk

Suffices = Callable[[tuple[Measure, ...]], bool]

# A part's limit and what it is a part of; the rest is one storm: rain on the work, in the ground, thunder.
HAZARD_OF_LIMIT: Mapping[str, Hazard] = {
    "air_min_c": "cold",
    "air_max_c": "heat",
    "wind_max_m_s": "wind",
    "gust_max_m_s": "wind",
}

# Limits of the concrete that heating and cooling answer. Wind and thunder are limits of people; what rain has done to
# the ground is done; and under rain that is as good as sure nobody pours, however it is covered.
CAN_BE_LIFTED = frozenset({"air_min_c", "air_max_c"})
# What is prepared must leave a broken limit less likely to hurt than not. Common practice, no source.
LIFTED_BELOW = 0.5


def hazards_of(judgement: StartJudgement) -> dict[Hazard, float]:
    """Chance [0..1] of each hazard; the chance that any comes is the judgement's ``chance_hit``."""
    levels: dict[Hazard, float] = {}
    for part in judgement.parts:
        hazard = HAZARD_OF_LIMIT.get(part.limit)
        if hazard is not None and part.chance > 0:
            levels[hazard] = any_of([levels.get(hazard, 0.0), part.chance])
    return {"rain": judgement.storm_chance, **levels}


def chance_left(hazards: Mapping[Hazard, float], measures: Iterable[Measure]) -> float:
    """Chance that something still hits: ``1 - product(1 - p (1 - spared))`` over the hazards.

    What several measures spare of one hazard is ``1 - product(1 - spares)``.
    """
    taken = tuple(measures)
    return any_of([_left(hazard, chance, taken) for hazard, chance in hazards.items()])


def loss_left(hazards: Mapping[Hazard, float], measures: Iterable[Measure], loss_dollars: int) -> int:
    """Expected loss that measures leave [dollars]."""
    return expected_loss(chance_left(hazards, measures), loss_dollars)


def cheapest_set(
    measures: Sequence[Measure], hazards: Mapping[Hazard, float], loss_dollars: int, *, suffices: Suffices
) -> tuple[tuple[Measure, ...], int] | None:
    """The set that costs least with the loss it leaves, and that loss [dollars].

    Parameters
    ----------
    suffices : which sets may be taken at all.

    Returns
    -------
    tuple or None
        Of equal sets the one with fewer measures, then the first in the order given; ``None`` where none suffices.
    """
    best: tuple[tuple[Measure, ...], int] | None = None
    best_dollars = 0
    for size in range(len(measures) + 1):
        for taken in combinations(measures, size):
            if not suffices(taken):
                continue
            loss = loss_left(hazards, taken, loss_dollars)
            dollars = loss + sum(measure.dollars for measure in taken)
            if best is None or dollars < best_dollars:
                best, best_dollars = (taken, loss), dollars
    return best


def allows(
    exposure: Exposure, judgement: StartJudgement, hazards: Mapping[Hazard, float], measures: Sequence[Measure]
) -> bool:
    """Whether a start that is forbidden as it is may be taken with what is prepared.

    Only cold and heat can be answered: what is left of each must be less likely to hurt than ``LIFTED_BELOW``.
    """
    broken = {part.limit for part in judgement.parts if part.forbids}
    if not broken or broken - CAN_BE_LIFTED or hazards.get("rain", 0.0) >= exposure.forbid_chance:
        return False
    return all(
        _left(hazard, hazards.get(hazard, 1.0), measures) < LIFTED_BELOW
        for hazard in (HAZARD_OF_LIMIT[limit] for limit in broken)
    )


def lifted_limits(measures: Sequence[Measure]) -> frozenset[str]:
    """Limits that measures answer well enough, however sure they are to be broken."""
    return frozenset(limit for limit in CAN_BE_LIFTED if _left(HAZARD_OF_LIMIT[limit], 1.0, measures) < LIFTED_BELOW)


def left_of(risk: HalfDayRisk, measures: Sequence[Measure]) -> HalfDayRisk:
    """What a half-day may still do to work that measures are prepared for: each chance less what they spare of it.

    A half-day is cold or hot, not both, and what is prepared answers the one that comes.
    """
    air = min(_left("cold", risk.air, measures), _left("heat", risk.air, measures))
    return risk._replace(storm=_left("rain", risk.storm, measures), wind=_left("wind", risk.wind, measures), air=air)


def _left(hazard: Hazard, chance: float, measures: Sequence[Measure]) -> float:
    return chance * (1.0 - any_of([measure.spares for measure in measures if hazard in measure.answers]))
