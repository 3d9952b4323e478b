"""How much concrete to order, on how many trucks."""

from jobs.domain.errors import CannotDo
from jobs.domain.order.concrete import best_order
from jobs.domain.order.lines import OrderLine
from jobs.domain.takeoff import slab_coverage_m2, truck_interval_minutes, trucks
from jobs.domain.units import ft2_from_m2, m3_from_yd3, m_from_ft, m_from_in, yd3_from_m3
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Loads
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, AskRows, Values
from planner.calculators.asking.sizes import size
from planner.calculators.asking.units import CONCRETE, DOLLARS, LENGTH, PERCENT, PLACING, THICKNESS
from planner.calculators.calculator import Calculator

# Ready-mix is ordered by the quarter yard: common practice, no source.
STEP_YD3 = 0.25
# A hair over a full step is the last digits of a product.
SLACK = 1e-9
# More trucks than this are a list, not a picture.
MOST_TRUCKS = 40

PRICES = "Or the over-order from your own prices"


def _price(name: str, label: str, sample: str) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=DOLLARS,
        low=1.0,
        high=100_000.0,
        source=COMMON_PRACTICE,
        optional=True,
        help=f"For each cubic yard, for example {sample}.",
        group=PRICES,
    )


def _share(name: str, label: str, usual: str) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=PERCENT,
        low=0.0,
        high=25.0,
        source=COMMON_PRACTICE,
        default=usual,
        help="Counts only with both prices.",
        group=PRICES,
    )


STRIPS = AskRows(
    name="strips",
    label="Thickened edges, footings, coping",
    columns=(
        size("strip_length", "Length of the strip", LENGTH, m_from_ft(0.5), m_from_ft(1000.0), example="96 ft"),
        size("strip_width", "Width of the strip", THICKNESS, m_from_in(1.0), m_from_ft(10.0), example="16 in"),
        size("strip_depth", "Depth of the strip", THICKNESS, m_from_in(1.0), m_from_ft(10.0), example="6 in"),
    ),
    least=1,
    most=12,
    sample_rows="96, 16, 6; 100, 12, 4",
    help="Of an edge only what is under the slab. Walls of another core may stand here as well.",
)

INPUTS = (
    Ask(
        name="length",
        label="Length",
        kind=LENGTH,
        low=m_from_ft(0.5),
        high=m_from_ft(600.0),
        source=COMMON_PRACTICE,
        example="40 ft",
    ),
    Ask(
        name="width",
        label="Width, or height of a wall",
        kind=LENGTH,
        low=m_from_ft(0.5),
        high=m_from_ft(300.0),
        source=COMMON_PRACTICE,
        example="20 ft",
    ),
    Ask(
        name="thickness",
        label="Thickness, or core of a wall",
        kind=THICKNESS,
        low=m_from_in(1.0),
        high=m_from_in(36.0),
        source=COMMON_PRACTICE,
        example="6 in",
    ),
    Ask(
        name="extra",
        label="More, as a volume",
        kind=CONCRETE,
        low=0.0,
        high=m3_from_yd3(200.0),
        source=COMMON_PRACTICE,
        default="0",
        help="Added to the volume above.",
    ),
    STRIPS,
    Ask(
        name="over",
        label="Over-order",
        kind=PERCENT,
        low=0.0,
        high=25.0,
        source="nrmca_cip8",
        default="8 %",
        help="Usual is 4 to 10 %: waste, uneven ground, what stays in the pump.",
    ),
    Ask(
        name="truck",
        label="One truck carries",
        kind=CONCRETE,
        low=m3_from_yd3(1.0),
        high=m3_from_yd3(15.0),
        source=COMMON_PRACTICE,
        default="10 yd³",
        formula_names=("load_m3",),
    ),
    Ask(
        name="rate",
        label="Placing rate",
        kind=PLACING,
        low=m3_from_yd3(1.0),
        high=m3_from_yd3(200.0),
        source=COMMON_PRACTICE,
        optional=True,
        example="20 yd³/h",
        help="For the time between trucks.",
        formula_names=("rate_m3_h",),
    ),
    _price("short", "A yard short costs", "600 $"),
    _price("waste", "A yard too many costs", "160 $"),
    _share("loss", "Usually used over the volume", "5 %"),
    _share("spread", "It varies by (standard deviation)", "3 %"),
)


def compute(values: Values) -> Answer:
    """Order, trucks and their spacing."""
    thickness = values.si("thickness")
    strips = sum(length * width * depth for length, width, depth in values.rows_of(STRIPS.name))
    net = values.si("length") * values.si("width") * thickness + strips + values.si("extra")
    net_yd3 = yd3_from_m3(net)
    priced = _priced(values, net_yd3)
    wanted = net_yd3 * (1 + values.si("over") / 100) if priced is None else priced
    order = -(-(wanted - SLACK) // STEP_YD3) * STEP_YD3
    truck = yd3_from_m3(values.si("truck"))
    count = trucks(m3_from_yd3(order), values.si("truck"))
    loads = (*(truck,) * (count - 1), order - truck * (count - 1)) if count else ()
    rate = values.maybe("rate")
    return Answer(
        says=f"Order {amount(order, 2)} yd³ on {count} truck{'' if count == 1 else 's'}.",
        lines=(
            line("Order", order, "yd³", 2, also=f"{amount(m3_from_yd3(order), 2)} m³"),
            line("In place", net_yd3, "yd³", 2, also=f"{amount(net, 2)} m³"),
            *((line("Of that in strips", yd3_from_m3(strips), "yd³", 2),) if strips else ()),
            line("Over-order and rounding", order - net_yd3, "yd³", 2),
            line("Trucks", count, ""),
            line("Last truck brings", loads[-1] if loads else 0.0, "yd³", 2),
            line("One yd³ covers", ft2_from_m2(slab_coverage_m2(m3_from_yd3(1.0), thickness)), "ft²", 1),
            *(() if rate is None else _timing(order, values.si("truck"), rate)),
        ),
        formula=(
            "Volume = length × width × thickness, of slab and strips, + more.",
            "One cubic yard covers 324 / thickness in inches, in ft².",
            _order_words(priced is not None),
            "Trucks = order / load, rounded up; minutes between trucks = 60 × load / placing rate.",
        ),
        sources=(
            said_source("yard_coverage"),
            f"Over-order: {said_source('nrmca_cip8')}",
            f"Quarter yards and ten yards a truck: {COMMON_PRACTICE}; the plant says what its trucks may carry",
        ),
        cautions=(
            "Measure the ground as it is dug: half an inch more under a 4 in slab is an eighth more concrete.",
            "Wet concrete burns skin and eyes; keep clear of the pump hose, and of power lines with any boom.",
            DEFERS,
        ),
        pictures=(Loads(title="The trucks", loads=loads, most=truck),) if count <= MOST_TRUCKS else (),
        order=(
            OrderLine(
                item="Concrete",
                quantity=net,
                unit="m3",
                bought_quantity=m3_from_yd3(order),
                bought_unit="m3",
                how=f"{_how(values, priced is not None)}, up to the quarter yard; truck loads: {count}",
                source="the plant says what its trucks carry",
            ),
        ),
    )


def _priced(values: Values, net_yd3: float) -> float | None:
    """The order [yd3] at which a yard short and a yard too many cost the same, where both prices are given."""
    prices = {name: values.maybe(name) for name in ("short", "waste")}
    short, waste = prices["short"], prices["waste"]
    if short is None and waste is None:
        return None
    if short is None or waste is None:
        missing = "short" if short is None else "waste"
        label = next(ask.label for ask in INPUTS if ask.name == missing)
        why = "the other price is given, and the order lies between them"
        raise CannotDo("calculator.needs_too", field=missing, label=label, why=why, sample="200 $")
    mean = net_yd3 * (1 + values.si("loss") / 100)
    spread = net_yd3 * values.si("spread") / 100
    return best_order(mean=mean, spread=spread, short_dollars=short, waste_dollars=waste)


def _how(values: Values, priced: bool) -> str:
    if not priced:
        return f"volume and {values.si('over'):g}% over"
    return f"over-order that costs least at {values.si('short'):g} dollars short and {values.si('waste'):g} too many"


def _order_words(priced: bool) -> str:
    if not priced:
        return "Order = volume × (1 + over-order), rounded up to the quarter yard."
    return (
        "Order = mean use + z × its standard deviation, where the chance of enough is short / (short + waste); rounded"
        " up to the quarter yard. The percentage of over-order is not used."
    )


def _timing(order_yd3: float, truck_m3: float, rate_m3_h: float) -> tuple[Line, ...]:
    return (
        line("Minutes between trucks", truck_interval_minutes(truck_m3, rate_m3_h), "min"),
        line("Placing takes", m3_from_yd3(order_yd3) / rate_m3_h, "h", 1),
    )


CALCULATOR = Calculator(
    name="concrete",
    title="Concrete to order",
    question="How much concrete, on how many trucks?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
