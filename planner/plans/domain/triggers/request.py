"""A request for another plan as a value, for pages."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What asked for another plan, and what came of it.

    Attributes
    ----------
    says : one sentence of the fact.
    asked_at : when it was asked first.
    state : ``open``, ``taken`` (being planned), ``done`` or ``refused`` (no plan possible).
    closed_at : when it was answered.
    outcome : number of the plan that answers it, 0 where none does.
    answer : what came of it, in words.
    """

    says: str
    asked_at: datetime
    state: str
    closed_at: datetime | None = None
    outcome: int = 0
    answer: str = ""

    @property
    def waits(self) -> bool:
        return self.state in ("open", "taken")
