"""Coping pieces round a pool, and the concrete of the deck beyond them."""

from dataclasses import replace

from jobs.domain.order.faces import coping_line, deck_lines
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.taken import taken_off
from jobs.domain.units import ft2_from_m2, ft_from_m, m_from_ft, m_from_in, yd3_from_m3
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, feet_words, line
from planner.calculators.answering.pictures import PoolPlan
from planner.calculators.asking.designs import SHELL_SHAPE, design_of, pour_buying
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.shapes import shaped_basin_of
from planner.calculators.asking.sizes import (
    COPING,
    COPING_WIDTH,
    DECK_THICKNESS,
    DECK_WIDTH,
    POUR_PRICES,
    size,
)
from planner.calculators.asking.units import THICKNESS
from planner.calculators.calculator import Calculator

INPUTS = (
    *SHELL_SHAPE,
    COPING_WIDTH,
    size(
        "coping_piece",
        "Length of a coping unit",
        THICKNESS,
        m_from_in(4.0),
        m_from_ft(12.0),
        default="24 in",
        group=COPING,
    ),
    DECK_WIDTH,
    DECK_THICKNESS,
    *POUR_PRICES,
)


def compute(values: Values) -> Answer:
    """Coping units, deck area, concrete to order."""
    basin = shaped_basin_of(values)
    buying = replace(pour_buying(values), coping_piece_m=values.si("coping_piece"))
    coping, deck = values.si(COPING_WIDTH.name), values.si(DECK_WIDTH.name)
    design = design_of(basin, coping_width_m=coping, deck_width_m=deck, deck_m=values.si(DECK_THICKNESS.name))
    taken = taken_off(design, finish="plaster", buying=buying, say=sold_in_us)
    units, pours = coping_line(taken), tuple(deck_lines(taken))
    ordered = sum(one.bought_quantity for one in pours)
    return Answer(
        says=(
            f"Order {units.bought_quantity:.0f} coping units of {feet_words(buying.coping_piece_m)}"
            f"{f' and {amount(yd3_from_m3(ordered), 2)} yd³ for the deck' if pours else ''}."
        ),
        lines=(
            line("Coping units", units.bought_quantity, "", also=f"{feet_words(buying.coping_piece_m)} each"),
            line("Middle of the coping, all round", ft_from_m(taken.amounts["coping_m"]), "ft", 1),
            line("Outer edge of the coping", ft_from_m(basin.offset_length_m(coping)), "ft", 1),
            line(
                "Deck", ft2_from_m2(taken.amounts["deck_m2"]), "ft²", also=f"{amount(taken.amounts['deck_m2'], 1)} m²"
            ),
            line("Deck concrete in place", yd3_from_m3(taken.nets.deck_m3), "yd³", 2),
            line("Deck concrete to order", yd3_from_m3(ordered), "yd³", 2, also=f"{amount(ordered, 2)} m³"),
            line("Outer edge of the deck", ft_from_m(basin.offset_length_m(coping + deck)), "ft", 1),
        ),
        formula=(
            "Coping = the water line moved out by half the coping, with square corners: for a rectangle 2 × (length +"
            " width) + 4 × coping width. Units = coping / a unit, rounded up.",
            "Deck = inside of its outer edge − inside of the coping's; concrete = deck × thickness.",
            "Order = mean use + z × its standard deviation, where the chance of enough is short / (short + waste);"
            " never below the drawing, rounded up to the quarter yard.",
        ),
        sources=(
            f"Sizes, waste and prices: {COMMON_PRACTICE}",
            "Over-order: the newsvendor rule of any textbook of operations research",
        ),
        cautions=(
            "Corners are cut from straight units; for units with a radius, bullnose corners or a depth mark add each by"
            " itself, and some to match later.",
            "The deck falls away from the pool, its joints are planned before the pour, and its steel and the water are"
            " bonded as the electrical code says, by a licensed electrician.",
            "Cutting coping dry makes dust that scars lungs: cut wet, or with suction and a mask.",
            DEFERS,
        ),
        pictures=(
            PoolPlan(
                title="Coping and deck from above",
                basin=basin,
                rings=(("Coping", coping), *((("Deck", coping + deck),) if deck else ())),
            ),
        ),
        order=(units, *pours),
    )


CALCULATOR = Calculator(
    name="deck",
    title="Coping and deck",
    question="How many coping pieces, and how much deck?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
