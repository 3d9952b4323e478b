"""How fast concrete may rise between wall forms."""

import math

from jobs.domain.order.pump import PUMPS, pump_for
from jobs.domain.units import ft_from_m, m_from_ft, m_from_in, psf_from_kpa, yd3_from_m3
from jobs.science.formwork import (
    CHEMISTRY,
    HIGHEST_FT_H,
    chemistry_factor,
    ciria_pressure_kpa,
    highest_rate_m_h,
    hydrostatic_kpa,
    wall_pressure_kpa,
    weight_factor,
)
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.wall_pour import USUAL_RISE_M_H
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, feet_words, hours_words, least, line
from planner.calculators.answering.pictures import PressureDiagram
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values, yes_or_no
from planner.calculators.asking.units import DENSITY, FORM_PRESSURE, LENGTH, TEMPERATURE, THICKNESS
from planner.calculators.calculator import Calculator

WALL = "Length and core (for yards an hour)"
# Weight of concrete [kN/m3] of a density [kg/m3], within what the second opinion is printed for.
KN_PER_KG = 9.80665e-3
CIRIA_PORTLAND, CIRIA_OTHER = 0.3, 0.45

CEMENTS = {
    "portland": "Portland, type I, II or III",
    "blended": "Blended, under 70 % slag or 40 % fly ash",
    "high_slag_or_ash": "More slag or fly ash",
}

FORM_INPUTS = (
    Ask(
        name="rating",
        label="Pressure the form is rated for",
        kind=FORM_PRESSURE,
        low=1.0,
        high=200.0,
        source="aci_347",
        example="900 psf",
        help="From the form maker, with the bracing and ties as they stand.",
        formula_names=("rated_kpa",),
    ),
    Ask(
        name="concrete_temp",
        label="Concrete temperature",
        kind=TEMPERATURE,
        low=40 / 9,
        high=38.0,
        source="aci_347",
        example="60 °F",
        formula_names=("concrete_temp_c",),
    ),
    Ask(
        name="height",
        label="Height poured at once",
        kind=LENGTH,
        low=0.1,
        high=10.0,
        source="aci_347",
        example="8 ft",
        formula_names=("height_m",),
    ),
    Choose(
        name="cement",
        label="Cement",
        options=tuple((key.replace("_", "-"), CEMENTS[key]) for key in CHEMISTRY),
        default="portland",
    ),
    yes_or_no("retarder", "Retarder", help="Also a water reducer that retards."),
    Ask(
        name="density",
        label="Weight of the concrete",
        kind=DENSITY,
        low=1500.0,
        high=3000.0,
        source="aci_347",
        default="150 lb/ft³",
        formula_names=("density_kg_m3",),
    ),
)
INPUTS = (
    *FORM_INPUTS,
    Ask(
        name="core_length",
        label="Wall, along the middle of its core",
        kind=LENGTH,
        low=m_from_ft(2.0),
        high=m_from_ft(600.0),
        source=COMMON_PRACTICE,
        optional=True,
        example="120 ft",
        group=WALL,
    ),
    Ask(
        name="core",
        label="Thickness of the core",
        kind=THICKNESS,
        low=m_from_in(2.0),
        high=m_from_in(36.0),
        source=COMMON_PRACTICE,
        optional=True,
        example="6 in",
        group=WALL,
    ),
    Ask(
        name="reach",
        label="From where trucks can stand to the farthest wall",
        kind=LENGTH,
        low=0.0,
        high=PUMPS[-1].reach_m,
        source=COMMON_PRACTICE,
        optional=True,
        group="Reach (for what places it)",
        formula_names=("reach_m",),
    ),
)


def compute(values: Values) -> Answer:
    """The highest rise, the pressure at it, and the yards an hour it means."""
    rated, temp, height = values.si("rating"), values.si("concrete_temp"), values.si("height")
    density, retarder = values.si("density"), values.yes("retarder")
    cement = values.choice("cement").replace("-", "_")
    chemistry = chemistry_factor(cement, retarder=retarder)
    fastest = highest_rate_m_h(rated, temp, height, density_kg_m3=density, chemistry=chemistry)
    liquid = hydrostatic_kpa(height, density)
    unlimited = math.isinf(fastest)
    most = liquid if unlimited else wall_pressure_kpa(fastest, temp, height, density_kg_m3=density, chemistry=chemistry)
    usual = min(fastest, USUAL_RISE_M_H)
    return Answer(
        says=_says(fastest, height),
        lines=(
            Line(label="Highest rise the form allows", value="no limit from the form")
            if unlimited
            else Line(
                label="Highest rise the form allows",
                value=least(ft_from_m(fastest), 2),
                unit="ft/h",
                also=f"{least(fastest, 2)} m/h",
            ),
            line("Pressure then", psf_from_kpa(most), "psf", also=f"{amount(most, 1)} kPa"),
            line("Liquid concrete at the foot", psf_from_kpa(liquid), "psf", also=f"{amount(liquid, 1)} kPa"),
            line("Usual rise, at most", ft_from_m(usual), "ft/h", 1, also="two to four feet an hour: common practice"),
            Line(label="Filled at the usual rise in", value=hours_words(height / usual)),
            line("Coefficients, chemistry and weight", chemistry * weight_factor(density), "", 2),
            *_second_opinion(fastest, temp, height, density, cement == "portland" and not retarder),
            *_yards(values, usual, fastest),
            *_pump(values, usual),
        ),
        formula=(
            "Up to 14 ft and under 7 ft/h: p = Cw Cc (150 + 9,000 R / T).",
            "Higher walls, or 7 to 15 ft/h: p = Cw Cc (150 + 43,400 / T + 2,800 R / T). Faster: p = w h.",
            "At least 600 Cw and never above w h. p in psf, R in ft/h, T in °F. Solved for R at the rated pressure.",
        ),
        sources=(said_source("aci_347"), said_source("hurd_pressure"), f"Second opinion: {said_source('ciria_108')}"),
        cautions=(
            "Concrete above 7 in slump, vibration deeper than 4 ft and revibration press like a liquid: then the form"
            " must bear w h.",
            "A form that gives way kills: nobody stands below a wall being poured, and somebody watches ties and"
            " bracing all the time. Slow down or stop at the first sound or bulge.",
            "Colder concrete presses longer: measure the temperature of every load.",
            DEFERS,
        ),
        pictures=(
            PressureDiagram(
                title="Pressure on the form",
                height_ft=ft_from_m(height),
                most_psf=psf_from_kpa(most),
                liquid_psf=psf_from_kpa(liquid),
                rated_psf=psf_from_kpa(rated),
            ),
        ),
    )


def _says(fastest: float, height: float) -> str:
    if math.isinf(fastest):
        return f"The form bears {feet_words(height)} of liquid concrete: it sets no limit to the rise."
    most = ", the most the formula knows" if fastest >= m_from_ft(HIGHEST_FT_H) - 1e-9 else ""
    return f"The concrete may rise {least(ft_from_m(fastest), 1)} ft an hour at most{most}."


def _second_opinion(fastest: float, temp: float, height: float, density: float, plain: bool) -> tuple[Line, ...]:
    label = "Second opinion on that pressure"
    weight = density * KN_PER_KG
    if not 15 <= weight <= 30 or math.isinf(fastest):
        return ()
    kpa = ciria_pressure_kpa(
        fastest, temp, height, weight_kn_m3=weight, chemistry=CIRIA_PORTLAND if plain else CIRIA_OTHER
    )
    return (line(label, psf_from_kpa(kpa), "psf", also=f"{amount(kpa, 1)} kPa by the British report"),)


def _yards(values: Values, usual: float, fastest: float) -> tuple[Line, ...]:
    length, core = values.maybe("core_length"), values.maybe("core")
    if length is None or core is None:
        return ()
    plan = length * core
    at_most = () if math.isinf(fastest) else (line("Most yards an hour", yd3_from_m3(plan * fastest), "yd³/h", 1),)
    return (
        line("Yards an hour at the usual rise", yd3_from_m3(plan * usual), "yd³/h", 2),
        *at_most,
        line("Concrete in the core", yd3_from_m3(plan * values.si("height")), "yd³", 1),
    )


def _pump(values: Values, usual: float) -> tuple[Line, ...]:
    """What places it, at the usual rise where the wall's sizes are known; a rule of thumb."""
    reach = values.maybe("reach")
    if reach is None:
        return ()
    length, core = values.maybe("core_length"), values.maybe("core")
    rate = 0.0 if length is None or core is None else length * core * usual
    pump = pump_for(reach_m=reach, rate_m3_h=rate)
    return (
        Line(label="What places it", value=pump.title, also=f"rule of thumb, {pump.source}"),
        Line(
            label="It reaches and places",
            value=f"{amount(ft_from_m(pump.reach_m))} ft, {amount(yd3_from_m3(pump.most_m3_h))} yd³/h",
            also=pump.caution,
        ),
    )


CALCULATOR = Calculator(
    name="pour-rate",
    title="Pour rate",
    question="How fast may I pour this wall?",
    inputs=INPUTS,
    compute=compute,
)
