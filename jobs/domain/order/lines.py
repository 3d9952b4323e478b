"""One line of an order, and the whole list as text and as a table a spreadsheet can open without danger."""

import csv
import io
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from jobs.domain.shapes.entered import check_not_negative, check_positive

# Floating point leaves a hair over a full piece; a millionth of a piece is no piece.
PIECE_SLACK = 1e-6

# A spreadsheet reads a cell that begins so as a formula.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")

# Words for a number and its unit; the list itself is reckoned in SI.
Say = Callable[[float, str], str]

# Unit code -> how it is said and to how many decimals, in SI.
_SAID = {
    "m": ("m", 1),
    "cm": ("m", 2),
    "size": ("m", 2),
    "m2": ("m²", 1),
    "m3": ("m³", 2),
    "kg": ("kg", 0),
    "t": ("t", 1),
    "t_m3": ("t a m³", 2),
    "dollars_m3": ("dollars a m³", 0),
    "each": ("pieces", 0),
}

HEADINGS = ("item", "needed", "unit", "buy", "sold as", "how", "source")


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """What is needed and what is bought.

    Attributes
    ----------
    item : what it is.
    quantity, unit : what the design needs; the unit is a code of ``in_si``.
    bought_quantity, bought_unit : what is ordered, a whole number of what is sold; a unit that is no code is words.
    how : how the number comes about, in words.
    source : where rule and numbers come from.
    """

    item: str
    quantity: float
    unit: str
    bought_quantity: float
    bought_unit: str
    how: str
    source: str


def in_si(value: float, unit: str) -> str:
    """A number with its unit in words; a unit that is no code stands as it is.

    Examples
    --------
    >>> in_si(6.096, "m"), in_si(2.0, "sets")
    ('6.1 m', '2 sets')
    """
    words, decimals = _SAID.get(unit, (unit, 2))
    if unit == "each" and value == 1:
        words = "piece"
    return f"{round(value, decimals):g} {words}"


def bought(quantity: float, piece: float) -> float:
    """A quantity rounded up to whole pieces, in the unit of the quantity.

    Parameters
    ----------
    quantity : float
        Needed, 0 or more.
    piece : float
        Sold in multiples of this, above 0.

    Examples
    --------
    >>> bought(13.51, 0.25)
    13.75
    """
    return pieces(quantity, piece) * piece


def pieces(quantity: float, piece: float) -> int:
    """How many pieces cover a quantity.

    Examples
    --------
    >>> pieces(29.26, 0.61)
    48
    """
    check_not_negative("quantity", quantity)
    check_positive("piece", piece)
    return math.ceil(quantity / piece - PIECE_SLACK)


def as_csv(lines: Iterable[OrderLine], say: Say = in_si) -> str:
    """The list as comma-separated text, one heading row; amounts are split into number and unit.

    A text that begins with =, +, - or @ gets an apostrophe, so that no spreadsheet takes it for a formula.

    Parameters
    ----------
    lines : Iterable[OrderLine]
        In the order to print.
    say : callable
        Words for a number and its unit, the number first.

    Returns
    -------
    str
        Rows that end with a carriage return and a line feed, as RFC 4180 has them.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    for line in lines:
        needed = say(line.quantity, line.unit).partition(" ")
        buy = say(line.bought_quantity, line.bought_unit).partition(" ")
        texts = (
            line.item,
            needed[0].replace(",", ""),
            needed[2],
            buy[0].replace(",", ""),
            buy[2],
            line.how,
            line.source,
        )
        writer.writerow([_harmless(text) for text in texts])
    return out.getvalue()


def as_text(lines: Sequence[OrderLine], say: Say = in_si) -> str:
    """The list for printing: a line each, columns aligned, the reason under it."""
    wide = max((len(line.item) for line in lines), default=0)
    amounts = [say(line.bought_quantity, line.bought_unit) for line in lines]
    amount_wide = max((len(amount) for amount in amounts), default=0)
    rows = []
    for line, amount in zip(lines, amounts, strict=True):
        rows.append(
            f"{line.item:<{wide}}  {amount:<{amount_wide}}  (needs {say(line.quantity, line.unit)})\n    {line.how}"
        )
    return "\n".join(rows) + "\n" if rows else ""


def _harmless(text: str) -> str:
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text
