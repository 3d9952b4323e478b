"""When concrete is strong enough, and how strong it is at an age, kept at one temperature."""

import math

import numpy as np

from jobs.domain.units import mpa_from_psi, psi_from_mpa
from jobs.science.maturity import equivalent_ages_h
from jobs.science.ranges import Array
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.strength import (
    ACI_LAWS,
    DEFAULT_RATE,
    EUROPEAN_LAWS,
    HOURS_A_DAY,
    OLDEST_H,
    StrengthLaw,
    fractions_by_hour,
    hours_to_fraction,
)
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, hours_words, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, Series, Threshold
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import DAYS, PERCENT, STRENGTH, TEMPERATURE
from planner.calculators.calculator import Calculator, Derived

LAWS: dict[str, tuple[StrengthLaw, str, str]] = {
    "type-i": (ACI_LAWS["I", "moist"], "US type I, moist cured", "aci_209"),
    "type-iii": (ACI_LAWS["III", "moist"], "US type III, moist cured", "aci_209"),
    "class-n": (EUROPEAN_LAWS["N"], "European class N, normal", "ec2"),
    "class-r": (EUROPEAN_LAWS["R"], "European class R, rapid", "ec2"),
    "class-s": (EUROPEAN_LAWS["S"], "European class S, slow", "ec2"),
}
FORMULAS = {
    "aci_209": "Share of the 28-day strength at 70 °F: f = t / (a + b t), t in days.",
    "ec2": "Share of the 28-day strength at 68 °F: f = exp(s (1 − √(28 / t))), t in days.",
}
WARM_C = 20.0
TABLE_DAYS = (1.0, 3.0, 7.0, 14.0, 28.0)
SHORTEST_CURVE_DAYS = 10

CEMENT = Choose(
    name="cement",
    label="Cement",
    options=tuple((key, words) for key, (_, words, _) in LAWS.items()),
    default="type-i",
)
NEEDED = Ask(
    name="percent",
    label="Share of the 28-day strength needed",
    kind=PERCENT,
    low=1.0,
    high=100.0,
    source=COMMON_PRACTICE,
    default="70 %",
    help="The engineer says what each load needs.",
    formula_names=("fraction",),
)
SPECIFIED = Ask(
    name="specified",
    label="Specified 28-day strength",
    kind=STRENGTH,
    low=mpa_from_psi(1500.0),
    high=mpa_from_psi(12_000.0),
    source=COMMON_PRACTICE,
    optional=True,
    example="4,000 psi",
)
INPUTS = (
    Ask(
        name="concrete_temp",
        label="Concrete temperature, kept all the time",
        kind=TEMPERATURE,
        low=0.0,
        high=80.0,
        source="fhp_1977",
        example="50 °F",
        help="The concrete's own, not the air's: a probe or a blanketed thermometer.",
        formula_names=("temps_c", "temp_c"),
    ),
    CEMENT,
    NEEDED,
    Ask(
        name="age",
        label="Age to look at",
        kind=DAYS,
        low=HOURS_A_DAY,
        high=OLDEST_H,
        source="aci_209",
        optional=True,
        example="7 d",
    ),
    SPECIFIED,
)


def compute(values: Values) -> Answer:
    """Time to a share, share at an age, and the curve."""
    temp, percent = values.si("concrete_temp"), values.si("percent")
    law, words, source = LAWS[values.choice("cement")]
    steady = _steady(temp, law)
    hours = hours_to_fraction(steady, percent / 100, law=law)
    warm = hours_to_fraction(_steady(WARM_C, law), percent / 100, law=law)
    shares = fractions_by_hour(steady, law=law)
    specified = values.maybe("specified")
    wanted = f"{amount(percent)} %"
    return Answer(
        says=f"{wanted} of the 28-day strength is there after {hours_words(hours, at_least=True)}.",
        lines=(
            Line(
                label=f"{wanted} reached after",
                value=hours_words(hours, at_least=True),
                also=f"{amount(hours / 24, 2)} days",
            ),
            Line(
                label="The same at 68 °F", value=hours_words(warm, at_least=True), also=f"{amount(warm / 24, 2)} days"
            ),
            *(() if specified is None else (_pressure(f"Strength at {wanted}", percent / 100, specified),)),
            *_at_age(values, law, specified),
        ),
        formula=(
            FORMULAS[source] + f" Here: {words}.",
            "Hours at 68 °F that an hour counts: exp(−Ea / R (1 / T − 1 / 293)), Ea = 33.5 + 1.47 (20 − T °C) kJ/mol"
            " below 68 °F, else 33.5. The law counts its own reference day as a day.",
        ),
        sources=(said_source(source), said_source("fhp_1977"), said_source("astm_c1074")),
        cautions=(
            "For ordinary concrete kept moist at this temperature all the time; it dries and cools at edges first."
            " Under three days the laws scatter most.",
            "A test on the concrete governs. What is loaded, backfilled or stripped on its strength waits for the"
            " engineer's rule.",
            "Fresh concrete must not freeze before 500 psi; below 40 °F protect it.",
            DEFERS,
        ),
        pictures=(_curve(temp, percent, hours, shares, law),),
    )


def _steady(temp: float, law: StrengthLaw) -> Array:
    """As many hours at one temperature as the law knows: hot concrete is a year old by it long before the calendar."""
    worth = equivalent_ages_h(np.array([temp, law.reference_c]), rate=DEFAULT_RATE)
    each = float(worth[0] / (worth[1] - worth[0]))
    return np.full(int(OLDEST_H / max(each, 1.0)) - 1, temp)


def _share_at(shares: Array, hours: float) -> float:
    return float(np.interp(hours, np.arange(len(shares) + 1), np.concatenate([[0.0], shares])))


def _pressure(label: str, share: float, specified_mpa: float) -> Line:
    mpa = share * specified_mpa
    return line(label, psi_from_mpa(mpa), "psi", also=f"{amount(mpa, 1)} MPa")


def _at_age(values: Values, law: StrengthLaw, specified: float | None) -> tuple[Line, ...]:
    age = values.maybe("age")
    if age is None:
        return ()
    share = _share_at(fractions_by_hour(np.full(math.ceil(age), values.si("concrete_temp")), law=law), age)
    label = f"At {hours_words(age)}"
    at = line(label, 100 * share, "% of 28 days", 1)
    return (at,) if specified is None else (at, _pressure(f"Strength at {hours_words(age)}", share, specified))


def _curve(temp: float, percent: float, hours: float, shares: Array, law: StrengthLaw) -> Curve:
    days = min(max(SHORTEST_CURVE_DAYS, math.ceil(1.3 * hours / 24)), len(shares) // 24)
    warm = fractions_by_hour(np.full(24 * days, WARM_C), law=law)
    marks = np.linspace(0.0, days, 61)
    fahrenheit = f"{amount(temp * 1.8 + 32)} °F"

    def line_of(label: str, by_hour: Array) -> Series:
        return Series(label=label, points=tuple((float(day), 100 * _share_at(by_hour, 24 * day)) for day in marks))

    return Curve(
        title="Strength against age",
        x=Axis(label="Days since placing", unit="d", low=0.0, high=float(days)),
        y=Axis(label="Share of the 28-day strength", unit="%", low=0.0, high=110.0 if percent > 90 else 100.0),
        series=(
            line_of(f"at {fahrenheit}", shares),
            *(() if abs(temp - WARM_C) < 1 else (line_of("at 68 °F", warm),)),
        ),
        marks=(
            Mark(
                at=(hours / 24, percent),
                label=hours_words(hours, at_least=True),
                says=f"{amount(percent)} % after {hours_words(hours, at_least=True)}",
            ),
        ),
        threshold=Threshold(at=percent, label=f"{amount(percent)} % needed"),
        table=tuple(day for day in TABLE_DAYS if day <= days),
    )


CALCULATOR = Calculator(
    name="strength",
    title="Strength",
    question="When is the concrete strong enough?",
    inputs=INPUTS,
    compute=compute,
    derived=(Derived(formula_name="age_h", label="Age as the law counts it", field="age"),),
)
