"""What a calculator answers."""

import math
from dataclasses import dataclass

from jobs.domain.order.lines import OrderLine
from jobs.domain.shapes.standing import Standing
from jobs.domain.units import feet_and_inches_from_m
from planner.calculators.answering.pictures import Picture

# What the last digits of a product may add.
LAST_DIGITS = 1e-6

DEFERS = (
    "This is a computed estimate. Local code, the engineer, the maker's instructions and licensed people decide;"
    " nobody is told by it that a thing is safe."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One number of an answer, ready to read; ``also`` is the same in other units."""

    label: str
    value: str
    unit: str = ""
    also: str = ""

    @property
    def words(self) -> str:
        """Value and unit together."""
        return f"{self.value} {self.unit}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """An answer with everything that is needed to judge it.

    Attributes
    ----------
    says : the answer in one sentence.
    lines : the numbers, the asked one first.
    why : reasons that somebody on the site asks for.
    formula : the formulas in plain text.
    valid : the range of each input in words.
    sources : where formulas and limits come from, spelt out.
    cautions : what can hurt, what the number leaves out; the last defers to those who decide.
    pictures : what is drawn beside it.
    order : what is bought, rounded up to what is sold; none where nothing is.
    """

    says: str
    lines: tuple[Line, ...]
    formula: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    why: tuple[str, ...] = ()
    valid: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    order: tuple[OrderLine, ...] = ()


def amount(value: float, decimals: int = 0) -> str:
    """A number with thousands apart; a nought never keeps a minus.

    >>> amount(19270.4), amount(-0.04, 1), amount(4.96, 1)
    ('19,270', '0.0', '5.0')
    """
    text = f"{value:,.{decimals}f}"
    return text.lstrip("-") if not text.strip("-0.,") else text


def line(label: str, value: float, unit: str, decimals: int = 0, *, also: str = "") -> Line:
    """A number as a line."""
    return Line(label=label, value=amount(value, decimals), unit=unit, also=also)


def least(value: float, decimals: int = 0) -> str:
    """A number that must not be passed, cut off rather than rounded.

    >>> least(4.97, 1), least(5.0 - 1e-12, 1)
    ('4.9', '5.0')
    """
    step = 10**decimals
    return amount(math.floor(value * step + LAST_DIGITS) / step, decimals)


def hours_words(hours: float, *, at_least: bool = False, to_minutes: bool = False) -> str:
    """A length of time as a crew says it; one that must have passed is rounded up.

    From a day on minutes are left out unless they are asked for.

    >>> hours_words(0.4), hours_words(6.2), hours_words(30.0), hours_words(24 * 9.5)
    ('24 min', '6 h 12 min', '1 day 6 h', '9 days 12 h')
    >>> hours_words(30.1, at_least=True), hours_words(30.1, to_minutes=True), hours_words(48.0, to_minutes=True)
    ('1 day 7 h', '1 day 6 h 6 min', '2 days')
    """

    def whole(value: float) -> int:
        return math.ceil(value - LAST_DIGITS) if at_least else round(value)

    minutes = whole(60 * hours)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 24 * 60:
        whole_hours, rest = divmod(minutes, 60)
        return f"{whole_hours} h {rest} min" if rest else f"{whole_hours} h"
    days, rest = divmod(minutes, 24 * 60) if to_minutes else divmod(60 * whole(hours), 24 * 60)
    said = f"{days} day{'s' if days > 1 else ''}"
    parts = (said, f"{rest // 60} h" if rest >= 60 else "", f"{rest % 60} min" if rest % 60 else "")
    return " ".join(part for part in parts if part)


def feet_words(metres: float) -> str:
    """A length as a builder says it, to the inch.

    >>> feet_words(1.067), feet_words(2.4384), feet_words(0.1), feet_words(0.0)
    ('3 ft 6 in', '8 ft', '4 in', '0 in')
    """
    feet, inches = feet_and_inches_from_m(metres)
    if not feet:
        return f"{inches} in"
    return f"{feet} ft {inches} in" if inches else f"{feet} ft"


def built_words(one: Standing) -> str:
    """A ledge or stair with its size, along the wall first."""
    treads = len(one.solids)
    size = f"{feet_words(one.length_m)} × {feet_words(one.width_m)}"
    return (
        f"Stair {size}, {treads} tread{'' if treads == 1 else 's'}"
        if one.solids[0].kind == "stair"
        else f"Ledge {size}"
    )
