"""What a calculator asks for, and how what was typed becomes a number in SI or one of its choices."""

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from jobs.domain.errors import CannotDo, OutsideValidRange
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.units import INCHES, LENGTH, THICKNESS, Kind, Unit

PLAIN = r"\d+(?:\.\d*)?|\.\d+"
NUMBER = re.compile(
    rf"([+-]?)\s*(\d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?|{PLAIN})(e[+-]?\d+)?(?![\d,./])\s*(.*)", re.IGNORECASE
)
FRACTION = re.compile(r"([+-]?)\s*(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)(?!\d)\s*(.*)")
FEET_AND_INCHES = re.compile(
    rf"({PLAIN})\s*(?:ft|feet|foot|')\s*[-,]?\s*((?:\d+[\s-]+)?\d+\s*/\s*\d+|{PLAIN})\s*(?:in|inch|inches|\"|'')?\.?",
    re.IGNORECASE,
)
# A range of a formula given in SI and typed in feet may miss its end by the last digits.
LAST_DIGITS = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """A number a calculator asks for.

    Attributes
    ----------
    name : as in a command's option and a page's address.
    label : as a person calls it.
    kind : what it measures.
    low, high : what the formula allows, in SI.
    source : key of the source of that range.
    default : as typed, empty where there is none; ``optional`` may then be left out.
    example : as typed, to start a page with.
    help : one sentence more.
    formula_names : what the formulas call it.
    group : heading it stands under.
    whole : whether only whole numbers make sense.
    """

    name: str
    label: str
    kind: Kind
    low: float
    high: float
    source: str
    default: str = ""
    optional: bool = False
    example: str = ""
    help: str = ""
    formula_names: tuple[str, ...] = ()
    group: str = ""
    whole: bool = False

    @property
    def unit(self) -> Unit:
        """The crew's own unit."""
        return self.kind.units[0]

    @property
    def sample(self) -> str:
        """Something right to type, with its unit."""
        typed = self.example or self.default or bounds_shown(0.0, self.unit.from_si(self.high))[1]
        return typed if any(unit.symbol and unit.symbol in typed for unit in self.kind.units) else self._with(typed)

    def allowed(self, unit: Unit | None = None) -> str:
        """The range in words, in the crew's unit or another.

        >>> from planner.calculators.asking.units import WIND
        >>> Ask(name="wind", label="Wind", kind=WIND, low=0, high=11.176, source="menzel_1954").allowed()
        '0 to 25 mph'
        """
        unit = unit or self.unit
        low, high = bounds_shown(unit.from_si(self.low), unit.from_si(self.high))
        return f"{low} to {high} {unit.symbol}".strip()

    def _with(self, typed: str) -> str:
        return f"{typed} {self.unit.symbol}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Choose:
    """A choice a calculator asks for: what is written, and what it means."""

    name: str
    label: str
    options: tuple[tuple[str, str], ...]
    default: str
    help: str = ""
    group: str = ""

    @property
    def example(self) -> str:
        return self.default

    @property
    def sample(self) -> str:
        """Something right to choose."""
        return self.default or self.options[0][0]


Input = Ask | Choose


@dataclass(frozen=True, slots=True, kw_only=True)
class Values:
    """What was asked for, read: numbers in SI with the unit they were typed in, and choices."""

    numbers: Mapping[str, float]
    units: Mapping[str, Unit]
    choices: Mapping[str, str]

    def si(self, name: str) -> float:
        """A number that was given or has a default, in SI."""
        return self.numbers[name]

    def maybe(self, name: str) -> float | None:
        """A number that may have been left out."""
        return self.numbers.get(name)

    def choice(self, name: str) -> str:
        """What was chosen."""
        return self.choices[name]

    def yes(self, name: str) -> bool:
        """Whether yes was chosen."""
        return self.choices[name] == "yes"


def yes_or_no(name: str, label: str, *, default: str = "no", help: str = "", group: str = "") -> Choose:
    """A question answered by yes or no."""
    return Choose(
        name=name, label=label, options=(("no", "No"), ("yes", "Yes")), default=default, help=help, group=group
    )


def bounds_shown(low: float, high: float) -> tuple[str, str]:
    """The ends of a range as a person writes them: three digits, rounded inwards so that both are allowed.

    >>> bounds_shown(0.0, 25.0000001), bounds_shown(26.417, 1320860.3), bounds_shown(-49.0, 100.4)
    (('0', '25'), ('26.5', '1,320,000'), ('-49', '100'))
    """
    return _bound(low, math.ceil), _bound(high, math.floor)


def _bound(value: float, inwards: Callable[[float], int]) -> str:
    if abs(value) < LAST_DIGITS:
        return "0"
    places = 2 - math.floor(math.log10(abs(value)) + LAST_DIGITS)
    # What is a round number but for its last digits stays that number.
    near = round(value * 10.0**places)
    steps = near if abs(value * 10.0**places - near) < 1e-6 else inwards(value * 10.0**places)
    text = f"{steps * 10.0**-places:,.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


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
