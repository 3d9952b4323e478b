"""Rows of ``jobs`` as frozen values, for code that knows no database."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time

from jobs.domain.design import PoolDesign
from jobs.domain.exposure import Soil
from jobs.domain.method import LinkRule
from jobs.science.setting import Admixture


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """Days, first and last included, on which nobody works on a site."""

    first_on: date
    last_on: date
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteFacts:
    """A place with coordinates [degrees], soil, hours and closed days."""

    id: int
    name: str
    address: str
    latitude: float
    longitude: float
    soil: Soil
    access_note: str = ""
    work_from: time | None = None
    work_until: time | None = None
    closures: tuple[Closure, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskFacts:
    """A task with what is known of it; ``key`` is unique within its job.

    ``concrete_m3`` is the ready-mix to order for it, where ``quantity`` is something else; ``admixture`` is what its
    concrete gets for the set.
    ``gear`` is held only while the task runs; gear held from task to task is in ``JobFacts.gear_spans``.
    """

    id: int
    key: str
    title: str
    kind: str
    run: str
    trade: str
    crew_size: int
    crew_min: int
    work_minutes: int
    exposure: str
    site: SiteFacts
    position: int = 0
    remaining_minutes: int | None = None
    quantity: float | None = None
    unit: str = ""
    splits_nights: bool = False
    splits_weekends: bool = False
    long_day: bool = False
    evening: bool = False
    opening_only: bool = False
    start_by_hour: float | None = None
    stand_by: bool = False
    earliest_at: datetime | None = None
    earliest_why: str = ""
    started_at: datetime | None = None
    finished_at: datetime | None = None
    dropped: bool = False
    frozen: bool = False
    gear: tuple[str, ...] = ()
    bookings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    authority: str = ""
    visit_span: str = ""
    concrete_m3: float = 0.0
    admixture: Admixture = "none"

    @property
    def is_open(self) -> bool:
        return self.finished_at is None and not self.dropped


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkFacts:
    """``after`` follows ``before`` (task ids); ``rule`` holds the numbers as the build method states them."""

    before: int
    after: int
    rule: LinkRule


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldFacts:
    """A hold with its result; ``visit`` and ``blocks`` are task ids."""

    id: int
    key: str
    title: str
    result: str
    visit: int
    blocks: tuple[int, ...]
    decided_by: str = ""
    decided_at: datetime | None = None
    note: str = ""
    looks_at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GearSpanFacts:
    """Gear held from the start of one task to the end of another (task ids)."""

    gear: str
    from_task: int
    until_task: int
    amount: int = 1


# The task with which a pool becomes its owner's.
HAND_OVER = "hand_over"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFacts:
    """One pool being built, or (``id`` 0) the tasks of a site outside any build method.

    ``design`` holds the values as they were entered, ``pool`` the checked design they make; ``None`` without a basin.
    """

    id: int
    name: str
    site: SiteFacts
    method: str
    promised_on: date | None
    earliest_on: date | None
    late_dollars_per_day: int
    open_dig_dollars_per_day: int
    tasks: tuple[TaskFacts, ...]
    links: tuple[LinkFacts, ...] = ()
    holds: tuple[HoldFacts, ...] = ()
    gear_spans: tuple[GearSpanFacts, ...] = ()
    design: Mapping[str, object] = field(default_factory=dict)
    pool: PoolDesign | None = None

    @property
    def until_hand_over(self) -> tuple[TaskFacts, ...]:
        """What the promise is about: the hand-over where the method has one, else every task; none that is dropped.

        Care of the water and salt in a finish of cement come after it and keep no owner waiting.
        """
        kept = tuple(task for task in self.tasks if not task.dropped)
        return tuple(task for task in kept if task.key == HAND_OVER) or kept

    def task(self, key: str) -> TaskFacts:
        """The task of a key.

        Raises
        ------
        KeyError
            If the job has no such task.
        """
        for task in self.tasks:
            if task.key == key:
                return task
        raise KeyError(key)


@dataclass(frozen=True, slots=True, kw_only=True)
class BranchFacts:
    """An office: its zone, its planning window of the day and its yard."""

    id: int
    name: str
    company: str
    zone: str
    country: str
    subdivision: str
    opens: time
    closes: time
    yard_latitude: float
    yard_longitude: float
    keeps_public_holidays: bool
    input_revision: int
    plan_number: int
    banner: str = ""
    phone: str = ""
