"""Which measures to prepare: those that spare more than they cost, and those a guide asks for."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
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

# Near its limit each of these takes an answer whatever it spares: a guide asks for precautions at a rate of drying
# (aci_305), and nobody prices a crack by its chance.
ASKED_FOR: frozenset[Hazard] = frozenset({"drying"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Advised(Measure):
    """A measure with what it spares beside the others that are taken [dollars]."""

    spared_dollars: int

    @property
    def pays(self) -> bool:
        """Whether it spares at least its price."""
        return self.spared_dollars >= self.dollars


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Measures in the order of the data, their price [dollars], and what is left: chance [0..1], loss [dollars].

    ``left_out`` answer a hazard that is near and would spare less than they cost.
    """

    measures: tuple[Advised, ...]
    price_dollars: int
    chance_left: float
    loss_left_dollars: int
    left_out: tuple[Advised, ...] = ()

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
    """The cheapest set of measures, price and expected loss together, each of them worth its price or asked for.

    Parameters
    ----------
    measures : what the exposure's data offer.
    hazards : chance [0..1] of each.
    near : hazards whose limit is near: those of ``ASKED_FOR`` get an answer; for the others it is said what each
        answer would spare.
    loss_dollars : loss if hit.

    Returns
    -------
    Choice
        Of equal sets the one with fewer measures, then the first in the order of the data. Hours are shown, not
        priced: they are the crew's paid day.
    """
    taken, loss_left = _cheapest(measures, hazards, near & ASKED_FOR, loss_dollars)

    def advised(measure: Measure, *, without: Sequence[Measure], along: Sequence[Measure]) -> Advised:
        spared = _loss(hazards, without, loss_dollars) - _loss(hazards, along, loss_dollars)
        values = {one.name: getattr(measure, one.name) for one in fields(Measure)}
        return Advised(**values, spared_dollars=spared)

    rest = [measure for measure in measures if measure not in taken and near & frozenset(measure.answers)]
    return Choice(
        measures=tuple(
            advised(one, without=[other for other in taken if other is not one], along=taken) for one in taken
        ),
        price_dollars=sum(measure.dollars for measure in taken),
        chance_left=chance_left(hazards, taken),
        loss_left_dollars=loss_left,
        left_out=tuple(advised(one, without=taken, along=(*taken, one)) for one in rest),
    )


def _loss(hazards: Mapping[Hazard, float], taken: Iterable[Measure], loss_dollars: int) -> int:
    return expected_loss(chance_left(hazards, taken), loss_dollars)


def _cheapest(
    measures: Sequence[Measure], hazards: Mapping[Hazard, float], asked_for: frozenset[Hazard], loss_dollars: int
) -> tuple[tuple[Measure, ...], int]:
    """The set that costs least with the loss it leaves, and that loss [dollars]."""
    must = {hazard for hazard in asked_for if any(hazard in measure.answers for measure in measures)}
    best: tuple[Measure, ...] | None = None
    best_loss = best_dollars = 0
    for size in range(len(measures) + 1):
        for taken in combinations(measures, size):
            if must - {hazard for measure in taken for hazard in measure.answers}:
                continue
            loss = _loss(hazards, taken, loss_dollars)
            dollars = loss + sum(measure.dollars for measure in taken)
            if best is None or dollars < best_dollars:
                best, best_loss, best_dollars = taken, loss, dollars
    assert best is not None, "all measures together answer every hazard that has an answer"
    return best, best_loss
