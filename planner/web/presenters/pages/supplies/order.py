"""The order list of one pool in the units a supplier in the United States sells in."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from jobs.domain.order.lines import OrderLine
from jobs.domain.order.sold import sold_in_us
from planner.dayplans.presenters.measures import Gettext


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


def order_page(
    *, job_id: int, name: str, address: str, lines: Sequence[OrderLine], gettext: Gettext = str
) -> OrderPage:
    """The page of a pool's order list."""
    return OrderPage(
        job_id=job_id,
        name=name,
        address=address,
        rows=order_rows(lines, gettext),
        sources=tuple(_sources(lines)),
    )


def order_rows(lines: Sequence[OrderLine], gettext: Gettext = str) -> tuple[OrderRow, ...]:
    """Lines of an order in the words of the page."""
    return tuple(
        OrderRow(
            item=gettext(line.item),
            buy=sold_in_us(line.bought_quantity, line.bought_unit),
            needed=sold_in_us(line.quantity, line.unit),
            how=line.how,
        )
        for line in lines
    )


def _sources(lines: Sequence[OrderLine]) -> Iterator[OrderSource]:
    for says, of in groupby(sorted(lines, key=lambda line: line.source), key=lambda line: line.source):
        yield OrderSource(says=says, items=", ".join(line.item for line in of))
