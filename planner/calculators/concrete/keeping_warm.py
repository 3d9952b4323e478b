"""How warm young concrete stays in the air around it, whether it freezes, and how strong it gets."""

import math
from dataclasses import replace

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.domain.units import f_from_c, m_from_in
from jobs.science.cold_hot import FREEZE_SAFE_MPA, FREEZES_AT_C, first_frost_h
from jobs.science.concrete_temperature import Member, concrete_temps_c, insulated_wall, slab
from jobs.science.maturity import step_means_c
from jobs.science.ranges import Array
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.strength import fractions_by_hour, hours_to_fraction
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, hours_words, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, Series, Threshold
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import COUNT, STRENGTH, TEMPERATURE, THICKNESS
from planner.calculators.calculator import Calculator
from planner.calculators.concrete.strength import CEMENT, LAWS, NEEDED

MEMBERS = {
    "slab": "Slab or deck, bare",
    "slab-blanket": "Slab or deck under a blanket",
    "insulated-wall": "Wall between insulating forms",
}
# The air is coldest about sunrise and warmest in the afternoon; concrete is placed in the morning.
COLDEST_H, WARMEST_H, PLACED_H = 6.0, 15.0, 8.0
MOST_DAYS = 28

INPUTS = (
    Choose(name="member", label="What was placed", options=tuple(MEMBERS.items()), default="slab-blanket"),
    Ask(
        name="thickness",
        label="Thickness, or core of a wall",
        kind=THICKNESS,
        low=m_from_in(2.0),
        high=1.0,
        source=COMMON_PRACTICE,
        example="6 in",
        formula_names=("thickness_m",),
    ),
    Ask(
        name="placed",
        label="Concrete as placed",
        kind=TEMPERATURE,
        low=0.0,
        high=40.0,
        source=COMMON_PRACTICE,
        example="60 °F",
        formula_names=("placed_c",),
    ),
    Ask(
        name="coldest",
        label="Coldest air of a day",
        kind=TEMPERATURE,
        low=-40.0,
        high=50.0,
        source=COMMON_PRACTICE,
        example="24 °F",
        help="At sunrise, in these days.",
        formula_names=("air_temps_c",),
    ),
    Ask(
        name="warmest",
        label="Warmest air of a day",
        kind=TEMPERATURE,
        low=-40.0,
        high=50.0,
        source=COMMON_PRACTICE,
        example="42 °F",
    ),
    Ask(
        name="days",
        label="Days to look at",
        kind=COUNT,
        low=1,
        high=MOST_DAYS,
        source=COMMON_PRACTICE,
        default="7",
        whole=True,
    ),
    CEMENT,
    replace(NEEDED, default="35 %"),
    Ask(
        name="specified",
        label="Specified 28-day strength",
        kind=STRENGTH,
        low=14.0,
        high=70.0,
        source="aci_306",
        default="4,000 psi",
        formula_names=("specified_mpa",),
    ),
)


def compute(values: Values) -> Answer:
    """Temperature by hour, frost, and the share of strength."""
    hours = 24 * round(values.si("days"))
    air = _air(values, hours)
    temps = concrete_temps_c(air, placed_c=values.si("placed"), member=_member(values))
    means = step_means_c(temps)
    law, words, source = LAWS[values.choice("cement")]
    shares = fractions_by_hour(means, law=law)
    frost = first_frost_h(means, specified_mpa=values.si("specified"), law=law)
    coldest = int(np.argmin(temps))
    percent = values.si("percent")
    frozen = (
        "it does not freeze while it is weak"
        if frost is None
        else f"it freezes after {hours_words(frost)}, before it is strong enough"
    )
    share = 100 * float(shares[-1])
    return Answer(
        says=f"In {_days(values)} it cools to {amount(f_from_c(float(temps.min())))} °F at the coldest: {frozen}.",
        lines=(
            line(
                "Coldest concrete",
                f_from_c(float(temps.min())),
                "°F",
                also=f"after {hours_words(coldest)}" if coldest else "as placed",
            ),
            Line(label="Frost", value=frozen),
            Line(label=f"{amount(percent)} % reached after", value=_reached(means, values)),
            line(f"Share of the 28-day strength after {_days(values)}", share, "%", 1),
        ),
        formula=(
            "Each hour: (air − concrete) / time constant + warmth of hydration. Time constant = density × heat ×"
            " thickness / loss: 15 W/m²K bare, 2.5 under a blanket, 1.06 between insulating forms.",
            "The air swings between its coldest, at sunrise, and its warmest, in mid-afternoon; placed at 8 in the"
            " morning.",
            f"It freezes below {amount(f_from_c(FREEZES_AT_C))} °F and bears it from {amount(FREEZE_SAFE_MPA, 1)} MPa"
            f" (500 psi). Strength: {words}.",
        ),
        sources=(
            f"Losses and warmth of hydration: estimates, {COMMON_PRACTICE}",
            f"Frost: {said_source('aci_306')}",
            said_source(source),
            said_source("fhp_1977"),
        ),
        cautions=(
            "One temperature for the whole member. Edges and corners are colder; so is its face, in the first hours by"
            " up to a fifth of the difference to the air where it is bare, by a tenth under a blanket. A probe"
            " in the concrete beats this, and its readings go into the maturity calculator.",
            "Wind under a loose blanket takes its worth away: weigh down its edges.",
            DEFERS,
        ),
        pictures=(_curve(temps, air, coldest),),
    )


def _days(values: Values) -> str:
    count = round(values.si("days"))
    return f"{count} day{'s' if count > 1 else ''}"


def _member(values: Values) -> Member:
    thickness, kind = values.si("thickness"), values.choice("member")
    if kind == "insulated-wall":
        return insulated_wall(thickness)
    return slab(thickness, blanket=kind == "slab-blanket")


def _air(values: Values, hours: int) -> Array:
    low, high = values.si("coldest"), values.si("warmest")
    if high < low:
        raise CannotDo(
            "calculator.warmest_below_coldest",
            field="warmest",
            warmest=f"{amount(f_from_c(high))} °F",
            coldest=f"{amount(f_from_c(low))} °F",
        )
    clock = (PLACED_H + np.arange(hours) + 0.5) % 24
    # Up from sunrise to the afternoon, down until the next sunrise, each as half a cosine.
    rising = (clock >= COLDEST_H) & (clock < WARMEST_H)
    up = (clock - COLDEST_H) / (WARMEST_H - COLDEST_H)
    down = ((clock - WARMEST_H) % 24) / (24 - (WARMEST_H - COLDEST_H))
    swing = np.where(rising, (1 - np.cos(math.pi * up)) / 2, (1 + np.cos(math.pi * down)) / 2)
    return np.asarray(low + (high - low) * swing, dtype=float)


def _reached(means: Array, values: Values) -> str:
    law, _, _ = LAWS[values.choice("cement")]
    try:
        hours = hours_to_fraction(means, values.si("percent") / 100, law=law)
    except CannotDo as refusal:
        if refusal.code != "strength.not_reached":
            raise
        return "not in these days"
    return hours_words(hours, at_least=True)


def _curve(temps: Array, air: Array, coldest: int) -> Curve:
    days = len(air) / 24
    concrete = [(hour / 24, f_from_c(float(temp))) for hour, temp in enumerate(temps)]
    around = [((hour + 0.5) / 24, f_from_c(float(temp))) for hour, temp in enumerate(air)]
    lowest, highest = (edge([temp for _, temp in (*concrete, *around)]) for edge in (min, max))
    at = concrete[coldest]
    return Curve(
        title="Concrete and air",
        x=Axis(label="Days since placing", unit="d", low=0.0, high=days),
        y=Axis(label="Temperature", unit="°F", low=min(20.0, 10 * (lowest // 10)), high=highest + 12),
        series=(Series(label="concrete", points=tuple(concrete)), Series(label="air", points=tuple(around))),
        marks=(Mark(at=at, label=f"{amount(at[1])} °F", says=f"coldest {amount(at[1])} °F"),),
        threshold=Threshold(at=f_from_c(FREEZES_AT_C), label="freezes"),
        table=tuple(days * step / 7 for step in range(8)),
    )


CALCULATOR = Calculator(
    name="keeping-warm",
    title="Keeping it warm",
    question="How warm does young concrete stay, and does it freeze?",
    inputs=INPUTS,
    compute=compute,
)
