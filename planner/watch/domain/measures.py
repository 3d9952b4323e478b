"""Which measures to prepare: those that answer a limit that is near, and those that pay for themselves."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from jobs.domain.exposure import Hazard, Measure
from planner.forecast.domain.chance import any_of
from planner.forecast.domain.judgement import StartJudgement, expected_loss

# A part's limit and what it is a part of; the rest is one storm: rain on the work, in the ground, thunder.
HAZARD_OF_LIMIT: Mapping[str, Hazard] = {
    "air_min_c": "cold",
    "air_max_c": "heat",
    "wind_max_m_s": "wind",
    "gust_max_m_s": "wind",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Measures in the order of the data, their price [dollars], and what is left: chance [0..1], loss [dollars]."""

    measures: tuple[Measure, ...]
    price_dollars: int
    chance_left: float
    loss_left_dollars: int

    @property
    def dollars(self) -> int:
        """Price and expected loss together."""
        return self.price_dollars + self.loss_left_dollars


def hazards_of(judgement: StartJudgement) -> dict[Hazard, float]:
    """Chance [0..1] of each hazard; the chance that any comes is the judgement's ``chance_hit``.

    Levels are their own; rain gets what they leave, ``1 - (1 - chance_hit) / product(1 - level)``.
    """
    levels: dict[Hazard, float] = {}
    for part in judgement.parts:
        hazard = HAZARD_OF_LIMIT.get(part.limit)
        if hazard is not None and part.chance > 0:
            levels[hazard] = any_of([levels.get(hazard, 0.0), part.chance])
    none = 1.0 - any_of(list(levels.values()))
    if none > 0:
        rain = 1.0 - (1.0 - judgement.chance_hit) / none
    else:
        rain = max((part.chance for part in judgement.parts if part.limit not in HAZARD_OF_LIMIT), default=0.0)
    return {"rain": min(1.0, max(0.0, rain)), **levels}


def chance_left(hazards: Mapping[Hazard, float], measures: Iterable[Measure]) -> float:
    """Chance that something still hits: ``1 - product(1 - p (1 - spared))`` over the hazards.

    What several measures spare of one hazard is ``1 - product(1 - spares)``.
    """
    taken = tuple(measures)
    return any_of(
        [
            chance * (1.0 - any_of([measure.spares for measure in taken if hazard in measure.answers]))
            for hazard, chance in hazards.items()
        ]
    )


def choose(
    measures: Sequence[Measure], *, hazards: Mapping[Hazard, float], near: frozenset[Hazard], loss_dollars: int
) -> Choice:
    """The cheapest set of measures, price and expected loss together.

    Parameters
    ----------
    measures : what the exposure's data offer.
    hazards : chance [0..1] of each.
    near : hazards whose limit is near: each that has an answer gets one.
    loss_dollars : loss if hit.

    Returns
    -------
    Choice
        Of equal sets the one with fewer measures, then the first in the order of the data. Hours are shown, not
        priced: they are the crew's paid day.
    """
    must = {hazard for hazard in near if any(hazard in measure.answers for measure in measures)}
    best: Choice | None = None
    for size in range(len(measures) + 1):
        for taken in combinations(measures, size):
            if must - {hazard for measure in taken for hazard in measure.answers}:
                continue
            left = chance_left(hazards, taken)
            choice = Choice(
                measures=taken,
                price_dollars=sum(measure.dollars for measure in taken),
                chance_left=left,
                loss_left_dollars=expected_loss(left, loss_dollars),
            )
            if best is None or choice.dollars < best.dollars:
                best = choice
    assert best is not None, "all measures together answer every hazard that has an answer"
    return best
