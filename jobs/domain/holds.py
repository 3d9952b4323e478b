"""The state of a hold, derived from what people recorded about its visit and its result.

The booking of the visit owns asking and confirming, the hold owns the result; nothing here ever passes a hold
by itself.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from jobs.domain.errors import CannotDo

HoldResult = Literal["open", "passed", "failed"]
HoldShown = Literal["not asked", "asked", "confirmed", "passed", "failed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldRecord:
    """What is recorded about a hold.

    Attributes
    ----------
    asked_at, confirmed_at : when the latest visit was asked for and confirmed; ``None`` is not yet.
    result : what the inspector said last.
    decided_by : name of the inspector, as entered by a person.
    decided_at : when the inspector said it, aware.
    """

    asked_at: datetime | None = None
    confirmed_at: datetime | None = None
    result: HoldResult = "open"
    decided_by: str = ""
    decided_at: datetime | None = None

    def __post_init__(self) -> None:
        """Refuses a result without name and moment, and a confirmation of what nobody asked for."""
        for name in ("asked_at", "confirmed_at", "decided_at"):
            moment: datetime | None = getattr(self, name)
            if moment is not None and moment.utcoffset() is None:
                raise CannotDo("waiting.no_zone", field=name)
        if self.confirmed_at is not None:
            if self.asked_at is None:
                raise CannotDo("holds.confirmed_not_asked", field="asked_at")
            if self.confirmed_at < self.asked_at:
                raise CannotDo("holds.out_of_order", field="confirmed_at", earlier="asked_at")
        if self.result != "open":
            if not self.decided_by.strip():
                raise CannotDo("holds.no_name", field="decided_by")
            if self.decided_at is None:
                raise CannotDo("holds.no_day", field="decided_at")


def shown_state(record: HoldRecord) -> HoldShown:
    """The state shown for a hold.

    A passed hold stays passed. A failed one shows ``failed`` until a visit is asked for after the failure.

    Examples
    --------
    >>> shown_state(HoldRecord())
    'not asked'
    >>> from datetime import UTC
    >>> at = datetime(2026, 6, 11, 15, 0, tzinfo=UTC)
    >>> shown_state(HoldRecord(result="passed", decided_by="An inspector", decided_at=at))
    'passed'
    """
    if record.result == "passed":
        return "passed"
    if record.result == "failed" and not _asked_again(record):
        return "failed"
    if record.confirmed_at is not None:
        return "confirmed"
    return "asked" if record.asked_at is not None else "not asked"


def is_released(record: HoldRecord, *, at: datetime, valid_days: int | None = None) -> bool:
    """Whether what the hold blocks may start at a moment.

    Parameters
    ----------
    record : HoldRecord
        What is recorded.
    at : datetime
        The start, aware.
    valid_days : int, optional
        Days of 24 hours that a passed result lasts, from the method; ``None`` is for good.
    """
    if record.result != "passed" or record.decided_at is None or at < record.decided_at:
        return False
    return valid_days is None or at <= record.decided_at + timedelta(days=valid_days)


def _asked_again(record: HoldRecord) -> bool:
    if record.asked_at is None or record.decided_at is None:
        return False
    return record.asked_at > record.decided_at
