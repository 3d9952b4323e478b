"""One thing a person must decide: what, why, by when, and where to do it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from crews.domain.facts import SupplierFacts

DecisionKind = Literal["silence", "record", "hold", "booking", "sky", "standing", "plan"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Phone:
    """Who to call, with the number as it is read and as it is dialled, and what waiting costs."""

    who: str
    number: str
    dial: str
    cost: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """A decision in words.

    Attributes
    ----------
    kind : which mark is drawn beside it.
    what : what to do, beginning with a verb.
    why : the reason, one or two sentences.
    by_at : the last moment at which it can be done without loss; ``None``: now.
    by : the same in words.
    past : that moment is over.
    where, link : address and words of the link.
    details : further facts, one line each.
    phones : who to call about it.
    """

    kind: DecisionKind
    what: str
    why: str
    by_at: datetime | None
    by: str
    where: str
    link: str
    past: bool = False
    details: tuple[str, ...] = ()
    phones: tuple[Phone, ...] = ()


def phone_of(supplier: SupplierFacts, cost: str = "") -> Phone:
    """How a supplier is called."""
    dial = "".join(sign for sign in supplier.phone if sign.isdigit() or sign == "+")
    return Phone(who=supplier.name, number=supplier.phone, dial=dial, cost=cost)


def in_order(decisions: list[Decision], now: datetime) -> tuple[Decision, ...]:
    """What presses most comes first: past deadlines, then what has none, then the nearest."""
    return tuple(sorted(decisions, key=lambda one: (not one.past, one.by_at or now, one.kind, one.what)))
