"""What a calculator asks for: numbers with their ranges, choices, and rows of numbers."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from planner.calculators.asking.units import Kind, Unit

# A range of a formula given in SI and typed in feet may miss its end by the last digits.
LAST_DIGITS = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """The input counts where the choice ``choice`` is one of ``values``; a choice stands before what hangs on it."""

    choice: str
    values: tuple[str, ...]

    def holds(self, choices: Mapping[str, str]) -> bool:
        """Whether the input counts; where the choice itself could not be read, it does not."""
        return choices.get(self.choice) in self.values


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
    when : the choice it belongs to, if it does not always count.
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
    when: When | None = None

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


@dataclass(frozen=True, slots=True, kw_only=True)
class AskRows:
    """Rows of numbers a calculator asks for.

    Attributes
    ----------
    name, label, example, help, group, when : as of ``Ask``.
    columns : what each number of a row is; the last ones may be left out where they are optional.
    least, most : how many rows make sense.
    optional : whether no row at all will do.
    sample_rows : rows that are right to type, where there is no example.
    """

    name: str
    label: str
    columns: tuple[Ask, ...]
    least: int
    most: int
    optional: bool = True
    example: str = ""
    sample_rows: str = ""
    help: str = ""
    group: str = ""
    when: When | None = None

    @property
    def default(self) -> str:
        """Rows have none."""
        return ""

    @property
    def sample(self) -> str:
        """Rows that are right to type."""
        return self.sample_rows or self.example

    @property
    def row_words(self) -> str:
        """What stands in a row, in words."""
        return ", ".join(
            f"{one.label.lower()}{f' in {one.unit.symbol}' if one.unit.symbol else ''}"
            f"{' (may be left out)' if one.optional else ''}"
            for one in self.columns
        )


Input = Ask | Choose | AskRows


@dataclass(frozen=True, slots=True, kw_only=True)
class Values:
    """What was asked for, read: numbers in SI with the unit they were typed in, choices and rows.

    ``unused`` are the labels of what was typed but belongs to another choice.
    """

    numbers: Mapping[str, float]
    units: Mapping[str, Unit]
    choices: Mapping[str, str]
    rows: Mapping[str, tuple[tuple[float, ...], ...]]
    unused: tuple[str, ...] = ()

    def si(self, name: str) -> float:
        """A number that was given or has a default, in SI."""
        return self.numbers[name]

    def maybe(self, name: str) -> float | None:
        """A number that may have been left out."""
        return self.numbers.get(name)

    def choice(self, name: str) -> str:
        """What was chosen."""
        return self.choices[name]

    def rows_of(self, name: str) -> tuple[tuple[float, ...], ...]:
        """Rows that were given, in SI; none where none were."""
        return self.rows.get(name, ())

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
