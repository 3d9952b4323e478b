"""How mature concrete is after the temperatures it really had, and how strong that makes it."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from jobs.domain.errors import OutsideValidRange
from jobs.domain.units import f_from_c, psi_from_mpa
from jobs.science.maturity import (
    DEFAULT_Q_K,
    GAS_CONSTANT_J_MOL_K,
    HOTTEST_C,
    PLOWMAN_DATUM_C,
    RateLaw,
    arrhenius_rate,
    equivalent_ages_h,
    freiesleben_hansen_rate,
    model_code_rate,
    plowman_percent,
    q_from_activation_energy_k,
    temperature_time_c_h,
)
from jobs.science.ranges import Array
from jobs.science.strength import fractions_by_hour
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, hours_words, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, Series, Threshold
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, AskRows, Values
from planner.calculators.asking.units import ENERGY, HOURS, TEMPERATURE
from planner.calculators.calculator import Calculator, Derived
from planner.calculators.concrete.strength import CEMENT, FORMULAS, LAWS, NEEDED, SPECIFIED

MOST_ROWS, LONGEST_ROW_H = 60, 720.0
STEPS_OF_TABLE, POINTS_OF_CURVE = 6, 121

HISTORY = AskRows(
    name="history",
    label="Temperatures it had, one after another",
    columns=(
        Ask(
            name="history_temp",
            label="Mean temperature of the concrete",
            kind=TEMPERATURE,
            low=-30.0,
            high=HOTTEST_C,
            source="astm_c1074",
            example="68 °F",
        ),
        Ask(
            name="history_hours",
            label="For hours",
            kind=HOURS,
            low=1.0,
            high=LONGEST_ROW_H,
            source="astm_c1074",
            example="12 h",
            whole=True,
        ),
    ),
    least=1,
    most=MOST_ROWS,
    optional=False,
    example="68, 12; 77, 12; 59, 24; 50, 24",
    help="From a probe; the mean of the readings at both ends of a stretch. Under 32 °F concrete gains nothing.",
)
INPUTS = (
    HISTORY,
    CEMENT,
    NEEDED,
    Ask(
        name="datum",
        label="Datum of the temperature-time factor",
        kind=TEMPERATURE,
        low=-20.0,
        high=10.0,
        source="astm_c1074",
        default="32 °F",
        help="32 °F for ordinary cement; some highway rules take 14 °F.",
        formula_names=("datum_c",),
    ),
    Ask(
        name="energy",
        label="Activation energy of this mix, from a test",
        kind=ENERGY,
        low=20_000.0,
        high=80_000.0,
        source="astm_c1074",
        optional=True,
        help=f"For the second opinion; without a test {GAS_CONSTANT_J_MOL_K * DEFAULT_Q_K / 1000:.1f} kJ/mol.",
        formula_names=("activation_energy_j_mol",),
    ),
    SPECIFIED,
)


def compute(values: Values) -> Answer:
    """Temperature-time factor, equivalent ages, and the share of strength."""
    hourly = np.concatenate([np.full(round(hours), temp) for temp, hours in values.rows_of(HISTORY.name)])
    law, words, source = LAWS[values.choice("cement")]
    shares = np.concatenate([[0.0], fractions_by_hour(hourly, law=law)])
    percent, specified = values.si("percent"), values.maybe("specified")
    age = float(equivalent_ages_h(hourly, rate=freiesleben_hansen_rate)[-1])
    factor = float(temperature_time_c_h(hourly, datum_c=values.si("datum"))[-1])
    reached = _reached(shares, percent)
    share = 100 * float(shares[-1])
    energy = values.maybe("energy")
    q_k = DEFAULT_Q_K if energy is None else q_from_activation_energy_k(energy)
    return Answer(
        says=f"After {hours_words(len(hourly))} it is as old as {hours_words(age)} at 68 °F: {amount(share)} % of the"
        " 28-day strength.",
        lines=(
            line("Share of the 28-day strength", share, "%", 1),
            *(
                ()
                if specified is None
                else (
                    line(
                        "Strength",
                        psi_from_mpa(share / 100 * specified),
                        "psi",
                        also=f"{amount(share / 100 * specified, 1)} MPa",
                    ),
                )
            ),
            Line(
                label=f"{amount(percent)} % was reached after",
                value="not yet" if reached is None else hours_words(reached, at_least=True),
            ),
            Line(label="Equivalent age at 68 °F", value=hours_words(age), also=f"{amount(age, 1)} h"),
            _opinion("The same with one activation energy", partial(arrhenius_rate, q_k=q_k), hourly),
            _opinion("The same by the European code", model_code_rate, hourly),
            *_plowman_lines(hourly, specified),
            line(
                "Temperature-time factor",
                factor,
                "°C·h",
                also=f"{amount(1.8 * factor)} °F·h over {amount(f_from_c(values.si('datum')))} °F",
            ),
        ),
        formula=(
            "Temperature-time factor: sum of (T − datum) × hours, never less than nothing.",
            "Equivalent age: sum of hours × exp(−Ea / R (1 / T − 1 / 293)), Ea = 33.5 + 1.47 (20 − T °C) kJ/mol below"
            f" 68 °F, else 33.5; second opinion with Ea / R = {amount(q_k)} K, third exp(13.65 − 4000 / T).",
            FORMULAS[source] + f" Here: {words}.",
            *(
                ()
                if specified is None
                else ("By the factor alone: A + B log10(factor / 1000), A and B by the 28-day strength.",)
            ),
        ),
        sources=(
            said_source("astm_c1074"),
            said_source("fhp_1977"),
            said_source("mc90"),
            *(() if specified is None else (said_source("plowman"),)),
            said_source(source),
        ),
        cautions=(
            "It holds where the concrete was kept moist. The probe must be where the concrete is coldest: at an edge,"
            " near the face.",
            "A test on the concrete governs; what is loaded, backfilled or stripped on strength waits for the"
            " engineer's rule.",
            DEFERS,
        ),
        pictures=(_strength(shares, percent, reached), _temperatures(values.rows_of(HISTORY.name))),
    )


def _reached(shares: Array, percent: float) -> float | None:
    """Hour at which a share is reached [h], even within its hour."""
    above = np.flatnonzero(shares >= percent / 100)
    if not above.size:
        return None
    hour = int(above[0])
    if hour == 0:
        return 0.0
    before, after = float(shares[hour - 1]), float(shares[hour])
    return hour - 1 + (percent / 100 - before) / (after - before)


def _plowman_lines(hourly: Array, specified: float | None) -> Iterator[Line]:
    """The share that the temperature-time factor alone gives, by the older law: its constants go by the strength."""
    if specified is None:
        return
    factor = float(temperature_time_c_h(hourly, datum_c=PLOWMAN_DATUM_C)[-1])
    label = "Share by the temperature-time factor alone"
    try:
        share = plowman_percent(factor, strength_mpa=specified)
    except OutsideValidRange as refusal:
        holds = f"{refusal.facts['low']} to {refusal.facts['high']} {refusal.facts['unit']}".replace("degC h", "°C·h")
        also = f"it holds for {holds}; here {amount(factor)} °C·h over 11 °F, {amount(specified)} MPa"
        yield Line(label=label, value="outside its range", also=also)
        return
    yield line(label, share, "%", 1, also=f"{amount(factor)} °C·h over 11 °F")


def _opinion(label: str, rate: RateLaw, hourly: Array) -> Line:
    try:
        age = float(equivalent_ages_h(hourly, rate=rate)[-1])
    except OutsideValidRange as refusal:
        low, high = (f_from_c(float(str(refusal.facts[end]))) for end in ("low", "high"))
        return Line(label=label, value="outside its range", also=f"it holds for {amount(low)} to {amount(high)} °F")
    return Line(label=label, value=hours_words(age), also=f"{amount(age, 1)} h")


def _strength(shares: Array, percent: float, reached: float | None) -> Curve:
    days = (len(shares) - 1) / 24
    end = (days, 100 * float(shares[-1]))
    marks = (
        Mark(at=end, label=f"{amount(end[1])} %", says=f"{amount(end[1])} % at the end")
        if reached is None
        else Mark(
            at=(reached / 24, percent),
            label=hours_words(reached, at_least=True),
            says=f"{amount(percent)} % after {hours_words(reached, at_least=True)}",
        ),
    )
    return Curve(
        title="Strength on the way",
        x=Axis(label="Days since placing", unit="d", low=0.0, high=days),
        y=Axis(
            label="Share of the 28-day strength", unit="%", low=0.0, high=110.0 if max(percent, end[1]) > 90 else 100.0
        ),
        series=(
            Series(label="strength", points=tuple((hour / 24, 100 * float(shares[hour])) for hour in _drawn(shares))),
        ),
        marks=marks,
        threshold=Threshold(at=percent, label=f"{amount(percent)} % needed"),
        table=_table(days),
    )


def _drawn(shares: Array) -> list[int]:
    """As many hours as a picture can show, the last among them."""
    return sorted({round(hour) for hour in np.linspace(0, len(shares) - 1, POINTS_OF_CURVE)})


def _temperatures(rows: tuple[tuple[float, ...], ...]) -> Curve:
    ends = np.cumsum([hours for _, hours in rows]) / 24
    starts = np.concatenate([[0.0], ends[:-1]])
    fahrenheit = [f_from_c(temp) for temp, _ in rows]
    days = float(ends[-1])
    return Curve(
        title="Temperature of the concrete",
        x=Axis(label="Days since placing", unit="d", low=0.0, high=days),
        y=Axis(label="Temperature", unit="°F", low=min(0.0, 10 * (min(fahrenheit) // 10)), high=max(fahrenheit) + 20),
        series=(
            Series(
                label="temperature",
                points=tuple(
                    (float(at), temp)
                    for start, end, temp in zip(starts, ends, fahrenheit, strict=True)
                    for at in (start, end)
                ),
            ),
        ),
        table=_table(days),
    )


def _table(days: float) -> tuple[float, ...]:
    return tuple(days * step / STEPS_OF_TABLE for step in range(STEPS_OF_TABLE + 1))


CALCULATOR = Calculator(
    name="maturity",
    title="Maturity",
    question="How strong is it after the temperatures it had?",
    inputs=INPUTS,
    compute=compute,
    derived=(Derived(formula_name="age_h", label="Age as the law counts it", field=HISTORY.name),),
)
