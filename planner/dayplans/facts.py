"""What one crew must know of one day: plain frozen values, SI inside, aware moments, half-open spans.

Assembly fills these from the plan in force, the forecast and the site records; presenters only word them.
Sentences arrive ready to read; numbers arrive with a ``UnitCode``.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Literal
from zoneinfo import ZoneInfo

UnitCode = Literal[
    "m",
    "m_long",
    "m_small",
    "m2",
    "m3",
    "m3_ordered",
    "l",
    "kg",
    "mpa",
    "m_per_h",
    "m3_per_h",
    "degc",
    "m_s",
    "mm",
    "mm_h",
    "kg_m2_h",
    "share",
    "h",
    "count",
]


class GateState(StrEnum):
    """Whether one thing that must be true before a start is true; unknown never counts as open.

    With care the work may start, and something is near that stops it.
    """

    OPEN = "open"
    CARE = "care"
    SHUT = "shut"
    UNKNOWN = "unknown"

    @property
    def lets_start(self) -> bool:
        """Whether the work may start as far as this gate goes."""
        return self in (GateState.OPEN, GateState.CARE)


# Who is asked about work before that is this crew's own.
OWN_CREW = "own crew"

GateKind = Literal[
    "links", "hold", "strength", "dry", "sky", "crew", "gear", "booking", "daylight", "licence", "barrier", "safety"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number with its SI unit code, as the take-off or the forecast gave it."""

    label: str
    value: float
    unit: UnitCode


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """One thing that must be true before the task starts, with one sentence that says what and since when.

    ``opens`` ends the words "do not start before", for every gate that keeps work from starting. ``ask`` is a crew
    that knows more than the office, ``OWN_CREW`` for the reader's, empty where nobody. ``record`` names what a person
    has to record to open it, empty where nothing a person says opens it.
    """

    kind: GateKind
    state: GateState
    sentence: str
    opens: str = ""
    ask: str = ""
    record: str = ""

    def __post_init__(self) -> None:
        if not self.state.lets_start and not self.opens:
            raise ValueError(f"{self.kind} gate: nothing says what opens it: {self.sentence}")


@dataclass(frozen=True, slots=True, kw_only=True)
class StopLimit:
    """What would stop the work: the limit in words, its number, and the forecast's worst value beside it.

    ``limit`` and ``forecast`` share the unit. ``forecast`` is None where the forecast does not say, and where no
    forecast can: what is measured ``on_site``. ``reached`` is None where that cannot be judged.
    """

    words: str
    unit: UnitCode
    limit: float | None = None
    forecast: float | None = None
    worst_at: datetime | None = None
    reached: bool | None = None
    on_site: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A usual caution with where it comes from."""

    sentence: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparing:
    """One measure that makes the weather acceptable, with the hours it takes; ``bought``: inside the planned stay."""

    title: str
    hours: float
    bought: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherAdvice:
    """What the watch asks of a start: ``prepare`` with these measures, ``move`` it, or ``unknown``: call first."""

    verdict: str
    preparing: tuple[Preparing, ...] = ()

    @property
    def minutes(self) -> int:
        """The time all of it takes that the plan leaves none for, one measure after the other."""
        return round(60 * sum(one.hours for one in self.preparing if not one.bought))


@dataclass(frozen=True, slots=True, kw_only=True)
class CalledIn:
    """Somebody outside who comes: who, for what, when, the number to call and how the booking stands."""

    who: str
    what: str
    at: datetime | None
    phone: str
    state: str = ""
    free_until: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Truck:
    """One ready-mix truck: when it should be at the site and how much it carries."""

    at: datetime
    volume_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTask:
    """One piece of work at a stop, ``continued`` from an earlier day or not.

    It opens with ``prepare_minutes`` of what the plan bought against the weather, ``prepares``; the work itself comes
    after them.
    ``safe_at`` is when weather can no longer spoil it (exposed work only).
    """

    key: str
    title: str
    trade: str
    trade_title: str
    starts_at: datetime
    ends_at: datetime
    state: str = "waiting"
    continued: bool = False
    prepare_minutes: int = 0
    prepares: str = ""
    exposed: bool = False
    safe_at: datetime | None = None
    head_count: int | None = None
    joined_by: tuple[str, ...] = ()
    quantities: tuple[Quantity, ...] = ()
    trucks: tuple[Truck, ...] = ()
    gates: tuple[Gate, ...] = ()
    limits: tuple[StopLimit, ...] = ()
    gear: tuple[str, ...] = ()
    called_in: tuple[CalledIn, ...] = ()
    cautions: tuple[Caution, ...] = ()
    note: str = ""
    advice: WeatherAdvice | None = None

    def __post_init__(self) -> None:
        if self.ends_at <= self.starts_at:
            raise ValueError(f"task {self.key}: ends_at must be after starts_at")
        if self.safe_at is not None and self.safe_at < self.ends_at:
            raise ValueError(f"task {self.key}: safe_at must not be before ends_at")

    @property
    def work_at(self) -> datetime:
        """When the work itself begins."""
        return self.starts_at + timedelta(minutes=self.prepare_minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One site of the day, with the way there: from the yard for the first stop, else from the stop before.

    The stay is planned from ``arrive_at``, with what the plan bought to prepare; what the weather asks to prepare
    beside that takes ``prepare_minutes`` before it. The stop before is left at ``left_at``.
    """

    site: str
    address: str
    arrive_at: datetime
    leave_at: datetime
    left_at: datetime | None = None
    prepare_minutes: int = 0
    travel_minutes: int = 0
    travel_m: float = 0.0
    access: str = ""
    owner_phone: str = ""
    tasks: tuple[DayTask, ...] = ()

    def __post_init__(self) -> None:
        if self.leave_at <= self.arrive_at:
            raise ValueError(f"stop {self.site}: leave_at must be after arrive_at")

    @property
    def here_at(self) -> datetime:
        """When the crew has to be there, or can be at the earliest."""
        wanted_at = self.arrive_at - timedelta(minutes=self.prepare_minutes)
        if self.left_at is None:
            return wanted_at
        return max(wanted_at, self.left_at + timedelta(minutes=self.travel_minutes))

    @property
    def begins_at(self) -> datetime:
        """When the work can begin."""
        return max(self.arrive_at, self.here_at + timedelta(minutes=self.prepare_minutes))

    @property
    def is_late(self) -> bool:
        """Whether the work can only begin after its planned start."""
        return self.begins_at > self.arrive_at


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyHour:
    """One hour of the forecast from ``starts_at`` on; None is unknown, never zero.

    ``rain_chance``, ``thunder_chance``, ``sky_cover`` are shares [0..1]; ``night`` is from sunset to sunrise.
    """

    starts_at: datetime
    air_temp_c: float | None = None
    rain_chance: float | None = None
    rain_mm: float | None = None
    wind_m_s: float | None = None
    gust_m_s: float | None = None
    thunder_chance: float | None = None
    sky_cover: float | None = None
    night: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatBand:
    """The day's highest heat index with the band it falls in and what people do then."""

    band: str
    heat_index_c: float
    at: datetime
    caution: Caution


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdBand:
    """The day's lowest wind chill with the band it falls in and what people do then."""

    band: str
    wind_chill_c: float
    at: datetime
    caution: Caution


@dataclass(frozen=True, slots=True, kw_only=True)
class StandBy:
    """Work to turn to if rain takes the first choice."""

    title: str
    site: str
    why: str
    minutes: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ComingDay:
    """One of the next working days in one line; ``works`` says whether any work is planned on it."""

    on: date
    line: str
    works: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """Where the day's sky comes from and how old it is, in words; ``stale`` widens every chance."""

    source: str
    issued_at: datetime | None
    age: str
    stale: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlanFacts:
    """One crew, one day, one numbered plan. ``deferring`` stands over all cautions: who decides, not this page."""

    company: str
    branch: str
    crew: str
    foreman: str
    on: date
    zone: ZoneInfo
    plan_number: int
    made_at: datetime
    office_phone: str
    forecast: Forecast
    closing: str
    deferring: str
    banner: str = ""
    head_count: int | None = None
    stops: tuple[Stop, ...] = ()
    sky: tuple[SkyHour, ...] = ()
    sunrise_at: datetime | None = None
    sunset_at: datetime | None = None
    heat: HeatBand | None = None
    cold: ColdBand | None = None
    stand_by: tuple[StandBy, ...] = ()
    changed: tuple[str, ...] = ()
    told_plan_number: int | None = None
    coming: tuple[ComingDay, ...] = ()
    cautions: tuple[Caution, ...] = ()
