"""What cold weather asks of concrete: how warm mixed and placed, how long kept so, how slowly let cool."""

from collections.abc import Iterator

from jobs.domain.units import f_from_c
from jobs.science.cold_hot import (
    COOLING_C_PER_DAY,
    COOLING_C_PER_HOUR,
    HOTTEST_DISCHARGE_C,
    LOSS_PER_HOUR,
    WARMEST_OVER_MINIMUM_C,
    is_cold_weather,
    least_mixed_temp_c,
    least_placed_temp_c,
    protection_days,
    transit_drop_c,
)
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, hours_words
from planner.calculators.answering.pictures import Band, Gauge
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values, yes_or_no
from planner.calculators.asking.units import MINUTES, TEMPERATURE, THICKNESS
from planner.calculators.calculator import Calculator

BY_TEST = "full_load"
SERVICES = {
    "no_load_sheltered": "No load, not exposed",
    "no_load_exposed": "No load, exposed",
    "part_load_exposed": "Part of its load, exposed",
    BY_TEST: "Full load",
}
CARRIERS = {"drum": "Drum that turns", "covered_dump": "Covered dump body", "open_dump": "Open dump body"}

INPUTS = (
    Ask(
        name="section",
        label="Least size of the section",
        kind=THICKNESS,
        low=0.02,
        high=3.0,
        source="aci_306",
        example="6 in",
        help="Thickness of a slab or a wall.",
        formula_names=("section_m",),
    ),
    Ask(
        name="air_temp",
        label="Lowest air temperature expected",
        kind=TEMPERATURE,
        low=-40.0,
        high=40.0,
        source="aci_306",
        example="25 °F",
        formula_names=("air_temp_c",),
    ),
    Choose(
        name="service",
        label="While it is protected it bears",
        options=tuple((key.replace("_", "-"), words) for key, words in SERVICES.items()),
        default="no-load-exposed",
    ),
    yes_or_no("quick", "Quick concrete", help="Type III, an accelerator, or 100 lb more cement in a yard."),
    Ask(
        name="transit",
        label="From batching to discharge",
        kind=MINUTES,
        low=0.0,
        high=3.0,
        source="aci_306_protection",
        default="45 min",
        formula_names=("hours",),
    ),
    Choose(
        name="carrier",
        label="Brought in",
        options=tuple((key.replace("_", "-"), CARRIERS[key]) for key in LOSS_PER_HOUR),
        default="drum",
    ),
)


def compute(values: Values) -> Answer:
    """Temperatures from the plant to the form, and days of protection."""
    section, air = values.si("section"), values.si("air_temp")
    service, quick = values.choice("service").replace("-", "_"), values.yes("quick")
    placed, mixed = least_placed_temp_c(section), least_mixed_temp_c(section, air)
    drop = transit_drop_c(placed, air, values.si("transit"), values.choice("carrier").replace("-", "_"))
    batched = max(mixed, placed + drop)
    kept = "until a test shows its strength" if service == BY_TEST else _days(protection_days(service, quick=quick))
    cold = is_cold_weather(air)
    rule = "" if cold else " The air stays at 40 °F or more: the rules of cold weather do not apply yet."
    return Answer(
        says=f"Batch it at {_f(batched)} °F or warmer, place it at {_f(placed)} °F or warmer, and keep it so"
        f" {kept}.{rule}",
        lines=(
            _line("Least as placed and kept", placed),
            _line("Least as mixed", mixed),
            _line("Lost on the way", drop, difference=True),
            _line("Batch at, at least", batched),
            _line("No warmer than, as placed", placed + WARMEST_OVER_MINIMUM_C),
            Line(label="Keep it protected", value=kept),
            *_cooling(),
        ),
        formula=(
            "By section under 12, 12 to 36, 36 to 72 and over 72 in: 55, 50, 45 and 40 °F as placed. As mixed 5 °F"
            " more, 10 from 30 °F down, 15 below 0 °F.",
            "Lost in an hour: drum 0.25, covered 0.10, open 0.20 of what the concrete is warmer than the air.",
            "Days, ordinary and quick: no load and sheltered 2 and 1, exposed 3 and 2, part load 6 and 4.",
        ),
        sources=(said_source("aci_306"), said_source("aci_306_protection"), said_source("ufgs_cold")),
        cautions=(
            "Nothing is placed on frozen ground, or on snow or ice in the forms. Concrete must not freeze before"
            " 500 psi.",
            "Heaters are vented outside: their fumes poison people and dust the face; somebody watches for fire.",
            "Heated water goes in before the cement, or the mix sets at once: the plant decides how.",
            DEFERS,
        ),
        pictures=(_gauge(air, placed, batched),),
    )


def _f(temp_c: float) -> str:
    return amount(f_from_c(temp_c))


def _days(days: int) -> str:
    return f"for {days} day{'s' if days > 1 else ''}"


def _line(label: str, temp_c: float, *, difference: bool = False) -> Line:
    fahrenheit = 1.8 * temp_c if difference else f_from_c(temp_c)
    return Line(label=label, value=amount(fahrenheit, 1), unit="°F", also=f"{amount(temp_c, 1)} °C")


def _cooling() -> Iterator[Line]:
    hour, day = 1.8 * COOLING_C_PER_HOUR, 1.8 * COOLING_C_PER_DAY
    yield Line(
        label="Then it may cool by, at most",
        value=f"{amount(hour)} °F in an hour",
        also=f"{amount(day)} °F in {hours_words(24)}",
    )


def _gauge(air: float, placed: float, batched: float) -> Gauge:
    air_f, placed_f, batched_f = (f_from_c(temp) for temp in (air, placed, batched))
    hottest = f_from_c(HOTTEST_DISCHARGE_C)
    right = min(placed_f + 1.8 * WARMEST_OVER_MINIMUM_C, hottest)
    return Gauge(
        title="From the air to the plant",
        unit="°F",
        low=min(air_f - 8, placed_f - 30),
        bands=(
            Band(until=placed_f, label="too cold", tone="stop"),
            Band(until=right, label="right", tone="calm"),
            Band(until=hottest, label="warm", tone="watch"),
            Band(until=max(hottest + 12, batched_f + 8), label="hot", tone="stop"),
        ),
        value=batched_f,
        says=f"batch at {amount(batched_f)} °F",
        was=air_f,
        was_says=f"air {amount(air_f)} °F",
    )


CALCULATOR = Calculator(
    name="cold",
    title="Cold weather",
    question="How warm must it be mixed and placed, and how long protected?",
    inputs=INPUTS,
    compute=compute,
)
