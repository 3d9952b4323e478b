"""Every calculator by its name."""

from collections.abc import Mapping

from jobs.domain.errors import CannotDo
from planner.calculators.buying import deck, forms, gravel, liner, over_order, pipe, plaster, whole
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

# The order of the list, under its headings.
ABOUT: Mapping[str, tuple[Calculator, ...]] = {
    title: tuple(module.CALCULATOR for module in modules)
    for title, modules in (
        ("Water", (fill, pool, salt, ph, saturation)),
        ("Concrete", (pour_rate, wall_pour, strength, maturity, setting, evaporation, cold, mixture, keeping_warm)),
        ("What is bought", (whole, order, over_order, forms, steel, gravel, spoil, pipe, liner, plaster, deck)),
        ("Weather, ground and people", (drying, uplift, measures, heat)),
    )
}
CALCULATORS: Mapping[str, Calculator] = {one.name: one for found in ABOUT.values() for one in found}


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
