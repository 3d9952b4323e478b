"""Whether pool water corrodes, is balanced, or scales."""

from jobs.domain.units import c_from_f
from jobs.science.chemistry import SALTY_FROM_PPM, balance, langelier_index, saturation_index
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Band, Gauge
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Values
from planner.calculators.asking.units import PH, PPM, TEMPERATURE
from planner.calculators.calculator import Calculator, Derived

IDEAL, ACCEPTABLE = 0.3, 0.5
LOWEST_PH, HIGHEST_PH = 6.0, 9.0
LEAST_DISSOLVED_PPM = 10.0
MEANS = {
    "corrosive": "the water eats plaster, grout and metal",
    "balanced": "the water is balanced",
    "scaling": "the water leaves scale",
}


def _ppm(
    name: str, label: str, low: float, high: float, *, example: str = "", default: str = "", help: str = ""
) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=PPM,
        low=low,
        high=high,
        source="pool_index",
        example=example,
        default=default,
        help=help,
        formula_names=(f"{name}_ppm",) if name != "alkalinity" else (),
    )


INPUTS = (
    Ask(name="ph", label="pH", kind=PH, low=LOWEST_PH, high=HIGHEST_PH, source="pool_index", example="7.5"),
    Ask(
        name="water_temp",
        label="Water temperature",
        kind=TEMPERATURE,
        low=0.0,
        high=c_from_f(128.0),
        source="pool_index",
        example="84 °F",
        formula_names=("water_temp_c",),
    ),
    _ppm("calcium", "Calcium hardness", 5.0, 1000.0, example="300 ppm"),
    _ppm(
        "alkalinity",
        "Total alkalinity",
        5.0,
        1000.0,
        example="100 ppm",
        help="A third of the stabiliser is taken off; 5 ppm must be left.",
    ),
    _ppm("stabiliser", "Stabiliser (cyanuric acid)", 0.0, 300.0, default="0 ppm"),
    _ppm(
        "dissolved",
        "Dissolved solids with salt",
        0.0,
        10_000.0,
        default="500 ppm",
        help="A salt pool has 3,000 or more.",
    ),
)


def compute(values: Values) -> Answer:
    """The index, what it means, and the pH at which it would be nought."""
    ph, temp, calcium = values.si("ph"), values.si("water_temp"), values.si("calcium")
    alkalinity, stabiliser, dissolved = values.si("alkalinity"), values.si("stabiliser"), values.si("dissolved")
    index = saturation_index(ph, temp, calcium, alkalinity, stabiliser_ppm=stabiliser, dissolved_ppm=dissolved)
    by_table = saturation_index(
        ph, temp, calcium, alkalinity, stabiliser_ppm=stabiliser, dissolved_ppm=dissolved, by_table=True
    )
    state = balance(index)
    still = ", but still acceptable" if state != "balanced" and balance(index, within=ACCEPTABLE) == "balanced" else ""
    return Answer(
        says=f"The saturation index is {_signed(index)}: {MEANS[state]}{still}.",
        lines=(
            Line(label="Saturation index", value=_signed(index), also=f"{_signed(by_table, 1)} with the printed table"),
            Line(label="It says", value=MEANS[state] + still),
            _balanced_ph(ph - index),
            *_industrial(ph, temp, calcium, alkalinity - stabiliser / 3, dissolved),
            line("Alkalinity that counts", alkalinity - stabiliser / 3, "ppm", also="less a third of the stabiliser"),
        ),
        formula=(
            "Index = pH + temperature factor + (log10 calcium − 0.4) + log10(alkalinity − stabiliser / 3) − 12.1;"
            f" 12.2 from {amount(SALTY_FROM_PPM)} ppm of dissolved solids on.",
            "Ideal within 0.3 of nought, acceptable within 0.5.",
        ),
        sources=(said_source("pool_index"), f"Industrial form: {said_source('langelier')}"),
        cautions=(
            "Test with fresh reagents, away from returns and chlorine. Change one thing at a time, and test again.",
            "Never mix products; goggles and gloves with acid; acid into water, never water into acid.",
            "The finish maker's start-up card governs on plaster; the liner maker's on vinyl.",
            DEFERS,
        ),
        pictures=(_gauge(index),),
    )


def _signed(value: float, decimals: int = 2) -> str:
    text = amount(value, decimals)
    return f"+{text}" if value > 0 and text.strip("0.") else text.replace("-", "−")


def _balanced_ph(ph: float) -> Line:
    label = "pH that would make it nought"
    if LOWEST_PH <= ph <= HIGHEST_PH:
        return line(label, ph, "", 2, also="all else the same")
    return Line(label=label, value="none", also=f"it would be {amount(ph, 1)}, outside {LOWEST_PH:g} to {HIGHEST_PH:g}")


def _industrial(ph: float, temp: float, calcium: float, alkalinity: float, dissolved: float) -> tuple[Line, ...]:
    if dissolved < LEAST_DISSOLVED_PPM:
        return ()
    index = langelier_index(ph, temp, calcium, alkalinity, dissolved_ppm=dissolved)
    return (Line(label="Industrial form, second opinion", value=_signed(index)),)


def _gauge(index: float) -> Gauge:
    low, high = min(-1.0, index - 0.3), max(1.0, index + 0.3)
    return Gauge(
        title="Balance of the water",
        unit="",
        low=low,
        bands=(
            Band(until=-ACCEPTABLE, label="corrodes", tone="stop"),
            Band(until=-IDEAL, label="low", tone="watch"),
            Band(until=IDEAL, label="balanced", tone="calm"),
            Band(until=ACCEPTABLE, label="high", tone="watch"),
            Band(until=high, label="scales", tone="stop"),
        ),
        value=index,
        says=_signed(index),
        decimals=1,
    )


CALCULATOR = Calculator(
    name="saturation",
    title="Saturation index",
    question="Does the water corrode or scale?",
    inputs=INPUTS,
    compute=compute,
    derived=(
        Derived(formula_name="alkalinity_ppm", label="Alkalinity less a third of the stabiliser", field="alkalinity"),
    ),
)
