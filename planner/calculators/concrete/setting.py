"""How long concrete takes to set, and from when rain no longer spoils it."""

from typing import cast

from jobs.domain.units import c_from_f, f_from_c
from jobs.science.setting import (
    HIGHEST_C,
    LOWEST_C,
    NO_SHORTER_ABOVE_C,
    PUBLISHED_F_HOURS,
    Admixture,
    initial_set_hours,
    rain_safe_hours,
    set_shares,
)
from jobs.science.sources import COMMON_PRACTICE
from jobs.science.wall_pour import cover_within_h
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, hours_words
from planner.calculators.answering.pictures import Axis, Curve, Mark, Series
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import HOURS, TEMPERATURE
from planner.calculators.calculator import Calculator

COLDEST_F, HOTTEST_F = PUBLISHED_F_HOURS[0][0], PUBLISHED_F_HOURS[-1][0]
# Where no model of setting holds, rain is kept off this long (ufgs_rain).
WITHOUT_MODEL_H = 12.0
SAID = {
    "none": "ordinary concrete without admixtures",
    "retarder": "with a retarder, as the standard lets it delay",
    "accelerator": "with an accelerator, as the standard lets it hasten",
}

INPUTS = (
    Ask(
        name="concrete_temp",
        label="Concrete temperature over those hours",
        kind=TEMPERATURE,
        low=LOWEST_C,
        high=HIGHEST_C,
        source="psu_setting",
        example="60 °F",
        formula_names=("concrete_temp_c",),
    ),
    Ask(
        name="hours_at_70",
        label="Hours to keep rain off at 70 °F",
        kind=HOURS,
        low=0.0,
        high=48.0,
        source=COMMON_PRACTICE,
        default="8 h",
        help="For finished floors and decks; an engineer or a specification may ask for more.",
        formula_names=("hours_at_21c",),
    ),
    Choose(
        name="admixture",
        label="Added for the set",
        options=(("none", "Nothing"), ("retarder", "Retarder"), ("accelerator", "Accelerator")),
        default="none",
        help="As the ticket of the load says; ask the producer how much.",
    ),
)


def compute(values: Values) -> Answer:
    """Initial set, the rain-safe hour, and the time until the next lift must cover."""
    temp, asked = values.si("concrete_temp"), values.si("hours_at_70")
    added = cast(Admixture, values.choice("admixture"))
    initial, safe = initial_set_hours(temp), rain_safe_hours(temp, asked, added)
    earliest, latest = (share * initial for share in set_shares(added))
    floor = (
        f"Above {amount(f_from_c(NO_SHORTER_ABOVE_C))} °F the hours are not made shorter: hot concrete sets faster than"
        " its finish can be trusted.",
    )
    return Answer(
        says=f"Keep rain off for {hours_words(safe, at_least=True)} after the end of placing.",
        lines=(
            Line(
                label="Rain-safe after",
                value=hours_words(safe, at_least=True),
                also=f"{amount(safe, 1)} h from the end of placing",
            ),
            Line(
                label="Initial set",
                value=hours_words(initial, at_least=True)
                if added == "none"
                else f"{hours_words(earliest)} to {hours_words(latest, at_least=True)}",
                also=f"from mixing; {SAID[added]}",
            ),
            Line(
                label="Next wall pass must cover within",
                value=hours_words(cover_within_h(temp, added)),
                also="a quarter of initial set, the earliest",
            ),
            *(_unmodelled() if added == "none" else ()),
        ),
        formula=(
            "Initial set: between the rows of the published table, straight in the logarithm of the hours.",
            "Rain-safe hours = hours at 70 °F × set at this temperature / set at 70 °F.",
            *(
                ("Added for the set: × (1 + shift / 6 h); the latest counts for rain, the earliest for passes.",)
                if added != "none"
                else ()
            ),
            *(floor if temp > NO_SHORTER_ABOVE_C else ()),
        ),
        sources=(
            said_source("psu_setting"),
            *(
                (f"Retarder 1 to 3.5 h later, accelerator 1 to 3.5 h sooner: {said_source('astm_c494')}",)
                if added != "none"
                else ()
            ),
            f"That harm by rain follows the set, and a quarter of set between passes: {COMMON_PRACTICE}",
            f"12 hours: {said_source('ufgs_rain')}",
        ),
        cautions=(
            "Slag and fly ash set later, and what is added works more or less in heat and cold: ask the producer, and"
            " press the surface with a boot before a cover comes off.",
            "Concrete under 30 °F does not set: heat and cover it before it is placed.",
            DEFERS,
        ),
        pictures=(_curve(temp, safe, asked, added),),
    )


def _unmodelled() -> tuple[Line, ...]:
    return (
        Line(label="Where the mix is not ordinary", value=hours_words(WITHOUT_MODEL_H), also="keep rain off this long"),
    )


def _curve(temp: float, safe: float, asked: float, added: Admixture) -> Curve:
    marks = [COLDEST_F + step for step in range(int(HOTTEST_F - COLDEST_F) + 1)]
    rain = tuple((fahrenheit, rain_safe_hours(c_from_f(fahrenheit), asked, added)) for fahrenheit in marks)
    initial = tuple((fahrenheit, initial_set_hours(c_from_f(fahrenheit))) for fahrenheit in marks)
    at = f_from_c(temp)
    return Curve(
        title="Colder concrete stays soft longer",
        x=Axis(label="Concrete temperature", unit="°F", low=COLDEST_F, high=HOTTEST_F),
        y=Axis(label="Hours", unit="h", low=0.0, high=1.1 * max(rain[0][1], initial[0][1])),
        series=(Series(label="rain-safe", points=rain), Series(label="initial set", points=initial)),
        marks=(
            Mark(
                at=(at, safe),
                label=hours_words(safe, at_least=True),
                says=f"rain-safe after {hours_words(safe, at_least=True)} at {amount(at)} °F",
            ),
        ),
        table=tuple(fahrenheit for fahrenheit, _ in PUBLISHED_F_HOURS),
    )


CALCULATOR = Calculator(
    name="setting",
    title="Setting and rain",
    question="From when does rain no longer spoil it?",
    inputs=INPUTS,
    compute=compute,
)
