"""How much acid or soda ash brings pool water to a pH."""

from jobs.domain.units import lb_from_kg
from jobs.science.water.ph import HIGHEST_PH, LOWEST_PH, PH_PRODUCTS, ph_dose
from jobs.words import sentence_for
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Band, Gauge
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.pools import WATER_IN_POOL
from planner.calculators.asking.units import PH, PPM
from planner.calculators.calculator import Calculator
from planner.calculators.water.doses import NAMES, dose_words

# Where swimmers and finish are well: phta_11.
GOOD_LOW, GOOD_HIGH = 7.2, 7.8


def _ph(name: str, label: str, example: str) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=PH,
        low=LOWEST_PH,
        high=HIGHEST_PH,
        source="dose_chart",
        example=example,
        formula_names=(f"{name}_ph",),
    )


INPUTS = (
    Choose(
        name="product",
        label="Product",
        options=tuple((key.replace("_", "-"), NAMES[key]) for key in PH_PRODUCTS),
        default="muriatic-acid-31",
    ),
    WATER_IN_POOL,
    _ph("now", "Tested now", "7.8"),
    _ph("wanted", "Wanted", "7.5"),
    Ask(
        name="alkalinity",
        label="Total alkalinity",
        kind=PPM,
        low=20.0,
        high=300.0,
        source="dose_chart",
        example="100 ppm",
        help="As tested; it decides how much the water resists.",
        formula_names=("alkalinity_ppm",),
    ),
    Ask(
        name="stabiliser",
        label="Stabiliser (cyanuric acid)",
        kind=PPM,
        low=0.0,
        high=300.0,
        source="dose_chart",
        default="0 ppm",
        formula_names=("stabiliser_ppm",),
    ),
)


def compute(values: Values) -> Answer:
    """Doses for a pH, the first half of them, and how far they may be out."""
    key = values.choice("product").replace("-", "_")
    now, wanted = values.si("now"), values.si("wanted")
    doses = ph_dose(
        key,
        now_ph=now,
        wanted_ph=wanted,
        alkalinity_ppm=values.si("alkalinity"),
        stabiliser_ppm=values.si("stabiliser"),
        volume_m3=values.si("volume"),
    )
    total, half = dose_words(doses, doses.doses_each), dose_words(doses, 0.5)
    value, unit = total.split(" ", 1)
    metric = (
        f"{amount(doses.each_litres * doses.doses_each, 2)} L"
        if doses.each_litres
        else f"{amount(doses.total_kg, 2)} kg"
    )
    return Answer(
        says=f"About {total} of {NAMES[key].lower()} brings the pH from {amount(now, 1)} to {amount(wanted, 1)}: give"
        f" {half} first, then test.",
        lines=(
            Line(label=NAMES[key], value=value, unit=unit, also=metric),
            Line(label="First, half a dose", value=half, also="then circulate and test"),
            Line(
                label="Largest single dose",
                value=dose_words(doses, 1),
                also="never more at once; the label governs" if doses.doses_each > 1 else "the label governs",
            ),
            Line(
                label="May really take",
                value=f"{dose_words(doses, doses.doses_each * 0.5)} to {dose_words(doses, doses.doses_each * 1.5)}",
                also="half of it either way",
            ),
            line("By weight", lb_from_kg(doses.total_kg), "lb", 2),
        ),
        formula=(
            "Alkalinity = carbonate × (a1 + 2 a2) + stabiliser × ay + OH − H, at 25 °C; acid takes alkalinity and"
            " leaves the carbonate, soda ash brings both.",
        ),
        sources=(
            said_source("stumm_morgan"),
            said_source("obrien_cyanuric"),
            f"True within half, and the largest single doses: {said_source('dose_chart')}",
        ),
        cautions=(
            *(" ".join(sentence_for(code, {})) for code in doses.cautions),
            "Goggles and gloves. Acid into water, never water into acid, far from walls, fittings and people; nobody in"
            " the water. Never near chlorine: the two make a gas that kills.",
            "Soda ash raises the alkalinity too; air in the water raises the pH alone.",
            DEFERS,
        ),
        pictures=(
            Gauge(
                title="pH now and wanted",
                unit="",
                low=LOWEST_PH,
                bands=(
                    Band(until=GOOD_LOW, label="sour", tone="watch"),
                    Band(until=GOOD_HIGH, label="good", tone="calm"),
                    Band(until=HIGHEST_PH, label="scaling", tone="watch"),
                ),
                value=wanted,
                says=f"wanted {amount(wanted, 1)}",
                decimals=1,
                was=now,
                was_says=f"now {amount(now, 1)}",
            ),
        ),
    )


CALCULATOR = Calculator(
    name="ph",
    title="pH",
    question="How much acid or soda ash for the pH?",
    inputs=INPUTS,
    compute=compute,
)
