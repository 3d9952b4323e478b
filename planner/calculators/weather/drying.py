"""How long concrete and ground stay wet after rain, and what must be pumped out."""

from collections.abc import Iterator

import numpy as np

from jobs.domain.units import gallons_from_m3, in_from_mm
from jobs.science.drying import (
    FILM_MM,
    LONGEST_CLAY_WAIT_H,
    SOIL_SHARE,
    film_mm,
    ground_wait_h,
    hours_to_dry,
    pump_out_h,
    pump_out_m3,
)
from jobs.science.evaporation import evaporation_kg_m2_h
from jobs.science.psychrometrics import dew_point_c
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, hours_words, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, Series
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.air import AIR, HUMIDITY, SURFACE_WIND, WIND_AT, WIND_SPEED, surface_wind
from planner.calculators.asking.inputs import Ask, Choose, Values
from planner.calculators.asking.units import AREA, FLOW, HOURS, RAIN, TEMPERATURE, WAIT_PER_RAIN
from planner.calculators.calculator import Calculator, Derived

HOURS_TRIED = 240
GROUND, SHELL = "Ground", "Empty shell or dig (for pumping out)"

INPUTS = (
    Ask(
        name="rain",
        label="Rain that fell",
        kind=RAIN,
        low=0.0,
        high=500.0,
        source="ams_rain",
        example="1 in",
        formula_names=("rain_mm",),
    ),
    Ask(
        name="surface_temp",
        label="Temperature of the concrete surface",
        kind=TEMPERATURE,
        low=0.0,
        high=50.0,
        source="menzel_1954",
        example="70 °F",
        formula_names=("concrete_temp_c", "surface"),
    ),
    AIR,
    HUMIDITY,
    WIND_SPEED,
    WIND_AT,
    Ask(
        name="dry_for",
        label="Hours it must have been dry",
        kind=HOURS,
        low=0.0,
        high=168.0,
        source="astm_d4263",
        default="16 h",
        help="16 or 24 before foam, glue and coatings; 0 for work that only needs no standing water.",
        formula_names=("dry_for_h",),
        whole=True,
    ),
    Choose(
        name="soil",
        label="Soil",
        options=tuple((key.replace("_", "-"), key.replace("_", " ").capitalize()) for key in SOIL_SHARE),
        default="clay",
        group=GROUND,
    ),
    Ask(
        name="clay_wait",
        label="Wait of clay after an inch",
        kind=WAIT_PER_RAIN,
        low=0.0,
        high=120.0,
        source=COMMON_PRACTICE,
        default="48 h/in",
        group=GROUND,
        formula_names=("clay_wait_h_per_25_mm",),
    ),
    Ask(
        name="catch",
        label="Open area that catches the rain",
        kind=AREA,
        low=0.0,
        high=50_000.0,
        source="ams_rain",
        optional=True,
        example="800 ft²",
        group=SHELL,
        formula_names=("catch_m2",),
    ),
    Ask(
        name="pump",
        label="Pump",
        kind=FLOW,
        low=0.1,
        high=500.0,
        source=COMMON_PRACTICE,
        optional=True,
        example="40 gpm",
        group=SHELL,
        formula_names=("pump_m3_h",),
    ),
)


def compute(values: Values) -> Answer:
    """Hours until concrete is dry, until ground bears work, and gallons to pump."""
    rain, dry_for = values.si("rain"), round(values.si("dry_for"))
    dew = dew_point_c(values.si("air_temp"), values.si("humidity"))
    rate = evaporation_kg_m2_h(values.si("surface_temp"), dew, surface_wind(values))
    film = min(rain, FILM_MM)
    evaporation = np.full(HOURS_TRIED, rate)
    hours = hours_to_dry(np.zeros(HOURS_TRIED), evaporation, dry_for_h=dry_for, film_before_mm=film)
    wait = _ground_wait(values)
    soil = values.choice("soil").replace("-", " ")
    dry = f"The concrete is dry, and has been for {dry_for} h," if dry_for else "The concrete is free of water"
    return Answer(
        says=f"{dry} {hours_words(hours)} after the rain ends; {soil} ground waits {hours_words(wait)}.",
        lines=(
            Line(label="Concrete ready after", value=hours_words(hours), also=f"{hours} h from the end of the rain"),
            line("Film that stays on it", in_from_mm(film), "in", 3, also=f"{amount(film, 2)} mm; the rest runs off"),
            line("It dries at", in_from_mm(rate), "in/h", 3, also=f"{amount(rate, 2)} mm/h, which is kg/m²/h"),
            Line(label=f"Open ground, {soil}, waits", value=hours_words(wait), also="without more rain"),
            *_pumping(values),
        ),
        formula=(
            "Film = what does not run off, at most 0.5 mm (0.02 in); each hour takes Menzel's evaporation off it:"
            " E = 0.44 (e surface − e air) (0.253 + 0.096 V); lb/ft²/h, psi, mph.",
            "Hours without film are counted from the hour after it is gone.",
            f"Ground: wait of clay × inches × share of the soil; at most {amount(LONGEST_CLAY_WAIT_H)} h for clay.",
            "To pump out: rain × open area, in plan.",
        ),
        sources=(
            said_source("menzel_1954"),
            f"Dry hours before coatings: {said_source('astm_d4263')}",
            f"Rain and ground: {said_source('fhwa_fp155')}",
            f"Film that stays, waits and shares of the soils: {COMMON_PRACTICE}",
        ),
        cautions=(
            "The same weather all the time is assumed: the shaded floor of a shell dries slower, and night may not dry"
            " it at all.",
            "A dry patch under taped plastic tells more than this number; the maker of foam, glue or coating says how"
            " dry.",
            "After rain a competent person looks at a dig before anyone enters it.",
            DEFERS,
        ),
        pictures=(_curve(film, rate, hours),),
    )


def _ground_wait(values: Values) -> float:
    by_hour = np.array([values.si("rain")])
    soil = values.choice("soil").replace("-", "_")
    return float(ground_wait_h(by_hour, clay_wait_h_per_25_mm=values.si("clay_wait"), soil=soil)[-1])


def _pumping(values: Values) -> Iterator[Line]:
    catch, pump = values.maybe("catch"), values.maybe("pump")
    if catch is None:
        return
    volume = pump_out_m3(values.si("rain"), catch)
    yield line("Water to pump out", gallons_from_m3(volume), "gal", also=f"{amount(volume, 2)} m³")
    if pump is not None:
        yield Line(label="Pumping takes", value=hours_words(pump_out_h(volume, pump)))


def _curve(film: float, rate: float, hours: int) -> Curve:
    gone = film / rate if rate > 0 else 0.0
    last = max(1.0, float(hours), 1.2 * gone)
    whole = np.zeros(int(np.ceil(last)))
    films = (film, *film_mm(whole, np.full(len(whole), rate), film_before_mm=film).tolist())
    return Curve(
        title="Water on the concrete",
        x=Axis(label="Hours after the rain", unit="h", low=0.0, high=last),
        y=Axis(label="Film", unit="mm", low=0.0, high=1.2 * FILM_MM),
        series=(
            Series(
                label="film", points=tuple((float(hour), value) for hour, value in enumerate(films) if hour <= last)
            ),
        ),
        marks=(Mark(at=(float(hours), 0.0), label="ready", says=f"ready after {hours_words(hours)}"),),
        table=tuple(sorted({0.0, 1.0, 2.0, 4.0, float(hours)} & {float(hour) for hour in range(int(last) + 1)})),
    )


CALCULATOR = Calculator(
    name="drying",
    title="Drying after rain",
    question="When is it dry enough to go on?",
    inputs=INPUTS,
    compute=compute,
    derived=(
        SURFACE_WIND,
        Derived(formula_name="dew_point_c", label="Dew point", field="humidity"),
        Derived(formula_name="evaporation_mm", label="Evaporation in an hour", field="wind"),
    ),
)
