"""Every calculator by its name."""

from collections.abc import Mapping

from jobs.domain.errors import CannotDo
from planner.calculators.buying import deck, forms, gravel, liner, over_order, pipe, plaster
from planner.calculators.calculator import Calculator
from planner.calculators.concrete import (
    cold,
    evaporation,
    keeping_warm,
    maturity,
    mixture,
    order,
    pour_rate,
    setting,
    steel,
    strength,
    wall_pour,
)
from planner.calculators.ground import spoil, uplift
from planner.calculators.water import fill, ph, pool, salt, saturation
from planner.calculators.weather import drying, heat, measures

# The water first, then the concrete, what is bought, then the weather and the people: the order of the list.
CALCULATORS: Mapping[str, Calculator] = {
    module.CALCULATOR.name: module.CALCULATOR
    for module in (
        fill,
        pool,
        salt,
        ph,
        saturation,
        pour_rate,
        wall_pour,
        strength,
        maturity,
        setting,
        evaporation,
        cold,
        mixture,
        keeping_warm,
        order,
        over_order,
        forms,
        steel,
        gravel,
        spoil,
        pipe,
        liner,
        plaster,
        deck,
        drying,
        uplift,
        measures,
        heat,
    )
}


def calculator(name: str) -> Calculator:
    """The calculator of a name.

    Raises
    ------
    CannotDo
        ``calculator.unknown``.

    Examples
    --------
    >>> calculator("pour-rate").title
    'Pour rate'
    """
    found = CALCULATORS.get(name)
    if found is None:
        raise CannotDo("calculator.unknown", field="name", given=name, known=", ".join(CALCULATORS))
    return found
