"""One line of an order, and the whole list as text and as a table a spreadsheet can open without danger."""

import csv
import io
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from jobs.domain.shapes.entered import check_not_negative, check_positive

# Floating point leaves a hair over a full piece; a millionth of a piece is no piece.
PIECE_SLACK = 1e-6

# A spreadsheet reads a cell that begins so as a formula.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")

HEADINGS = ("item", "needed", "unit", "buy", "sold as", "how", "source")


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """What is needed and what is bought.

    Attributes
    ----------
    item : what it is.
    quantity, unit : what the design needs.
    bought_quantity, bought_unit : what is ordered, a whole number of what is sold.
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


def as_csv(lines: Iterable[OrderLine]) -> str:
    """The list as comma-separated text, one heading row.

    A text that begins with =, +, - or @ gets an apostrophe, so that no spreadsheet takes it for a formula.

    Parameters
    ----------
    lines : Iterable[OrderLine]
        In the order to print.

    Returns
    -------
    str
        Rows that end with a carriage return and a line feed, as RFC 4180 has them.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    for line in lines:
        writer.writerow(
            (
                _harmless(line.item),
                _number(line.quantity),
                _harmless(line.unit),
                _number(line.bought_quantity),
                _harmless(line.bought_unit),
                _harmless(line.how),
                _harmless(line.source),
            )
        )
    return out.getvalue()


def as_text(lines: Sequence[OrderLine]) -> str:
    """The list for printing: a line each, columns aligned, the reason under it."""
    wide = max((len(line.item) for line in lines), default=0)
    amounts = [f"{_number(line.bought_quantity)} {line.bought_unit}" for line in lines]
    amount_wide = max((len(amount) for amount in amounts), default=0)
    rows = []
    for line, amount in zip(lines, amounts, strict=True):
        needs = f"(needs {_number(line.quantity)} {line.unit})"
        rows.append(f"{line.item:<{wide}}  {amount:<{amount_wide}}  {needs}\n    {line.how}")
    return "\n".join(rows) + "\n" if rows else ""


def _harmless(text: str) -> str:
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _number(value: float) -> str:
    return f"{round(value, 3):g}" if abs(value) < 1e6 else f"{value:.0f}"
