"""How much reinforcement a mat takes, by spacing and lap."""

import math

from jobs.domain.errors import CannotDo
from jobs.domain.order.bars import BARS, bars_across, mat
from jobs.domain.order.lines import OrderLine
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.taken import sold_as
from jobs.domain.units import ft_from_m, lb_from_kg, m_from_ft, m_from_in
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, feet_words, line
from planner.calculators.answering.pictures import Mesh
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import LENGTH, PERCENT, THICKNESS, Kind
from planner.calculators.calculator import Calculator

SLACK = 1e-9


def _size(
    name: str, label: str, kind: Kind, low: float, high: float, *, example: str = "", default: str = "", help: str = ""
) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=kind,
        low=low,
        high=high,
        source=COMMON_PRACTICE,
        example=example,
        default=default,
        help=help,
    )


INPUTS = (
    _size("length", "Length of the mat", LENGTH, m_from_ft(1.0), m_from_ft(300.0), example="40 ft"),
    _size("width", "Width, or height of a wall", LENGTH, m_from_ft(1.0), m_from_ft(300.0), example="20 ft"),
    _size("spacing", "Spacing, both ways", THICKNESS, m_from_in(3.0), m_from_in(36.0), example="12 in"),
    Choose(
        name="bar",
        label="Bar",
        options=tuple((size.removeprefix("#"), f"No. {size.removeprefix('#')}") for size in BARS),
        default="4",
        help="In eighths of an inch.",
    ),
    _size("stock", "Length of a bar as sold", LENGTH, m_from_ft(8.0), m_from_ft(60.0), default="20 ft"),
    _size("lap", "Lap", THICKNESS, 0.0, m_from_ft(7.0), default="20 in", help="As the drawing says."),
    _size("waste", "Cut off and lost", PERCENT, 0.0, 25.0, default="5 %"),
)


def compute(values: Values) -> Answer:
    """Bars, their length with laps, pieces of stock and weight."""
    length, width, spacing = values.si("length"), values.si("width"), values.si("spacing")
    stock, bar = values.si("stock"), BARS[f"#{values.choice('bar')}"]
    if spacing > min(length, width):
        raise CannotDo(
            "calculator.spacing_too_wide",
            field="spacing",
            spacing=feet_words(spacing),
            width=feet_words(min(length, width)),
        )
    runs = mat(
        area_m2=length * width,
        length_m=length,
        width_m=width,
        spacing_m=spacing,
        stock_m=stock,
        lap_m=values.si("lap"),
    )
    bought_m = runs.lapped_m * (1 + values.si("waste") / 100)
    pieces = math.ceil(bought_m / stock - SLACK)
    kilograms = pieces * stock * bar.mass_kg_m
    along, across = bars_across(width, spacing), bars_across(length, spacing)
    return Answer(
        says=f"Buy {pieces} bars of {feet_words(stock)}, {amount(lb_from_kg(kilograms))} lb.",
        lines=(
            line("Bars to buy", pieces, "", also=f"No. {values.choice('bar')}, {feet_words(stock)} long"),
            line("They weigh", lb_from_kg(kilograms), "lb", also=f"{amount(kilograms)} kg"),
            line("Bars in the mat", runs.count, "", also=f"{along} along, {across} across"),
            line("Length without laps", ft_from_m(runs.net_m), "ft", also=f"{amount(runs.net_m, 1)} m"),
            line("Length with laps", ft_from_m(runs.lapped_m), "ft", also=f"{amount(runs.lapped_m, 1)} m"),
        ),
        formula=(
            "Bars each way = width / spacing, rounded up, and one more: one at each edge.",
            "A bar longer than the stock has a lap at each joint: pieces = (length − lap) / (stock − lap), rounded up.",
            "To buy = length with laps × (1 + lost) / stock, rounded up.",
        ),
        sources=(
            "ASTM A615, nominal masses of bars, from memory",
            f"Laps and what is lost: {COMMON_PRACTICE}; the engineer's drawing governs",
        ),
        cautions=(
            "Size, spacing, lap and cover are the engineer's. Steel is inspected and bonded before it is covered.",
            "Bars that stick up are capped: they go through people who fall on them.",
            DEFERS,
        ),
        pictures=(
            Mesh(
                title="The mat from above",
                length_ft=ft_from_m(length),
                width_ft=ft_from_m(width),
                along=along,
                across=across,
            ),
        ),
        order=(
            OrderLine(
                item=f"Bars, No. {values.choice('bar')}",
                quantity=runs.lapped_m,
                unit="m",
                bought_quantity=pieces,
                bought_unit=sold_as(pieces, "bar", "bars", sold_in_us(stock, "m")),
                how=f"{along} along and {across} across, with laps, and {values.si('waste'):g}% lost",
                source="spacing and lap: the engineer's drawing",
            ),
        ),
    )


CALCULATOR = Calculator(
    name="steel",
    title="Steel",
    question="How many bars does the mat take?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
