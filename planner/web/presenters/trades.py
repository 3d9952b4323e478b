"""Which hatch a trade is drawn with: each differs in shape, so that colour is never needed to tell them apart."""

from collections.abc import Iterable
from dataclasses import dataclass

HATCHES = (
    "layout",
    "locator",
    "excavation",
    "concrete_forms",
    "steel",
    "plumbing",
    "electrical",
    "fence",
    "liner",
    "waterproofing",
    "tile",
    "spray",
    "plaster",
    "service",
    "inspector",
    "clock",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LegendEntry:
    hatch: str
    title: str


def hatch_of(trade: str) -> str:
    """The hatch of a trade; a trade an office added itself is drawn with the plain one.

    >>> hatch_of("liner"), hatch_of("rock_work")
    ('liner', 'other')
    """
    return trade if trade in HATCHES else "other"


def legend(trades: Iterable[tuple[str, str]]) -> tuple[LegendEntry, ...]:
    """One entry for each (trade, title) drawn, in the order of the hatches, each title once."""
    seen = {title: hatch_of(trade) for trade, title in trades}
    order = (*HATCHES, "other")
    return tuple(
        LegendEntry(hatch=hatch, title=title)
        for title, hatch in sorted(seen.items(), key=lambda entry: (order.index(entry[1]), entry[0]))
    )
