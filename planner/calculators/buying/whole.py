"""Everything bought for a pool, from its shape alone: for a quote, before there is a job."""

from collections.abc import Iterator
from typing import cast

from jobs.domain.exposure import Soil
from jobs.domain.order.finish import Finish
from jobs.domain.order.lines import OrderLine
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.take import order_list
from jobs.domain.takeoff import SWELL, quantities
from jobs.domain.units import ft2_from_m2, ft_from_m, gallons_from_m3, m_from_ft, yd3_from_m3
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, line
from planner.calculators.answering.pictures import PoolPlan, PoolSection
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.designs import design_of, pour_buying, wall_height_of
from planner.calculators.asking.inputs import Choose, Values
from planner.calculators.asking.shapes import SHAPED_INPUTS, shaped_basin_of
from planner.calculators.asking.sizes import (
    COPING_WIDTH,
    DECK,
    DECK_THICKNESS,
    DECK_WIDTH,
    FORM_THICKNESS,
    POUR_PRICES,
    WALL,
    WALL_HEIGHT,
    size,
)
from planner.calculators.asking.units import LENGTH
from planner.calculators.calculator import Calculator, Derived

FINISH = Choose(
    name="finish",
    label="How it is built",
    options=(
        ("liner", "Insulated forms, floor first, a liner"),
        ("plaster", "Insulated forms, one pour, plaster"),
        ("sprayed", "Sprayed shell, plaster"),
    ),
    default="liner",
    group=WALL,
)
INPUTS = (
    *SHAPED_INPUTS,
    FINISH,
    WALL_HEIGHT,
    FORM_THICKNESS,
    Choose(
        name="soil",
        label="Soil",
        options=tuple((key, key.capitalize()) for key in SWELL),
        default="loam",
        group=WALL,
    ),
    COPING_WIDTH,
    DECK_WIDTH,
    DECK_THICKNESS,
    size(
        "pipe",
        "Pipe, all runs together",
        LENGTH,
        0.0,
        m_from_ft(3000.0),
        default="0",
        example="240 ft",
        group=DECK,
    ),
    *POUR_PRICES,
)


def compute(values: Values) -> Answer:
    """The order list of a pool of that shape."""
    basin, buying = shaped_basin_of(values), pour_buying(values)
    finish = cast(Finish, values.choice(FINISH.name))
    coping, deck = values.si(COPING_WIDTH.name), values.si(DECK_WIDTH.name)
    design = design_of(
        basin,
        form_thickness_m=values.si(FORM_THICKNESS.name),
        form_height_m=wall_height_of(values, basin),
        soil=cast(Soil, values.choice("soil")),
        coping_width_m=coping,
        deck_width_m=deck,
        deck_m=values.si(DECK_THICKNESS.name),
        pipe_m=values.si("pipe"),
    )
    order = order_list(design, finish=finish, buying=buying, say=sold_in_us)
    taken = quantities(design, cut_on_the_way=False, buying=buying)
    concrete = sum(one.bought_quantity for one in _ready_mix(order))
    return Answer(
        says=f"{len(order)} things to order, among them {amount(yd3_from_m3(concrete), 2)} yd³ of concrete.",
        lines=(
            line("Concrete, all pours", yd3_from_m3(concrete), "yd³", 2, also=f"{amount(concrete, 1)} m³"),
            line("Dig, as it lies in the ground", yd3_from_m3(taken["excavation_m3"]), "yd³", 1),
            line("Backfill, placed", yd3_from_m3(taken["backfill_m3"]), "yd³", 1),
            line("Inner face, floor and walls", ft2_from_m2(taken["inner_m2"]), "ft²"),
            line("Deck", ft2_from_m2(taken["deck_m2"]), "ft²"),
            line("Water line around", ft_from_m(taken["perimeter_m"]), "ft", 1),
            line("Water when full", gallons_from_m3(taken["water_m3"]), "gal"),
        ),
        formula=(
            "Each line as its own question works it out: forms, steel, stone, spoil, liner or plaster, coping, deck.",
            "Dig: the water line moved out by form and 22 in to work in, down to under 4 in of stone; the hopper; the"
            " trim for slab and stone. Spoil swells: sand 1.12, loam 1.25, clay 1.30.",
            "Concrete: slab 4 in with an edge of 16 by 6 in; core of 6 in; over-order from your prices.",
        ),
        sources=(
            f"Areas: {said_source('kern_pool_sizing')}",
            f"Swell: {said_source('soil_swell')}",
            f"Sizes, laps, waste and what is sold: {COMMON_PRACTICE}; a job's own list takes the office's sizes",
        ),
        cautions=(
            "For a quote. Fittings, equipment, fence and steel of the drawing are not on it until the pool is a job;"
            " the engineer's drawing and the makers' tables govern every line.",
            "Call before you dig. From 5 ft down a dig is sloped or shored.",
            DEFERS,
        ),
        pictures=(
            PoolSection(title="The pool from the side", basin=basin, level_m=basin.design_level_m),
            PoolPlan(
                title="From above",
                basin=basin,
                rings=(("Coping", coping), *((("Deck", coping + deck),) if deck else ())),
            ),
        ),
        order=order,
    )


def _ready_mix(order: tuple[OrderLine, ...]) -> Iterator[OrderLine]:
    return (one for one in order if one.item.startswith("Concrete"))


CALCULATOR = Calculator(
    name="whole-order",
    title="The whole order",
    question="What is ordered for a pool like this?",
    inputs=INPUTS,
    compute=compute,
    derived=(Derived(formula_name="volume_m3", label="Water in the pool", field="length"),),
    orders=True,
)
