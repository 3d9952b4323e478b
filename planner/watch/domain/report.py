"""What the watch says: values only; words and units for people are made where they are shown."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Literal

from jobs.domain.exposure import Measure
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.judgement import StartJudgement
from planner.plans.domain.water import Dilution
from planner.plans.domain.world import Prepared

Unit = Literal["dollars", "share", "mm", "mm_h", "degc", "m_s", "kg_m2_h", "h", "m", "l", "count"]

# "on_site": nobody forecasts it, a person measures it.
State = Literal["reached", "near", "clear", "unknown", "on_site"]

StateKind = Literal[
    "open_dig",
    "unbraced_forms",
    "braced_forms",
    "fresh_concrete",
    "young_concrete",
    "empty_shell",
    "bare_basin",
    "open_foam",
    "unattended_fill",
]


class Verdict(StrEnum):
    """What the weather asks of a start; never that it is safe."""

    NO_LIMIT = "no limit reached"
    PREPARE = "prepare"
    MOVE = "move"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One step of an arithmetic: what it is, its value, and where the value comes from."""

    label: str
    value: float
    unit: Unit
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One limit with the forecast's worst known value beside it.

    Attributes
    ----------
    limit : name of the limit, as in the exposure's data.
    worst, worst_at : worst known value and its hour; ``None`` where none is known or none is looked for.
    chance : chance [0..1] that the limit is broken, where it was priced.
    known_share : share [0..1] of its hours that the forecast covers.
    forbids : a known value breaks the limit and the work may not start.
    """

    limit: str
    unit: Unit
    state: State
    limit_value: float | None
    worst: float | None = None
    worst_at: datetime | None = None
    chance: float = 0.0
    known_share: float = 1.0
    forbids: bool = False
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingHour:
    """Evaporation from fresh concrete in one hour [kg/m2/h], with what it was computed from; ``None``: unknown.

    ``rate_kg_m2_h`` stands for anything between ``low`` and ``high``: the estimate is good to 40 % either way.
    The concrete is taken to be as warm as the air, and ``wind_m_s`` is the forecast's at 10 m brought down to 0.5 m.
    """

    at: datetime
    rate_kg_m2_h: float | None
    low_kg_m2_h: float | None = None
    high_kg_m2_h: float | None = None
    concrete_temp_c: float | None = None
    dew_point_c: float | None = None
    wind_m_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficialWarning:
    """A public warning over the exposed span of a start.

    ``least`` is the mildest verdict it allows, with the code of the ``reason``; ``None``: it is shown only.
    ``event_key`` is the same for all messages about one event.
    """

    message_id: str
    event: str
    sender: str
    headline: str
    instruction: str
    starts_at: datetime
    until_at: datetime
    least: Verdict | None
    reason: str
    event_key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StartWatch:
    """The verdict on one exposed start, with everything it rests on.

    Attributes
    ----------
    task : id of the task.
    work_at : when the work itself begins, after what the plan bought to prepare from ``start_at`` on.
    forbidden : the sky forbids the work, with what the plan bought to prepare for it.
    lifted : it is forbidden so, and may go with ``measures``.
    prepared : what the plan bought; ``measures`` are what the forecast of now asks for.
    verdict : what to do, official warnings included.
    forecast_verdict : without those; eased only when the forecast has become clearly better.
    fresh_verdict : what this forecast alone says.
    run : row of the forecast run, 0 where there is none.
    warnings : public warnings over its exposed span, worst first.
    unreported : the planned start is past and nobody said that it began.
    going_dollars : expected loss of going, with the measures and their price.
    moving_dollars : what moving costs, the expected loss at the later start included.
    move_to : the best later start at the same clock time, ``None`` where the sky forbids every one looked at.
    free_until : the next moment at which moving starts to cost a fee, or another one; ``None``: none ahead.
    fee_lost : some booking can no longer be cancelled free of charge.
    """

    task: int
    job: str
    site: str
    title: str
    exposure: str
    crews: tuple[str, ...]
    start_at: datetime
    work_at: datetime
    end_at: datetime
    forbidden: bool
    lifted: bool
    prepared: Prepared | None
    verdict: Verdict
    forecast_verdict: Verdict
    fresh_verdict: Verdict
    unreported: bool
    freshness: Freshness
    issued_at: datetime | None
    chance_hit: float
    loss_dollars: int
    known_share: float
    safe_at: datetime
    readings: tuple[Reading, ...]
    drying: tuple[DryingHour, ...]
    measures: tuple[Measure, ...]
    going_dollars: int
    moving_dollars: int
    move_to: datetime | None
    free_until: datetime | None
    fee_lost: bool
    arithmetic: tuple[Line, ...]
    judgement: StartJudgement
    run: int = 0
    warnings: tuple[OfficialWarning, ...] = ()

    @property
    def eased_not_enough(self) -> bool:
        """The forecast is better than the verdict on it, but not by enough to count on."""
        return self.forecast_verdict != self.fresh_verdict

    @property
    def raised(self) -> bool:
        """A public warning asks more than the forecast does."""
        return self.verdict != self.forecast_verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class StateAtRisk:
    """Work that stands and weather can still hurt, seen over [window_from, window_until).

    Attributes
    ----------
    from_at, until_at : since when and until when it stands; ``None``: no end is planned.
    expected : it does not stand yet, the plan says it will.
    state : the worst of the readings.
    caution : a number behind the caution, if there is one.
    task : id of the work that brought it about.
    crews, crew_keys : names and keys of the crews that could protect it.
    """

    kind: StateKind
    job: str
    site: str
    title: str
    from_at: datetime
    until_at: datetime | None
    window_from: datetime
    window_until: datetime
    expected: bool
    state: State
    readings: tuple[Reading, ...]
    caution: Line | None
    crews: tuple[str, ...]
    freshness: Freshness
    task: int = 0
    crew_keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A weekend or holiday: from the close of the last working day to the opening of the next."""

    last_on: date
    from_at: datetime
    until_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteForecast:
    """How old the forecast over a site is."""

    site: str
    freshness: Freshness
    issued_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchReport:
    """Every exposed start of the next 72 hours, every state at risk, and what to protect before people go home.

    ``weekend`` are the states that stand in ``stretch``, judged over it; ``stretch`` is ``None`` where no day is free.
    ``waters`` are the salted pools that a wet week or a refill thins.
    """

    now: datetime
    branch: str
    zone: str
    phone: str
    plan_number: int
    forecasts: tuple[SiteForecast, ...]
    starts: tuple[StartWatch, ...]
    states: tuple[StateAtRisk, ...]
    stretch: Stretch | None
    weekend: tuple[StateAtRisk, ...]
    waters: tuple[Dilution, ...] = ()
