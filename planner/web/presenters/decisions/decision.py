"""One thing a person must decide: what, why, by when, and where to do it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

DecisionKind = Literal["silence", "record", "hold", "booking", "sky", "standing", "plan"]


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


def in_order(decisions: list[Decision], now: datetime) -> tuple[Decision, ...]:
    """What presses most comes first: past deadlines, then what has none, then the nearest."""
    return tuple(sorted(decisions, key=lambda one: (not one.past, one.by_at or now, one.kind, one.what)))
