"""What the air does to people: heat index, wind chill, and what they ask for."""

from jobs.domain.units import M_S_PER_MPH, f_from_c
from jobs.science.heat import (
    FROSTBITE_WIND_CHILL_C,
    HEAT_INDEX_FROM_TEMP_C,
    SUN_ADDS_C,
    WIND_CHILL_MAX_TEMP_C,
    WIND_CHILL_MIN_WIND_M_S,
    apparent_temp_c,
    heat_band,
    heat_class,
)
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, line
from planner.calculators.answering.pictures import Band, Gauge
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import PERCENT, TEMPERATURE, WIND
from planner.calculators.calculator import Calculator, Derived

MEASURES = {
    "lower": "Water, and shade for breaks. People new to heat start slowly.",
    "moderate": "Four cups of water an hour, shade, breaks, and somebody who watches for signs of heat illness.",
    "high": "More breaks, less heavy work, water on a schedule, and move the heavy part of the day to the morning.",
    "very_high": "Put off what can be put off; short turns with long breaks, and somebody always watching.",
}
BANDS = {"lower": "lower risk", "moderate": "moderate", "high": "high", "very_high": "very high to extreme"}
CLASSES = {
    "none": "below caution",
    "caution": "caution",
    "extreme_caution": "extreme caution",
    "danger": "danger",
    "extreme_danger": "extreme danger",
}

INPUTS = (
    Ask(
        name="air_temp",
        label="Air temperature, in the shade",
        kind=TEMPERATURE,
        low=-45.0,
        high=50.0,
        source="nws_heat_index",
        example="92 °F",
        formula_names=("air_temp_c",),
    ),
    Ask(
        name="humidity",
        label="Relative humidity",
        kind=PERCENT,
        low=0.0,
        high=100.0,
        source="nws_heat_index",
        example="60 %",
        formula_names=("humidity_percent",),
    ),
    Ask(
        name="wind",
        label="Wind of the forecast",
        kind=WIND,
        low=0.0,
        high=60 * M_S_PER_MPH,
        source="nws_wind_chill",
        default="5 mph",
        formula_names=("wind_m_s",),
    ),
    Choose(
        name="sun",
        label="Work in",
        options=(("shade", "Shade"), ("sun", "Full sun")),
        default="sun",
    ),
)


def compute(values: Values) -> Answer:
    """Heat index or wind chill, whichever the weather service uses at this temperature."""
    air, humidity, wind = values.si("air_temp"), values.si("humidity"), values.si("wind")
    felt = apparent_temp_c(air, humidity, wind)
    if air <= WIND_CHILL_MAX_TEMP_C and wind > WIND_CHILL_MIN_WIND_M_S:
        return _cold(felt)
    if air < HEAT_INDEX_FROM_TEMP_C:
        return _mild(felt)
    return _hot(felt, sun=values.choice("sun") == "sun")


def _hot(felt: float, *, sun: bool) -> Answer:
    counts = felt + SUN_ADDS_C if sun else felt
    band = heat_band(counts)
    fahrenheit = amount(f_from_c(felt))
    in_sun = (line("In full sun up to", f_from_c(counts), "°F", also=f"{amount(counts, 1)} °C"),) if sun else ()
    return Answer(
        says=f"It feels like {fahrenheit} °F in the shade"
        + (f" and up to {amount(f_from_c(counts))} °F in the sun" if sun else "")
        + f": {BANDS[band]}.",
        lines=(
            line("Heat index", f_from_c(felt), "°F", also=f"{amount(felt, 1)} °C, in the shade"),
            *in_sun,
            Line(label="Band of protective measures", value=BANDS[band]),
            Line(label="Class on the weather service's chart", value=CLASSES[heat_class(felt)], also="for the shade"),
            Line(label="What to do", value=MEASURES[band]),
        ),
        formula=(
            "The weather service's procedure: 0.5 (T + 61 + 1.2 (T − 68) + 0.094 RH) averaged with T; from 80 °F its"
            " nine-term regression with the corrections for dry and for damp air. Within 1.3 °F.",
            "Full sun adds up to 15 °F.",
        ),
        sources=(said_source("nws_heat_index"), said_source("osha_heat")),
        cautions=(
            "Confused, no longer sweating, or collapsed: call 911, shade, cool with water and ice, never leave them"
            " alone.",
            "The employer's heat plan and local rules decide; heavy clothing and hard work count for more.",
            DEFERS,
        ),
        pictures=(_heat_gauge(felt, counts if sun else None),),
    )


def _mild(felt: float) -> Answer:
    return Answer(
        says=f"It feels as warm as it is, {amount(f_from_c(felt))} °F: neither heat index nor wind chill applies.",
        lines=(line("Feels like", f_from_c(felt), "°F", also=f"{amount(felt, 1)} °C"),),
        formula=(
            "Heat index from 80 °F; wind chill at 50 °F and below in wind above 3 mph; between them the air itself.",
        ),
        sources=(said_source("nws_heat_index"), said_source("nws_wind_chill")),
        cautions=("Hard work in the sun is warm at any temperature: water and shade.", DEFERS),
        pictures=(_heat_gauge(felt, None),) if f_from_c(felt) >= 40 else (),
    )


def _cold(felt: float) -> Answer:
    bites = felt <= FROSTBITE_WIND_CHILL_C
    says = "skin freezes in about 30 minutes" if bites else "cover up and keep dry"
    return Answer(
        says=f"It feels like {amount(f_from_c(felt))} °F in the wind: {says}.",
        lines=(
            line("Wind chill", f_from_c(felt), "°F", also=f"{amount(felt, 1)} °C"),
            Line(label="Frostbite in 30 minutes", value="yes" if bites else "no", also="from −18 °F"),
        ),
        formula=(
            "35.74 + 0.6215 T − 35.75 V^0.16 + 0.4275 T V^0.16; °F, mph at 33 ft, at or below 50 °F, above 3 mph.",
        ),
        sources=(said_source("nws_wind_chill"),),
        cautions=(
            "Wet clothes chill faster than wind. Warm-up breaks, dry gloves, and nobody works alone.",
            "Shivering that stops, slurred words or clumsiness: call 911, warm slowly.",
            DEFERS,
        ),
        pictures=(
            Gauge(
                title="Wind chill",
                unit="°F",
                low=-110.0,
                bands=(
                    Band(until=-18.0, label="frostbite in 30 min", tone="stop"),
                    Band(until=32.0, label="freezing", tone="watch"),
                    Band(until=50.0, label="cool", tone="calm"),
                ),
                value=f_from_c(felt),
                says=f"{amount(f_from_c(felt))} °F",
            ),
        ),
    )


def _heat_gauge(felt: float, in_sun: float | None) -> Gauge:
    fahrenheit = f_from_c(felt)
    return Gauge(
        title="What it feels like",
        unit="°F",
        low=75.0 if fahrenheit >= 80 else 40.0,
        bands=(
            Band(until=91.0, label="lower", tone="calm"),
            Band(until=103.0, label="moderate", tone="watch"),
            Band(until=115.0, label="high", tone="stop"),
            Band(until=max(133.0, f_from_c(in_sun or felt) + 3), label="very high", tone="stop"),
        ),
        value=fahrenheit,
        says=f"{amount(fahrenheit)} °F in the shade",
        span=None if in_sun is None else (fahrenheit, f_from_c(in_sun)),
        span_says="" if in_sun is None else f"up to {amount(f_from_c(in_sun))} °F in full sun",
    )


CALCULATOR = Calculator(
    name="heat",
    title="Heat and cold on people",
    question="What does the air do to the crew?",
    inputs=INPUTS,
    compute=compute,
    derived=(Derived(formula_name="heat index", label="Heat index", field="humidity"),),
)
