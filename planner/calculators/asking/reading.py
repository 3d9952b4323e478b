"""How what was typed becomes a number in SI, one of the choices, or rows of numbers."""

import math
import re

from jobs.domain.errors import CannotDo, OutsideValidRange
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import LAST_DIGITS, Ask, AskRows, Choose, bounds_shown
from planner.calculators.asking.units import INCHES, LENGTH, THICKNESS, Unit

PLAIN = r"\d+(?:\.\d*)?|\.\d+"
NUMBER = re.compile(
    rf"([+-]?)\s*(\d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?|{PLAIN})(e[+-]?\d+)?(?![\d,./])\s*(.*)", re.IGNORECASE
)
FRACTION = re.compile(r"([+-]?)\s*(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)(?!\d)\s*(.*)")
FEET_AND_INCHES = re.compile(
    rf"({PLAIN})\s*(?:ft|feet|foot|')\s*[-,]?\s*((?:\d+[\s-]+)?\d+\s*/\s*\d+|{PLAIN})\s*(?:in|inch|inches|\"|'')?\.?",
    re.IGNORECASE,
)
# A row ends with its line or a semicolon, a number with a comma: so a number in a row has no comma of its own.
ROW_END = re.compile(r"[;\n]")


def read_number(ask: Ask, typed: str, unit_chosen: str = "") -> tuple[float, Unit]:
    """A typed number in SI with the unit it was meant in.

    Parameters
    ----------
    ask : Ask
        What was asked.
    typed : str
        A number, with or without a unit: ``20ft``, ``8 ft 6 in``, ``5/8``, ``1,200 gal``.
    unit_chosen : str
        Unit chosen beside it; a unit typed with the number wins. Empty for the crew's own.

    Raises
    ------
    CannotDo
        ``calculator.not_a_number``, ``calculator.wrong_unit``, ``calculator.negative``, ``calculator.not_whole``.
    OutsideValidRange
        Outside the range of the formula.

    Examples
    --------
    >>> from planner.calculators.asking.units import TEMPERATURE
    >>> ask = Ask(name="air", label="Air", kind=TEMPERATURE, low=-40, high=50, source="menzel_1954")
    >>> read_number(ask, "50F")[0], read_number(ask, "-5", "°C")[0]
    (10.0, -5.0)
    """
    number, written = _number_and_unit(ask, typed)
    unit = _unit_of(ask, written or unit_chosen)
    if not math.isfinite(number):
        raise _not_a_number(ask, typed)
    if number < 0 and not ask.kind.may_be_negative:
        raise CannotDo(
            "calculator.negative",
            field=ask.name,
            label=ask.label,
            value=f"{number:,.6g} {unit.symbol}".strip(),
            allowed=ask.allowed(unit),
        )
    value = unit.to_si(number)
    if ask.whole and abs(value - round(value)) > 1e-6:
        raise CannotDo("calculator.not_whole", field=ask.name, label=ask.label, value=f"{value:,.6g}")
    slack = LAST_DIGITS * max(1.0, abs(ask.low), abs(ask.high))
    if not ask.low - slack <= value <= ask.high + slack:
        raise outside(ask, unit, value)
    # Within the last digits of an end it is the end that was meant.
    return min(max(value, ask.low), ask.high), unit


def outside(ask: Ask, unit: Unit, value: float) -> OutsideValidRange:
    """The refusal of a value [SI] outside the range of an input, in the unit it was typed in."""
    low, high = bounds_shown(unit.from_si(ask.low), unit.from_si(ask.high))
    refusal = OutsideValidRange(
        name=ask.label,
        value=f"{unit.from_si(value):,.6g}",
        low=low,
        high=high,
        unit=unit.symbol,
        source=said_source(ask.source),
    )
    refusal.field = ask.name
    return refusal


def split_typed(ask: Ask, typed: str) -> tuple[str, Unit] | None:
    """What was typed as its number and the unit written with it; None where it is not one number with one unit.

    >>> from planner.calculators.asking.units import TEMPERATURE
    >>> ask = Ask(name="air", label="Air", kind=TEMPERATURE, low=-40, high=50, source="menzel_1954")
    >>> number, unit = split_typed(ask, "68F") or ("", None)
    >>> number, split_typed(ask, "68"), split_typed(ask, "8 ft 6 in")
    ('68', None, None)
    """
    match = FRACTION.fullmatch(typed.strip()) or NUMBER.fullmatch(typed.strip())
    if match is None or not (written := match[match.re.groups]):
        return None
    unit = ask.kind.unit(written)
    return None if unit is None else (typed.strip()[: match.start(match.re.groups)].strip(), unit)


def read_choice(choose: Choose, typed: str) -> str:
    """One of the choices, whatever its capitals.

    Raises
    ------
    CannotDo
        ``calculator.no_such_choice``.
    """
    plain = typed.strip().lower().replace("_", "-")
    for value, _ in choose.options:
        if value == plain:
            return value
    raise CannotDo(
        "calculator.no_such_choice",
        field=choose.name,
        label=choose.label,
        given=typed.strip(),
        known=", ".join(value for value, _ in choose.options),
    )


def _number_and_unit(ask: Ask, typed: str) -> tuple[float, str]:
    text = typed.strip().replace("−", "-").replace("’", "'").replace("”", '"').replace("\N{NO-BREAK SPACE}", " ")
    if text.startswith("$"):
        text = f"{text[1:]} $"
    if ask.kind in (LENGTH, THICKNESS) and (both := FEET_AND_INCHES.fullmatch(text)):
        return float(both[1]) * 12 + _plain(both[2]), INCHES.symbol
    if match := FRACTION.fullmatch(text):
        sign, whole, above, below, written = match.groups()
        if int(below):
            return (-1 if sign == "-" else 1) * (int(whole or 0) + int(above) / int(below)), written
    if match := NUMBER.fullmatch(text):
        sign, digits, power, written = match.groups()
        return float(f"{sign}{digits.replace(',', '')}{power or ''}"), written
    raise _not_a_number(ask, typed)


def _plain(text: str) -> float:
    match = FRACTION.fullmatch(text)
    if match is None:
        return float(text)
    _, whole, above, below, _ = match.groups()
    return int(whole or 0) + int(above) / max(int(below), 1)


def _unit_of(ask: Ask, written: str) -> Unit:
    if not written:
        return ask.unit
    unit = ask.kind.unit(written)
    if unit is None:
        known = ", ".join(symbol for symbol in ask.kind.symbols if symbol)
        raise CannotDo(
            "calculator.wrong_unit" if known else "calculator.no_unit",
            field=ask.name,
            label=ask.label,
            given=written,
            kind=ask.kind.name,
            known=known,
            sample=ask.sample,
        )
    return unit


def _not_a_number(ask: Ask, typed: str) -> CannotDo:
    return CannotDo("calculator.not_a_number", field=ask.name, label=ask.label, given=typed.strip(), sample=ask.sample)


def read_rows(asked: AskRows, typed: str) -> tuple[tuple[float, ...], ...]:
    """Typed rows in SI; a number left out at the end of its row is not in it.

    Parameters
    ----------
    asked : AskRows
        What was asked.
    typed : str
        Rows apart by lines or semicolons, numbers by commas: ``0, 10, 3 ft 6 in; 30, 14, 8``.

    Raises
    ------
    CannotDo
        ``calculator.row_numbers``, ``calculator.row_count``, or what a number is refused for, with its row.
    OutsideValidRange
        A number outside its range, with its row.
    """
    rows = [row for row in ROW_END.split(typed) if row.strip()]
    if not asked.least <= len(rows) <= asked.most:
        raise CannotDo(
            "calculator.row_count",
            field=asked.name,
            label=asked.label,
            given=len(rows),
            least=asked.least,
            most=asked.most,
            sample=asked.sample,
        )
    return tuple(_row(asked, number, row) for number, row in enumerate(rows, start=1))


def _row(asked: AskRows, number: int, row: str) -> tuple[float, ...]:
    parts = [part.strip() for part in row.split(",")]
    needed = sum(not one.optional for one in asked.columns)
    if not needed <= len(parts) <= len(asked.columns):
        raise CannotDo(
            "calculator.row_numbers",
            field=asked.name,
            label=asked.label,
            number=number,
            row=row.strip(),
            given=len(parts),
            wanted=_as_many(needed, len(asked.columns)),
            columns=asked.row_words,
            sample=asked.sample,
        )
    return tuple(_number(asked, number, column, part) for column, part in zip(asked.columns, parts, strict=False))


def _as_many(least: int, most: int) -> str:
    return str(least) if least == most else f"{least} {'or' if most == least + 1 else 'to'} {most}"


def _number(asked: AskRows, number: int, column: Ask, part: str) -> float:
    where = f"{column.label} of row {number}"
    try:
        return read_number(column, part)[0]
    except OutsideValidRange as refusal:
        told = OutsideValidRange(
            name=where,
            value=str(refusal.facts["value"]),
            low=str(refusal.facts["low"]),
            high=str(refusal.facts["high"]),
            unit=str(refusal.facts["unit"]),
            source=str(refusal.facts["source"]),
        )
        told.field = asked.name
        raise told from refusal
    except CannotDo as refusal:
        raise CannotDo(refusal.code, field=asked.name, **{**refusal.facts, "label": where}) from refusal
