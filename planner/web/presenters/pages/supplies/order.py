"""The order list of one pool in the units a supplier in the United States sells in."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from jobs.domain import units
from jobs.domain.order.lines import OrderLine
from planner.dayplans.presenters.measures import Gettext, gettext_noop

# Unit code of the list -> (conversion, words, words for one, decimals).
SOLD: dict[str, tuple[Callable[[float], float], str, str, int]] = {
    "m": (units.ft_from_m, gettext_noop("feet"), gettext_noop("foot"), 1),
    "cm": (units.in_from_m, gettext_noop("inches"), gettext_noop("inch"), 0),
    "m2": (units.ft2_from_m2, gettext_noop("square feet"), gettext_noop("square foot"), 0),
    "m3": (units.yd3_from_m3, gettext_noop("cubic yards"), gettext_noop("cubic yard"), 2),
    "kg": (units.lb_from_kg, gettext_noop("pounds"), gettext_noop("pound"), 0),
    "t": (units.tons_from_t, gettext_noop("tons"), gettext_noop("ton"), 1),
    "t_m3": (
        lambda dense: units.tons_from_t(dense) * units.M3_PER_YD3,
        gettext_noop("tons a cubic yard"),
        gettext_noop("ton a cubic yard"),
        2,
    ),
    "dollars_m3": (
        lambda dear: dear * units.M3_PER_YD3,
        gettext_noop("dollars a cubic yard"),
        gettext_noop("dollar a cubic yard"),
        0,
    ),
    "each": (float, gettext_noop("pieces"), gettext_noop("piece"), 0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """One thing to order: what, how much is bought, how much the design needs, how and from where."""

    item: str
    buy: str
    needed: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderSource:
    """Where rules and numbers come from, and for which items."""

    says: str
    items: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderPage:
    """Context ``page`` of ``planner/order.html``."""

    job_id: int
    name: str
    address: str
    rows: tuple[OrderRow, ...]
    sources: tuple[OrderSource, ...]


def sold_in_us(value: float, unit: str) -> str:
    """A number with its unit in words; a unit that is no code stands as it is.

    >>> sold_in_us(0.764555, "m3"), sold_in_us(6.096, "m"), sold_in_us(209.0, "dollars_m3"), sold_in_us(2.0, "sets")
    ('1 cubic yard', '20 feet', '160 dollars a cubic yard', '2 sets')
    """
    if unit == "size":
        feet, inches = units.feet_and_inches_from_m(value)
        return f"{feet} feet {inches} inches" if inches else f"{feet} feet"
    if unit not in SOLD:
        return f"{value:,.0f} {unit}"
    convert, many, one, decimals = SOLD[unit]
    shown = f"{convert(value):,.{decimals}f}"
    if decimals:
        shown = shown.rstrip("0").rstrip(".")
    return f"{shown} {one if shown == '1' else many}"


def order_page(
    *, job_id: int, name: str, address: str, lines: Sequence[OrderLine], gettext: Gettext = str
) -> OrderPage:
    """The page of a pool's order list."""
    return OrderPage(
        job_id=job_id,
        name=name,
        address=address,
        rows=tuple(
            OrderRow(
                item=gettext(line.item),
                buy=sold_in_us(line.bought_quantity, line.bought_unit),
                needed=sold_in_us(line.quantity, line.unit),
                how=line.how,
            )
            for line in lines
        ),
        sources=tuple(_sources(lines)),
    )


def _sources(lines: Sequence[OrderLine]) -> Iterator[OrderSource]:
    for says, of in groupby(sorted(lines, key=lambda line: line.source), key=lambda line: line.source):
        yield OrderSource(says=says, items=", ".join(line.item for line in of))
