"""How much more to order than is drawn, from what a unit short and a unit too many cost."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from jobs.domain.errors import CannotDo
from jobs.domain.order.concrete import (
    best_order,
    best_order_between,
    critical_ratio,
    expected_cost,
    expected_cost_between,
)
from jobs.domain.order.lines import OrderLine, bought
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, Series
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values, When
from planner.calculators.asking.sizes import price
from planner.calculators.asking.units import COUNT, PERCENT
from planner.calculators.calculator import Calculator

# Unit -> (one, many, sold in steps of). Ready-mix by the quarter yard: common practice, no source.
SOLD = {
    "yards": ("cubic yard", "cubic yards", 0.25),
    "pieces": ("piece", "pieces", 1.0),
    "boxes": ("box", "boxes", 1.0),
    "bags": ("bag", "bags", 1.0),
    "tons": ("ton", "tons", 1.0),
    "square-feet": ("square foot", "square feet", 1.0),
}
VARIES, BETWEEN = When(choice="need", values=("varies",)), When(choice="need", values=("between",))
# Dollars shown as one on the curve, the most first, so that its numbers stay short.
DOLLARS_SHOWN = ((1_000_000.0, "million $"), (1_000.0, "thousand $"))
# The curve is drawn from as many points.
POINTS = 48


def _amount(
    name: str,
    label: str,
    example: str,
    *,
    high: float = 10_000.0,
    low: float = 0.0,
    when: When | None = None,
    help: str = "",
    optional: bool = False,
) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=COUNT,
        low=low,
        high=high,
        source=COMMON_PRACTICE,
        example=example,
        when=when,
        help=help,
        optional=optional,
    )


INPUTS = (
    Choose(
        name="sold",
        label="Sold by",
        options=tuple((key, many.capitalize()) for key, (_, many, _) in SOLD.items()),
        default="yards",
    ),
    price("short", "One short costs", "600 $", help="A second delivery, a cold joint, a crew that waits."),
    price(
        "waste",
        "One too many costs",
        "160 $",
        help="Its price and what it costs to be rid of it, less what it still fetches.",
    ),
    Choose(
        name="need",
        label="What will be used is known as",
        options=(("varies", "The drawing, and how jobs differ from it"), ("between", "A least and a most")),
        default="varies",
    ),
    _amount("drawn", "As drawn", "20", when=VARIES, low=0.01),
    Ask(
        name="loss",
        label="Usually used over the drawing",
        kind=PERCENT,
        low=0.0,
        high=50.0,
        source="nrmca_cip8",
        default="5 %",
        help="From your own last jobs: used over drawn.",
        when=VARIES,
    ),
    Ask(
        name="spread",
        label="It varies by (standard deviation)",
        kind=PERCENT,
        low=0.0,
        high=50.0,
        source=COMMON_PRACTICE,
        default="3 %",
        help="Two jobs in three lie within this of the usual.",
        when=VARIES,
    ),
    _amount("least", "Least that may be used", "", when=BETWEEN),
    _amount("most", "Most that may be used", "", when=BETWEEN, low=0.01),
    _amount(
        "step",
        "Sold in steps of",
        "",
        low=0.01,
        high=1000.0,
        optional=True,
        help="Empty: a quarter yard of concrete, else one.",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What may be used: its mean, a low and a high end for the picture, the best order, and what an order costs."""

    mean: float
    low: float
    high: float
    best: float
    least_order: float
    cost: Callable[[float], float]


def compute(values: Values) -> Answer:
    """The order that costs least on average, rounded up to what is sold."""
    one, many, usual_step = SOLD[values.choice("sold")]
    prices = {"short_dollars": values.si("short"), "waste_dollars": values.si("waste")}
    varies = values.choice("need") == "varies"
    need = _varying(values, prices) if varies else _between(values, prices)
    step = values.maybe("step") or usual_step
    places = 2 if step != round(step) else 0
    order = bought(max(need.best, need.least_order), step)
    ratio = critical_ratio(**prices)
    how = f"enough on {ratio:.0%} of jobs costs least, and it is sold in steps of {step:g}"
    return Answer(
        says=f"Order {amount(order, places)} {one if order == 1 else many}.",
        lines=_lines(need, order, ratio, places, many),
        formula=(
            "Chance of enough that costs least = short / (short + waste).",
            "Order = mean + z × standard deviation, z the normal quantile of that chance; between a least and a most:"
            " least + chance × (most − least). Rounded up to what is sold; never below the drawing.",
            "Mean = drawn × (1 + usually used over it). Cost on average = waste × expected rest + short × expected"
            " lack.",
        ),
        sources=(
            "The newsvendor rule of any textbook of operations research",
            *((f"Usual loss of ready-mix: {said_source('nrmca_cip8')}",) if varies else ()),
            f"Prices and spread: {COMMON_PRACTICE}; take your own",
        ),
        cautions=(
            "Short in the middle of a wall is a cold joint that the engineer must judge: price it as such.",
            "What is too many must go somewhere lawful: wash-out and waste concrete never into a drain.",
            DEFERS,
        ),
        pictures=(_curve(need, order, many, places),),
        order=(
            OrderLine(
                item="Concrete" if one == "cubic yard" else many.capitalize(),
                quantity=need.mean,
                unit=many,
                bought_quantity=order,
                bought_unit=one if order == 1 else many,
                how=how,
                source="newsvendor rule, textbook of operations research; prices, loss and spread: the office's own",
            ),
        ),
    )


def _varying(values: Values, prices: dict[str, float]) -> Need:
    drawn = values.si("drawn")
    mean, spread = drawn * (1 + values.si("loss") / 100), drawn * values.si("spread") / 100

    def cost(order: float) -> float:
        return expected_cost(order, mean=mean, spread=spread, **prices)

    best = best_order(mean=mean, spread=spread, **prices)
    room = max(3.5 * spread, 0.05 * mean)
    return Need(mean=mean, low=max(0.0, mean - room), high=mean + room, best=best, least_order=drawn, cost=cost)


def _between(values: Values, prices: dict[str, float]) -> Need:
    least, most = values.si("least"), values.si("most")
    if most < least:
        raise CannotDo("order.most_below_least", field="most", most=f"{most:g}", least=f"{least:g}")

    def cost(order: float) -> float:
        return expected_cost_between(order, least=least, most=most, **prices)

    best = best_order_between(least=least, most=most, **prices)
    room = max(0.15 * (most - least), 0.02 * most)
    return Need(
        mean=(least + most) / 2, low=max(0.0, least - room), high=most + room, best=best, least_order=0.0, cost=cost
    )


def _lines(need: Need, order: float, ratio: float, places: int, many: str) -> tuple[Line, ...]:
    mean_cost = need.cost(need.mean)
    return (
        line("To order", order, many, places),
        line("Best before rounding", need.best, many, 2),
        line("Mean of what is used", need.mean, many, 2),
        line("Chance of enough that costs least", 100 * ratio, "%", 1),
        line("That order costs on average", need.cost(order), "$", also="what is short and what is left over"),
        line("Ordering the mean would cost", mean_cost, "$"),
    )


def _curve(need: Need, order: float, many: str, places: int) -> Curve:
    low, high = min(need.low, order), max(need.high, order)
    high += 0.06 * (high - low)
    costs = [(at, need.cost(at)) for at in (low + (high - low) * part / POINTS for part in range(POINTS + 1))]
    most = max(cost for _, cost in costs)
    many_dollars, unit = next((pair for pair in DOLLARS_SHOWN if most >= 10 * pair[0]), (1.0, "$"))
    step = 10.0 ** math.floor(math.log10(high - low))
    return Curve(
        title="What an order costs on average",
        x=Axis(label="Order", unit=many, low=low, high=high),
        y=Axis(label="Cost", unit=unit, low=0.0, high=max(most / many_dollars, 1.0)),
        series=(Series(label="Short and left over", points=tuple((at, cost / many_dollars) for at, cost in costs)),),
        marks=(
            Mark(
                at=(order, need.cost(order) / many_dollars),
                label=amount(order, places),
                says=f"{amount(order, places)} costs {amount(need.cost(order))} $",
            ),
        ),
        table=tuple(step * at for at in range(math.ceil(low / step), math.floor(high / step) + 1)),
    )


CALCULATOR = Calculator(
    name="over-order",
    title="Over-order",
    question="How much more to order than is drawn?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
