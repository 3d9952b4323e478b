"""How much salt, or another product, brings pool water to a value; how much rain took out."""

import math

from jobs.domain.errors import CannotDo
from jobs.domain.units import gallons_from_m3, lb_from_kg
from jobs.science.chemistry import PRODUCTS, Doses, after_overflow_ppm, after_refill_ppm, dose, share_to_replace
from jobs.science.water_loss import rain_m3
from jobs.words import sentence_for
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Band, Gauge
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.pools import WATER_IN_POOL
from planner.calculators.asking.units import AREA, PPM, RAIN
from planner.calculators.calculator import Calculator, Derived
from planner.calculators.water.doses import NAMES, dose_words

BAG_LB = 40.0
# Only fresh water takes these out again.
DILUTED = ("salt", "calcium", "stabiliser")
TARGETS = {
    "salt": "salt",
    "alkalinity": "alkalinity",
    "calcium": "calcium hardness",
    "stabiliser": "stabiliser",
    "chlorine": "free chlorine",
}
RAINED = "Rain since it was tested, that overflowed"


def _ppm(name: str, label: str, *, example: str = "", default: str = "", help: str = "") -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=PPM,
        low=0.0,
        high=50_000.0,
        source="dose_chart",
        example=example,
        default=default,
        help=help,
        formula_names=(f"{name}_ppm",),
    )


INPUTS = (
    Choose(
        name="product",
        label="Product",
        options=tuple((key.replace("_", "-"), NAMES[key]) for key in PRODUCTS),
        default="salt",
    ),
    WATER_IN_POOL,
    _ppm("now", "Tested now", example="200 ppm"),
    _ppm("wanted", "Wanted", example="3,200 ppm"),
    _ppm(
        "fresh", "The same in the fill water", default="0 ppm", help="Counts where water must be drained and replaced."
    ),
    Ask(
        name="rain",
        label="Rain",
        kind=RAIN,
        low=0.0,
        high=2000.0,
        source="ams_rain",
        default="0 in",
        group=RAINED,
        formula_names=("rain_mm", "rain_m3"),
    ),
    Ask(
        name="catch",
        label="Water and deck that drain into the pool",
        kind=AREA,
        low=0.0,
        high=50_000.0,
        source="ams_rain",
        optional=True,
        example="650 ft²",
        group=RAINED,
        formula_names=("catch_m2",),
    ),
)


def compute(values: Values) -> Answer:
    """Doses, or the share of water to replace where no product takes the excess out."""
    key = values.choice("product").replace("-", "_")
    product, volume = PRODUCTS[key], values.si("volume")
    tested, wanted = values.si("now"), values.si("wanted")
    now, rained = _after_rain(values)
    if wanted < now and product.raises and product.target in DILUTED:
        return _replace(values, key, now, rained)
    doses = dose(key, change_ppm=wanted - now, volume_m3=volume)
    what = TARGETS[product.target]
    return Answer(
        says=f"{dose_words(doses, doses.doses_each)} of {NAMES[key].lower()}"
        + (f", in {doses.doses_each} doses of {dose_words(doses, 1)}" if doses.doses_each > 1 else "")
        + f" brings the {what} from {amount(now)} to {amount(wanted)} ppm.",
        lines=(
            *_dose_lines(doses),
            line("Change", wanted - now, "ppm", 0 if abs(wanted - now) >= 100 else 1),
            *rained,
        ),
        formula=(
            "Product = ppm × water × molar ratio / strength; one ppm of 10,000 gallons is 0.0834 lb.",
            *(("After rain that overflows: c × exp(−rain / water).",) if rained else ()),
            *(
                ("Acid is dosed by the alkalinity here; for the pH see the calculator pH.",)
                if product.target == "alkalinity"
                else ()
            ),
        ),
        sources=(
            said_source("atomic_weights"),
            said_source("dose_chart"),
            "Largest single doses: common practice, no source",
        ),
        cautions=(
            *(" ".join(sentence_for(code, {})) for code in doses.cautions),
            "Goggles and gloves with acid and chlorine. Acid into water, never water into acid. The label governs.",
            *(("No salt on new plaster for about 30 days; ask the finish maker.",) if key == "salt" else ()),
            DEFERS,
        ),
        pictures=(_gauge(what, tested, now, wanted),),
    )


def _after_rain(values: Values) -> tuple[float, tuple[Line, ...]]:
    now, rain = values.si("now"), values.si("rain")
    if rain == 0:
        return now, ()
    catch = values.maybe("catch")
    if catch is None:
        raise CannotDo(
            "calculator.needs_too",
            field="catch",
            label="Water and deck that drain into the pool",
            why="rain is given, and it falls on an area",
            sample="650 ft²",
        )
    caught = rain_m3(rain, catch)
    after = after_overflow_ppm(now, caught, values.si("volume"))
    return after, (
        line("Rain that went through the pool", gallons_from_m3(caught), "gal", also=f"{amount(caught, 2)} m³"),
        line("Left after the rain", after, "ppm", also=f"{amount(now)} ppm before"),
    )


def _dose_lines(doses: Doses) -> tuple[Line, ...]:
    total = doses.total_kg
    metric = (
        f"{amount(total, 2)} kg" if not doses.each_litres else f"{amount(doses.each_litres * doses.doses_each, 2)} L"
    )
    value, unit = dose_words(doses, doses.doses_each).split(" ", 1)
    pounds = lb_from_kg(total)
    bags = line("Bags of 40 lb", math.ceil(pounds / BAG_LB), "", also=f"{amount(pounds / BAG_LB, 1)} of them used")
    return (
        Line(label=NAMES[doses.product], value=value, unit=unit, also=metric),
        *((bags,) if doses.product == "salt" else ()),
        Line(label="Doses", value=str(doses.doses_each), also=f"{dose_words(doses, 1)} each; test before the next"),
    )


def _replace(values: Values, key: str, now: float, rained: tuple[Line, ...]) -> Answer:
    volume, wanted, fresh = values.si("volume"), values.si("wanted"), values.si("fresh")
    what = TARGETS[PRODUCTS[key].target]
    share = share_to_replace(now, wanted, fresh_ppm=fresh)
    drained = share * volume
    check = after_refill_ppm(now, drained, volume, fresh_ppm=fresh)
    return Answer(
        says=f"No product takes {what} out: drain and replace {amount(gallons_from_m3(drained))} gallons,"
        f" {amount(100 * share)} % of the water.",
        lines=(
            line("Drain and replace", gallons_from_m3(drained), "gal", also=f"{amount(drained, 1)} m³"),
            line("Share of the water", 100 * share, "%", 1),
            line(f"{what.capitalize()} after", check, "ppm"),
            *rained,
        ),
        formula=("Share = (now − wanted) / (now − fill water).",),
        sources=(f"{said_source('dose_chart')}; the balance of mass is arithmetic",),
        cautions=(
            "Never drain a pool below what the engineer allows: groundwater lifts an empty shell, and a liner shrinks"
            " when it is left dry.",
            "Where the water may go is for the local authority.",
            DEFERS,
        ),
        pictures=(_gauge(what, values.si("now"), now, wanted),),
    )


def _gauge(what: str, tested: float, now: float, wanted: float) -> Gauge:
    high = max(tested, now, wanted, 1.0) * 1.15
    return Gauge(
        title=f"{what.capitalize()} now and wanted",
        unit="ppm",
        low=0.0,
        bands=(Band(until=high, label=what, tone="calm"),),
        value=wanted,
        says=f"wanted {amount(wanted)} ppm",
        was=now,
        was_says=f"now {amount(now)} ppm",
    )


CALCULATOR = Calculator(
    name="salt",
    title="Salt and doses",
    question="How much salt, acid, chlorine or hardness to add?",
    inputs=INPUTS,
    compute=compute,
    derived=(Derived(formula_name="change_ppm", label="Change from now to wanted", field="wanted"),),
)
