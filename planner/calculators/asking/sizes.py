"""Sizes and prices an office buys by: asked for in the crew's units, each with a usual value."""

from jobs.domain.units import m_from_ft, m_from_in
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.asking.inputs import Ask, When
from planner.calculators.asking.units import DOLLARS, LENGTH, PERCENT, THICKNESS, Kind

WALL, FORMS, BRACES, COPING, DECK = "Wall", "Forms", "Braces", "Coping", "Deck"
SHEETS, TILE, PRICES = "Laps and sheets", "Tile at the water line", "Over-order, from your own prices"
# Sizes an office changes once in a while: their heading is enough until then.
USUAL = frozenset({FORMS, BRACES, SHEETS, TILE, PRICES})


def size(
    name: str,
    label: str,
    kind: Kind,
    low: float,
    high: float,
    *,
    default: str = "",
    example: str = "",
    help: str = "",
    group: str = "",
    optional: bool = False,
    when: When | None = None,
) -> Ask:
    """A number whose range is common practice [SI]."""
    return Ask(
        name=name,
        label=label,
        kind=kind,
        low=low,
        high=high,
        source=COMMON_PRACTICE,
        default=default,
        example=example,
        help=help,
        group=group,
        optional=optional,
        when=when,
    )


def share(name: str, label: str, usual: str, *, most: float = 25.0, help: str = "", group: str = "") -> Ask:
    """A share over what is needed."""
    return size(name, label, PERCENT, 0.0, most, default=usual, help=help, group=group)


def price(name: str, label: str, usual: str, *, help: str = "", group: str = "") -> Ask:
    """A price of one unit."""
    return size(name, label, DOLLARS, 0.01, 100_000.0, default=usual, help=help, group=group)


FORM_THICKNESS = size(
    "form_thickness",
    "Form, outside to outside",
    THICKNESS,
    m_from_in(6.0),
    m_from_in(36.0),
    default="11 in",
    group=FORMS,
)
WALL_HEIGHT = size(
    "wall_height",
    "Height of the wall",
    LENGTH,
    m_from_ft(1.0),
    m_from_ft(20.0),
    optional=True,
    help="From the shallow floor to the top. Empty: up to the coping.",
    group=WALL,
)
COPING_WIDTH = size(
    "coping_width", "Width of the coping", THICKNESS, m_from_in(2.0), m_from_ft(4.0), default="12 in", group=COPING
)
DECK_WIDTH = size(
    "deck_width",
    "Width of the deck, beyond the coping",
    LENGTH,
    0.0,
    m_from_ft(32.0),
    example="4 ft",
    group=DECK,
)
DECK_THICKNESS = size(
    "deck_thickness",
    "Thickness of the deck",
    THICKNESS,
    m_from_in(2.0),
    m_from_in(12.0),
    default="4 in",
    group=DECK,
)
POUR_PRICES = (
    price(
        "short", "A yard short costs", "600 $", help="A second truck, a cold joint, a crew that waits.", group=PRICES
    ),
    price(
        "waste", "A yard too many costs", "160 $", help="Its price, and what it costs to be rid of it.", group=PRICES
    ),
    share("loss", "Usually used over the drawing", "5 %", group=PRICES),
    share("spread", "It varies by (standard deviation)", "3 %", group=PRICES),
)
