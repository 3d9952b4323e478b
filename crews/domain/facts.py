"""Rows of ``crews`` as frozen values, for code that knows no database."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from crews.domain.working_time import WorkCalendar


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewFacts:
    """A crew with its calendar; ``head_counts`` holds the days on which not everybody came.

    ``booked_as`` is the kind of booking an outside crew comes by, empty where it needs none. ``overtime_hour_cents``
    and ``saturday_hour_cents`` are what an hour of the whole crew costs past its hours, up to ``most_overtime_minutes``
    a day, and on Saturdays it has off; 0 where it does not work then.
    """

    id: int
    key: str
    name: str
    own: bool
    size: int
    trades: tuple[str, ...]
    calendar: WorkCalendar
    hour_cents_per_person: int
    foreman: str = ""
    phone: str = ""
    booked_as: str = ""
    head_counts: Mapping[date, int] = field(default_factory=dict)
    overtime_hour_cents: int = 0
    most_overtime_minutes: int = 0
    saturday_hour_cents: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class GearFacts:
    """Counted gear."""

    kind: str
    name: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierFacts:
    """Who is called for a kind of booking or visit, with notice and calendar."""

    id: int
    kind: str
    name: str
    is_authority: bool
    phone: str
    notice_working_days: int
    free_cancel_hours: int
    fee_dollars: int
    daily_limit: int | None
    calendar: WorkCalendar
    mail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingFacts:
    """A slot that was asked for; ``task`` is a task id."""

    id: int
    task: int
    kind: str
    state: str
    on: date
    supplier: int
    asked_at: datetime
    expires_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewsFacts:
    """Everything of ``crews`` a plan reads of one branch."""

    crews: tuple[CrewFacts, ...]
    gear: tuple[GearFacts, ...]
    suppliers: tuple[SupplierFacts, ...]
    bookings: tuple[BookingFacts, ...]
    branch_calendar: WorkCalendar
