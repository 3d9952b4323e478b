"""How much soil a dig gives, swollen, and on how many trucks it goes."""

import math
from typing import cast

from jobs.domain.errors import CannotDo
from jobs.domain.exposure import Soil
from jobs.domain.order.lines import OrderLine
from jobs.domain.order.sold import sold_in_us
from jobs.domain.takeoff import SWELL
from jobs.domain.units import m3_from_yd3, m_from_ft, yd3_from_m3
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, line
from planner.calculators.answering.pictures import Loads
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import LENGTH, SOIL
from planner.calculators.calculator import Calculator

SLACK = 1e-9
# More trucks than this are a list, not a picture.
MOST_TRUCKS = 40


def _side(name: str, label: str, example: str, *, help: str = "") -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=LENGTH,
        low=m_from_ft(1.0),
        high=m_from_ft(300.0),
        source=COMMON_PRACTICE,
        example=example,
        help=help,
    )


INPUTS = (
    _side("length", "Length of the dig, half way down", "44 ft", help="With the room to work around the shell."),
    _side("width", "Width of the dig, half way down", "24 ft"),
    Ask(
        name="depth",
        label="Mean depth of the dig",
        kind=LENGTH,
        low=m_from_ft(0.25),
        high=m_from_ft(20.0),
        source="osha_650",
        example="5 ft",
        help="A dig deeper than 20 ft is an engineer's.",
    ),
    Choose(
        name="soil",
        label="Soil",
        options=tuple((key, key.capitalize()) for key in SWELL),
        default="loam",
    ),
    Ask(
        name="kept",
        label="Kept for backfill, as it lies in the ground",
        kind=SOIL,
        low=0.0,
        high=m3_from_yd3(2000.0),
        source=COMMON_PRACTICE,
        default="0",
    ),
    Ask(
        name="truck",
        label="A truck carries, loose",
        kind=SOIL,
        low=m3_from_yd3(1.0),
        high=m3_from_yd3(30.0),
        source=COMMON_PRACTICE,
        default="12 yd³",
    ),
)


def compute(values: Values) -> Answer:
    """Bank and loose volume, and truckloads."""
    bank, kept = values.si("length") * values.si("width") * values.si("depth"), values.si("kept")
    # All of it may be kept: the last digits of a product are no soil.
    if kept > bank * (1 + SLACK):
        raise CannotDo(
            "calculator.kept_more_than_dug",
            field="kept",
            kept=amount(yd3_from_m3(kept), 1),
            dug=amount(yd3_from_m3(bank), 1),
        )
    swell = SWELL[cast(Soil, values.choice("soil"))]
    loose, truck = max(0.0, bank - kept) * swell, values.si("truck")
    count = math.ceil(loose / truck - SLACK)
    loads = (*(yd3_from_m3(truck),) * (count - 1), yd3_from_m3(loose - truck * (count - 1))) if count else ()
    return Answer(
        says=f"{amount(yd3_from_m3(loose), 1)} yd³ of loose soil leave on {count} truck{'' if count == 1 else 's'}.",
        lines=(
            line("To haul away, loose", yd3_from_m3(loose), "yd³", 1, also=f"{amount(loose, 1)} m³"),
            line("Truckloads", count, ""),
            line("Dug, as it lies in the ground", yd3_from_m3(bank), "yd³", 1, also=f"{amount(bank, 1)} m³"),
            line("It swells to", 100 * swell, "%", also="of what it was in the ground"),
            line("Heap of what is kept, loose", yd3_from_m3(kept * swell), "yd³", 1),
        ),
        formula=(
            "Dug = length × width × mean depth. Loose = (dug − kept) × swell: sand 1.12, loam 1.25, clay 1.30.",
            "Truckloads = loose / what a truck carries, rounded up.",
        ),
        sources=(
            said_source("soil_swell"),
            f"Twelve yards a truck: {COMMON_PRACTICE}; the haulier says what is allowed",
        ),
        cautions=(
            "Call before you dig, and wait for the marks. From 5 ft down a dig is sloped or shored; the heap stays 2 ft"
            " from its edge.",
            "Nobody works in a dig with water in it before a competent person has looked.",
            DEFERS,
        ),
        pictures=(Loads(title="The trucks", loads=loads, most=yd3_from_m3(truck)),) if 0 < count <= MOST_TRUCKS else (),
        order=(
            OrderLine(
                item="Spoil to haul, loose",
                quantity=loose,
                unit="m3",
                bought_quantity=count,
                bought_unit="truck load" if count == 1 else "truck loads",
                how=f"dig less what is kept, swollen {swell:g} times; {sold_in_us(truck, 'm3')} a truck",
                source="earthmoving handbook range, from memory",
            ),
        )
        if count
        else (),
    )


CALCULATOR = Calculator(
    name="spoil",
    title="Spoil",
    question="How much soil leaves, on how many trucks?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
