"""One way to build a pool, as plain frozen values: tasks, links, holds, gear."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import Literal

from jobs.domain.errors import CannotDo

TaskKind = Literal["work", "clock", "visit", "delivery"]

# How the end of a task follows from its start; the words mean what they mean to the planner.
Run = Literal["work", "attended", "elapsed", "arrives", "visit"]

LinkKind = Literal["plain", "clock", "strength", "dryness", "notice", "level"]

# "morning": the arrival span opens at the start of the day and the result counts four hours later.
# "day": the span is the whole working day.
VisitSpan = Literal["", "morning", "day"]

MORNING_VISIT_MINUTES = 240
COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelWindow:
    """Water levels between which a fitting may be cut, from its lower flange [m], negative below it."""

    of: tuple[str, ...]
    from_m: float
    until_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRule:
    """One task of a build method.

    Attributes
    ----------
    trade : who does it; ``crew_size`` people are listed, fewer than ``crew_min`` may not start.
    setup_hours : hours before the first unit is done [h].
    rate : units of ``quantity`` per crew-hour of the listed crew; ``None`` is no rate (all in ``setup_hours``).
    by_flow : the quantity [m3] runs in at the measured flow of the hose instead of at ``rate``.
    quantity : key of the take-off; empty when the hours are fixed.
    quantity_if_absent : taken when the take-off of this design has no such quantity; ``None`` refuses.
    concrete : key of the ready-mix it places [m3], where its own quantity is not that concrete; empty if it is.
    slowed_by_soil : the rate is multiplied by the dig factor of the soil.
    long_day : may run past the crew's hours inside daylight, to ten hours.
    evening : may start after the crew's hours too, and run into the evening: short work that cannot wait.
    opening_only : starts exactly when the working day opens.
    start_by_hour : latest start, local hour of the day; ``None`` is any.
    visit_span : arrival span of an outsider.
    gear, bookings, cautions : keys of the vocabulary.
    stand_by : may be done instead when rain takes the first choice; ``stand_by_note`` says how.
    needs_hold : stays shut until this hold is passed. ``releases_hold``: the visit that can release it.
    source : where rate and set-up come from.
    """

    key: str
    title: str
    kind: TaskKind
    run: Run
    trade: str
    crew_size: int
    crew_min: int
    setup_hours: float
    rate: float | None
    by_flow: bool
    quantity: str
    quantity_if_absent: float | None
    concrete: str
    slowed_by_soil: bool
    splits_nights: bool
    splits_weekends: bool
    long_day: bool
    opening_only: bool
    start_by_hour: float | None
    visit_span: VisitSpan
    authority: str
    gear: tuple[str, ...]
    bookings: tuple[str, ...]
    exposure: str
    stand_by: bool
    stand_by_note: str
    cautions: tuple[str, ...]
    needs_hold: str
    releases_hold: str
    source: str
    evening: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkRule:
    """``after`` may start once ``before`` has ended and something has passed between them.

    Attributes
    ----------
    min_hours : elapsed hours that must pass, nights and weekends included [h].
    min_working_days : full working days that must pass, the day ``before`` ends not counted.
    max_hours, max_working_days : latest start of ``after`` counted from the end of ``before``.
    cold_below_c, cold_hours_more : where the air of the day on which ``before`` ends is below the one on average
        [degC], ``min_hours`` and ``max_hours`` are longer by the other [h].
    fraction : share of the specified 28-day strength that must be reached.
    surface : ``wall``, ``floor`` or ``ground``: what must be dry.
    level : water levels between which ``after`` may work.
    fixed_hours : cautious stand-in for a strength, dryness or level that is not computed [h].
    floor_hours : elapsed hours below which no computed strength opens the link [h].
    requirement : what must be true, in words. ``why``: the reason, in words.
    source, fixed_source : where the requirement, and where the stand-in, come from.
    """

    before: str
    after: str
    kind: LinkKind
    min_hours: float
    min_working_days: int
    max_hours: float | None
    max_working_days: int | None
    fraction: float | None
    surface: str
    level: LevelWindow | None
    fixed_hours: float
    floor_hours: float
    requirement: str
    why: str
    source: str
    fixed_source: str
    cold_below_c: float | None = None
    cold_hours_more: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldRule:
    """An inspection that keeps ``blocks`` shut until a person records that it passed."""

    key: str
    title: str
    visit: str
    looks_at: str
    notice_working_days: int
    blocks: tuple[str, ...]
    if_fails: str
    second_visit_dollars: int
    valid_days: int | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GearHoldRule:
    """Gear held from the start of ``from_task`` to the end of ``until_task``.

    One piece, or one for each begun ``per_amount`` of ``per_quantity``.
    """

    gear: str
    from_task: str
    until_task: str
    per_quantity: str
    per_amount: float
    source: str


@dataclass(frozen=True, kw_only=True)
class BuildMethod:
    """A build method as read and cross-checked.

    Attributes
    ----------
    pace_cap : a bigger crew never works faster than this times the listed rate.
    first_pool_factor : rate factor of a crew that builds by this method for the first time.
    flow_m3_h : flow taken until the site's own is measured [m3/h].
    dig_factors : rate factor of soil-slowed tasks by soil.
    value_sources : where values without their own tag come from, by field.
    """

    key: str
    title: str
    tasks: tuple[TaskRule, ...]
    links: tuple[LinkRule, ...]
    holds: tuple[HoldRule, ...]
    gear_holds: tuple[GearHoldRule, ...]
    pace_cap: float
    first_pool_factor: float
    flow_m3_h: float
    long_day_hours: float
    dig_factors: Mapping[str, float]
    value_sources: Mapping[str, str] = field(default_factory=dict)

    @property
    def cuts_on_the_way(self) -> bool:
        """Whether fittings are cut in while the water rises: some work waits for a level."""
        return any(link.kind == "level" for link in self.links)

    @cached_property
    def by_key(self) -> Mapping[str, TaskRule]:
        """Tasks by key."""
        return MappingProxyType({task.key: task for task in self.tasks})

    def task(self, key: str) -> TaskRule:
        """The task of that key.

        Raises
        ------
        CannotDo
            ``method.no_such_task`` when the method has none.
        """
        found = self.by_key.get(key)
        if found is None:
            raise CannotDo("method.no_such_task", field=key, method=self.key)
        return found
