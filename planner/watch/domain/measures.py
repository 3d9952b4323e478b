"""Which measures to prepare: those that spare more than they cost, and those a guide asks for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

from jobs.domain.exposure import Hazard, Measure
from planner.forecast.domain.limits.measures import Suffices, chance_left, cheapest_set, hazards_of, loss_left

__all__ = ["Advised", "Choice", "chance_left", "cheapest_choice", "choose", "hazards_of"]

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


def choose(
    measures: Sequence[Measure], *, hazards: Mapping[Hazard, float], near: frozenset[Hazard], loss_dollars: int
) -> Choice:
    """The cheapest set of measures, each of them worth its price or asked for: ``cheapest_choice`` of any set."""
    found = cheapest_choice(measures, hazards=hazards, near=near, loss_dollars=loss_dollars, suffices=lambda _: True)
    assert found is not None, "all measures together answer every hazard that has an answer"
    return found


def cheapest_choice(
    measures: Sequence[Measure],
    *,
    hazards: Mapping[Hazard, float],
    near: frozenset[Hazard],
    loss_dollars: int,
    suffices: Suffices,
) -> Choice | None:
    """The cheapest set of measures, price and expected loss together, each of them worth its price or asked for.

    Parameters
    ----------
    measures : what the exposure's data offer.
    hazards : chance [0..1] of each.
    near : hazards whose limit is near: those of ``ASKED_FOR`` get an answer; for the others it is said what each
        answer would spare.
    loss_dollars : loss if hit.
    suffices : which sets may be taken at all.

    Returns
    -------
    Choice or None
        Of equal sets the one with fewer measures, then the first in the order of the data; ``None`` where none
        suffices. Hours are shown, not priced: they are the crew's paid day.
    """
    asked_for = near & ASKED_FOR & {hazard for measure in measures for hazard in measure.answers}

    def may_be_taken(taken: tuple[Measure, ...]) -> bool:
        return suffices(taken) and not asked_for - {hazard for measure in taken for hazard in measure.answers}

    found = cheapest_set(measures, hazards, loss_dollars, suffices=may_be_taken)
    if found is None:
        return None
    taken, left_dollars = found

    def advised(measure: Measure, *, without: Sequence[Measure], along: Sequence[Measure]) -> Advised:
        spared = loss_left(hazards, without, loss_dollars) - loss_left(hazards, along, loss_dollars)
        values = {one.name: getattr(measure, one.name) for one in fields(Measure)}
        return Advised(**values, spared_dollars=spared)

    rest = [measure for measure in measures if measure not in taken and near & frozenset(measure.answers)]
    return Choice(
        measures=tuple(
            advised(one, without=[other for other in taken if other is not one], along=taken) for one in taken
        ),
        price_dollars=sum(measure.dollars for measure in taken),
        chance_left=chance_left(hazards, taken),
        loss_left_dollars=left_dollars,
        left_out=tuple(advised(one, without=taken, along=(*taken, one)) for one in rest),
    )
