"""How fast fresh concrete dries."""

from jobs.domain.errors import OutsideValidRange
from jobs.domain.units import f_from_c, mph_from_m_s
from jobs.science.evaporation import (
    CRACKING_POSSIBLE_KG_M2_H,
    KG_M2_PER_LB_FT2,
    PRECAUTIONS_KG_M2_H,
    drying,
    evaporation_bounds_kg_m2_h,
    evaporation_by_temperatures_kg_m2_h,
    evaporation_kg_m2_h,
)
from jobs.science.psychrometrics import dew_point_c
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Band, Gauge
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.air import AIR, HUMIDITY, SURFACE_WIND, WIND_AT, WIND_SPEED, surface_wind
from planner.calculators.asking.inputs import Ask, Values
from planner.calculators.asking.units import TEMPERATURE
from planner.calculators.calculator import Calculator, Derived

UNIT = "lb/ft²/h"
VERDICTS = {
    "low": "no precaution is asked for",
    "cracking_possible": "cracking is possible, above all with silica fume or little bleed water",
    "precautions": "take precautions before it is placed",
}
ADVICE = "Windbreak, shade, cooler mix, fog, evaporation retarder, sheeting, or a pour at night: each lowers the rate."

INPUTS = (
    Ask(
        name="concrete_temp",
        label="Concrete temperature at the surface",
        kind=TEMPERATURE,
        low=0.0,
        high=50.0,
        source="menzel_1954",
        example="80 °F",
        formula_names=("concrete_temp_c",),
    ),
    AIR,
    HUMIDITY,
    WIND_SPEED,
    WIND_AT,
)


def compute(values: Values) -> Answer:
    """The rate, its uncertainty, and what it asks for."""
    concrete, air, humidity = values.si("concrete_temp"), values.si("air_temp"), values.si("humidity")
    wind = surface_wind(values)
    dew = dew_point_c(air, humidity)
    rate = evaporation_kg_m2_h(concrete, dew, wind)
    low, high = evaporation_bounds_kg_m2_h(rate)
    verdict = VERDICTS[drying(rate)]
    return Answer(
        says=f"The surface loses {amount(_lb(rate), 2)} {UNIT}: {verdict}.",
        lines=(
            line("Evaporation", _lb(rate), UNIT, 3, also=f"{amount(rate, 2)} kg/m²/h"),
            Line(
                label="True rate, within 40 %",
                value=f"{amount(_lb(low), 2)} to {amount(_lb(high), 2)}",
                unit=UNIT,
                also=f"{amount(low, 2)} to {amount(high, 2)} kg/m²/h",
            ),
            Line(label="Verdict", value=verdict),
            _second_opinion(concrete, air, humidity, wind),
            line("Dew point", f_from_c(dew), "°F", 1, also=f"{amount(dew, 1)} °C"),
            line("Wind at the slab", mph_from_m_s(wind), "mph", 1, also=f"{amount(wind, 1)} m/s"),
        ),
        formula=(
            "E = 0.44 (e concrete − e air) (0.253 + 0.096 V); lb/ft²/h, psi, mph; never below 0: a surface colder than"
            " the dew point gains water.",
            "Second opinion: E = (Tc^2.5 − RH/100 × Ta^2.5) (1 + 0.4 V) / 1,000,000; °F, mph.",
        ),
        sources=(
            said_source("menzel_1954"),
            said_source("uno_1998"),
            f"Limits: {said_source('aci_305')}",
            f"Uncertainty: {said_source('hover_2020')}",
            f"Wind brought down from 33 ft: {said_source('wmo_8')}",
        ),
        cautions=(
            ADVICE,
            "It holds until bleed water is gone and the surface is covered; sun on the slab warms it above its mix.",
            DEFERS,
        ),
        pictures=(_gauge(rate, low, high),),
    )


def _lb(rate_kg_m2_h: float) -> float:
    return rate_kg_m2_h / KG_M2_PER_LB_FT2


def _second_opinion(concrete: float, air: float, humidity: float, wind: float) -> Line:
    label = "Second opinion, single equation"
    try:
        rate = evaporation_by_temperatures_kg_m2_h(concrete, air, humidity, wind)
    except OutsideValidRange:
        return Line(label=label, value="outside its range", also="it holds for 59 to 95 °F")
    return line(label, _lb(rate), UNIT, 3, also=f"{amount(rate, 2)} kg/m²/h")


def _gauge(rate: float, low: float, high: float) -> Gauge:
    possible, precautions = _lb(CRACKING_POSSIBLE_KG_M2_H), _lb(PRECAUTIONS_KG_M2_H)
    return Gauge(
        title="How fast the surface dries",
        unit=UNIT,
        low=0.0,
        bands=(
            Band(until=possible, label="low", tone="calm"),
            Band(until=precautions, label="may crack", tone="watch"),
            Band(until=max(2 * precautions, 1.1 * _lb(high)), label="precautions", tone="stop"),
        ),
        value=_lb(rate),
        says=f"{amount(_lb(rate), 2)} {UNIT}",
        span=(_lb(low), _lb(high)),
        span_says=f"true rate {amount(_lb(low), 2)} to {amount(_lb(high), 2)}",
        decimals=2,
    )


CALCULATOR = Calculator(
    name="evaporation",
    title="Evaporation",
    question="Does the fresh surface dry too fast?",
    inputs=INPUTS,
    compute=compute,
    derived=(SURFACE_WIND, Derived(formula_name="dew_point_c", label="Dew point", field="humidity")),
)
