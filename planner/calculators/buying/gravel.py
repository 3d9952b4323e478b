"""Tons of stone for a bed under a floor or a deck."""

import math
from dataclasses import replace

from jobs.domain.order.buying import USUAL_BUYING
from jobs.domain.order.ground import stone_line, stone_t
from jobs.domain.order.sold import sold_in_us
from jobs.domain.units import M_PER_FT, ft2_from_m2, m_from_ft, m_from_in, tons_from_t, yd3_from_m3
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, line
from planner.calculators.answering.pictures import Loads
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.sizes import share, size
from planner.calculators.asking.units import AREA, HAULED, LOOSE, THICKNESS
from planner.calculators.calculator import Calculator

M2_PER_FT2 = M_PER_FT**2
T_PER_TON = 0.90718474
SLACK = 1e-9
# More trucks than this are a list, not a picture.
MOST_TRUCKS = 40

INPUTS = (
    size(
        "area",
        "Area of the bed",
        AREA,
        M2_PER_FT2,
        50_000 * M2_PER_FT2,
        example="700 ft²",
        help="Of a pool floor, along its slopes: see Pool.",
    ),
    size("thickness", "Thickness, compacted", THICKNESS, m_from_in(0.5), m_from_ft(6.0), example="4 in"),
    share(
        "compacts",
        "More of it loose than compacted",
        "15 %",
        most=60.0,
        help="Washed one-size stone hardly packs: 5 %.",
    ),
    size(
        "density",
        "A loose yard weighs",
        LOOSE,
        0.5,
        3.0,
        default="1.35 ton/yd³",
        help="The quarry says; wet and well graded stone weighs more.",
    ),
    size("load", "Sold by", HAULED, 0.01 * T_PER_TON, 30 * T_PER_TON, default="1 ton"),
    size("truck", "A truck carries", HAULED, T_PER_TON, 40 * T_PER_TON, default="15 ton"),
)


def compute(values: Values) -> Answer:
    """Tons, loose yards, truck loads."""
    placed = values.si("area") * values.si("thickness")
    buying = replace(
        USUAL_BUYING,
        stone_compacts=1 + values.si("compacts") / 100,
        stone_t_m3=values.si("density"),
        stone_load_t=values.si("load"),
    )
    bed = stone_line("Stone for the bed", placed, buying=buying, say=sold_in_us)
    tons, truck = tons_from_t(bed.bought_quantity), tons_from_t(values.si("truck"))
    count = math.ceil(tons / truck - SLACK)
    loose = placed * buying.stone_compacts
    loads = (*(truck,) * (count - 1), tons - truck * (count - 1))
    return Answer(
        says=f"Order {amount(tons, 1)} tons of stone, on {count} truck{'' if count == 1 else 's'}.",
        lines=(
            line("Stone to order", tons, "tons", 1, also=f"{amount(bed.bought_quantity, 1)} t"),
            line("Exactly", tons_from_t(stone_t(placed, buying=buying)), "tons", 2),
            line("Placed and compacted", yd3_from_m3(placed), "yd³", 2, also=f"{amount(placed, 2)} m³"),
            line("Loose, as it comes", yd3_from_m3(loose), "yd³", 2, also=f"{amount(loose, 2)} m³"),
            line("Truck loads", count, ""),
            line(
                "A ton covers",
                ft2_from_m2(T_PER_TON / buying.stone_t_m3 / buying.stone_compacts / values.si("thickness")),
                "ft²",
                1,
            ),
        ),
        formula=(
            "Placed = area × thickness. Loose = placed × (1 + what it packs). Tons = loose × what a loose yard weighs,"
            " rounded up to what is sold.",
            "A ton is 2,000 lb. Truck loads = tons / what a truck carries, rounded up.",
        ),
        sources=(f"Packing, weight and loads: {COMMON_PRACTICE}; the quarry's own weight governs",),
        cautions=(
            "Measure the ground as it is dug: an inch more under a 4 in bed is a quarter more stone.",
            "Trucks keep back from the edge of a dig by at least its depth; nobody stands behind one that backs.",
            "Dry stone makes dust that scars lungs: wet it.",
            DEFERS,
        ),
        pictures=(Loads(title="The trucks", loads=loads, most=truck, unit="tons"),) if count <= MOST_TRUCKS else (),
        order=(bed,),
    )


CALCULATOR = Calculator(
    name="gravel",
    title="Gravel and stone",
    question="How many tons of stone for a bed?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
