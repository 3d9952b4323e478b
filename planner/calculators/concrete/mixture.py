"""How warm fresh concrete comes out of its materials, and what colder water or ice would do."""

import numpy as np

from jobs.domain.errors import OutsideValidRange
from jobs.domain.units import c_from_f, f_from_c, kg_from_lb
from jobs.science.cold_hot import HOTTEST_DISCHARGE_C, mixture_temp_c
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, Series, Threshold
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Values
from planner.calculators.asking.units import TEMPERATURE, WEIGHT
from planner.calculators.calculator import Calculator, Derived

HOTTEST_MATERIAL_C, COLDEST_WATER_F, HOTTEST_WATER_F = 90.0, 33.0, 140.0
MATERIALS, WATER = "Aggregate and cement", "Water and ice"
POINTS = 13


def _mass(name: str, label: str, example: str, group: str, *, default: str = "", help: str = "") -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=WEIGHT,
        low=0.0 if default else kg_from_lb(1.0),
        high=20_000.0,
        source="aci_305",
        example=example,
        default=default,
        help=help,
        group=group,
        formula_names=(f"{name}_kg",),
    )


def _temp(name: str, label: str, example: str, group: str) -> Ask:
    return Ask(
        name=f"{name}_temp",
        label=label,
        kind=TEMPERATURE,
        low=0.0,
        high=HOTTEST_MATERIAL_C,
        source="aci_305",
        example=example,
        group=group,
        formula_names=(f"{name}_c",),
    )


INPUTS = (
    _mass("aggregate", "Aggregate, dry", "3,000 lb", MATERIALS, help="Of one batch or one cubic yard."),
    _temp("aggregate", "Temperature of the aggregate", "90 °F", MATERIALS),
    _mass("cement", "Cement", "564 lb", MATERIALS),
    _temp("cement", "Temperature of the cement", "150 °F", MATERIALS),
    _mass("moisture", "Water on the aggregate", "60 lb", MATERIALS, default="0 lb"),
    _mass("water", "Mixing water", "250 lb", WATER, help="Without the ice."),
    _temp("water", "Temperature of the water", "80 °F", WATER),
    _mass("ice", "Ice in place of water", "0 lb", WATER, default="0 lb"),
)


def compute(values: Values) -> Answer:
    """Temperature of the mix, and over the temperature of its water."""
    mix = _mix(values, values.si("water_temp"))
    hot = mix > HOTTEST_DISCHARGE_C
    verdict = ": hotter than may be discharged" if hot else ""
    return Answer(
        says=f"The mix comes out at {amount(f_from_c(mix))} °F{verdict}.",
        lines=(
            line("Temperature of the mix", f_from_c(mix), "°F", 1, also=f"{amount(mix, 1)} °C"),
            _with("With the water at 40 °F", values, water_f=40.0, ice_share=0.0),
            _with("With half of the water as ice", values, water_f=40.0, ice_share=0.5),
            _with("With the water at 140 °F", values, water_f=140.0, ice_share=0.0),
        ),
        formula=(
            "T = (0.22 (Ta Wa + Tc Wc) + Tw Ww + Ta Wm − 112 Wi) / (0.22 (Wa + Wc) + Ww + Wm + Wi); °F, lb:"
            " aggregate a, cement c, water w, moisture m, ice i.",
            "The other lines change the mixing water alone.",
        ),
        sources=(
            said_source("aci_305"),
            said_source("aci_306"),
            f"Which waters are compared: {COMMON_PRACTICE}",
        ),
        cautions=(
            "Ice must be melted before discharge; it counts as mixing water. Water above 140 °F can flash-set cement.",
            "It warms or cools on the way: see cold weather, and measure every load.",
            DEFERS,
        ),
        pictures=(_curve(values, mix),),
    )


def _mix(values: Values, water_c: float, *, ice_share: float | None = None) -> float:
    water, ice = values.si("water"), values.si("ice")
    if ice_share is not None:
        water, ice = (water + ice) * (1 - ice_share), (water + ice) * ice_share
    return mixture_temp_c(
        aggregate_kg=values.si("aggregate"),
        aggregate_c=values.si("aggregate_temp"),
        cement_kg=values.si("cement"),
        cement_c=values.si("cement_temp"),
        water_kg=water,
        water_c=water_c,
        moisture_kg=values.si("moisture"),
        ice_kg=ice,
    )


def _with(label: str, values: Values, *, water_f: float, ice_share: float) -> Line:
    try:
        mix = _mix(values, c_from_f(water_f), ice_share=ice_share)
    except OutsideValidRange:
        return Line(label=label, value="it would freeze")
    return line(label, f_from_c(mix), "°F", 1, also=f"{amount(mix, 1)} °C")


def _curve(values: Values, mix: float) -> Curve:
    waters = [float(one) for one in np.linspace(COLDEST_WATER_F, HOTTEST_WATER_F, POINTS)]
    points = []
    for water in waters:
        try:
            points.append((water, f_from_c(_mix(values, c_from_f(water)))))
        except OutsideValidRange:
            continue
    at = f_from_c(values.si("water_temp"))
    highest = max((y for _, y in points), default=f_from_c(mix))
    mark = Mark(at=(at, f_from_c(mix)), label=f"{amount(f_from_c(mix))} °F", says=f"{amount(f_from_c(mix))} °F")
    return Curve(
        title="What the water does",
        x=Axis(label="Temperature of the mixing water", unit="°F", low=20.0, high=max(HOTTEST_WATER_F, at) + 10),
        y=Axis(label="Temperature of the mix", unit="°F", low=30.0, high=max(110.0, highest + 10, f_from_c(mix) + 10)),
        series=(Series(label="mix", points=tuple(points)),),
        marks=(mark,),
        threshold=Threshold(at=f_from_c(HOTTEST_DISCHARGE_C), label="95 °F, the most at discharge"),
        table=tuple(water for water, _ in points[::3]),
    )


CALCULATOR = Calculator(
    name="mixture",
    title="Temperature of the mix",
    question="How warm does the concrete come out of its materials?",
    inputs=INPUTS,
    compute=compute,
    derived=(
        Derived(formula_name="mixture temperature", label="Temperature of the mix", field="ice"),
        Derived(formula_name="batch_kg", label="The whole batch", field="aggregate"),
    ),
)
