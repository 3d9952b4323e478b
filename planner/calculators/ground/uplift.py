"""When groundwater lifts an empty floor."""

from jobs.domain.units import ft_from_m, psf_from_kpa
from jobs.science.drying import CONCRETE_KG_M3, GRAVITY_M_S2, floats_above_head_m, uplift_kpa
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, feet_words, least, line
from planner.calculators.answering.pictures import Uplift
from planner.calculators.asking.inputs import Ask, Values
from planner.calculators.asking.units import DENSITY, LENGTH, THICKNESS
from planner.calculators.calculator import Calculator

INPUTS = (
    Ask(
        name="slab",
        label="Floor slab",
        kind=THICKNESS,
        low=0.05,
        high=1.0,
        source=COMMON_PRACTICE,
        example="6 in",
        formula_names=("slab_m",),
    ),
    Ask(
        name="head",
        label="Groundwater above the underside of the slab",
        kind=LENGTH,
        low=0.0,
        high=6.0,
        source=COMMON_PRACTICE,
        example="1 ft",
        help="Read in a sump or a standpipe beside the shell.",
        formula_names=("head_m",),
    ),
    Ask(
        name="density",
        label="Weight of the concrete",
        kind=DENSITY,
        low=1500.0,
        high=3000.0,
        source=COMMON_PRACTICE,
        default="150 lb/ft³",
        formula_names=("concrete_kg_m3",),
    ),
)


def compute(values: Values) -> Answer:
    """Pressure under the slab, its weight, and the head that lifts it."""
    slab, head, density = values.si("slab"), values.si("head"), values.si("density")
    limit = floats_above_head_m(slab, concrete_kg_m3=density)
    pressure, weight = uplift_kpa(head), density * GRAVITY_M_S2 * slab / 1000
    lifts = head >= limit
    limit_ft, head_ft, thick = least(ft_from_m(limit), 2), amount(ft_from_m(head), 2), feet_words(slab)
    said = (
        f"Groundwater of {head_ft} ft lifts an empty {thick} slab: it floats from {limit_ft} ft."
        if lifts
        else f"An empty {thick} slab alone floats from {limit_ft} ft of groundwater; there is {head_ft} ft."
    )
    return Answer(
        says=said,
        lines=(
            Line(
                label="Slab begins to float at",
                value=limit_ft,
                unit="ft",
                also=f"{least(limit, 2)} m above its underside",
            ),
            line("Groundwater presses up with", psf_from_kpa(pressure), "psf", 1, also=f"{amount(pressure, 2)} kPa"),
            line("Slab weighs", psf_from_kpa(weight), "psf", 1, also=f"{amount(weight, 2)} kPa"),
            line("Left before it floats", ft_from_m(limit - head), "ft", 2),
        ),
        formula=(
            "Uplift = 62.4 lb/ft³ × head. Weight = thickness × weight of the concrete.",
            "Floats from head = thickness × weight of the concrete / weight of water.",
        ),
        sources=(
            f"Balance of weights: {COMMON_PRACTICE}; walls, soil friction and steel are given no credit",
            f"Weight of ordinary concrete {amount(CONCRETE_KG_M3)} kg/m³: {COMMON_PRACTICE}",
        ),
        cautions=(
            "Never empty a pool, or leave a shell empty after rain, before the groundwater is known and held down by a"
            " sump, a well or a relief valve.",
            "A liner floats long before its slab: groundwater above the floor lifts it off.",
            "A dig with water in it may cave in: nobody enters until a competent person has looked.",
            DEFERS,
        ),
        pictures=(
            Uplift(
                title="Groundwater at the floor",
                slab_ft=ft_from_m(slab),
                head_ft=ft_from_m(head),
                lifts_at_ft=ft_from_m(limit),
            ),
        ),
    )


CALCULATOR = Calculator(
    name="uplift",
    title="Uplift",
    question="When does groundwater lift the empty shell?",
    inputs=INPUTS,
    compute=compute,
)
