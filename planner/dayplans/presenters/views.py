"""The words and numbers a day plan shows, as its page and its print take them."""

from dataclasses import dataclass

from planner.dayplans.presenters.hours import SkyRow


@dataclass(frozen=True, slots=True, kw_only=True)
class GateView:
    state: str
    word: str
    kind: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitView:
    """``state`` is reached, clear or unknown; ``word`` says it. ``forecast`` is empty where no forecast can say."""

    state: str
    word: str
    words: str
    limit: str
    forecast: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CalledInView:
    who: str
    what: str
    at: str
    phone: str
    dial: str
    state: str
    free_until: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    label: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cited:
    """A caution, and the number of its source at the end of the sheet."""

    sentence: str
    source: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceView:
    """What the weather asks for before the start; ``measures`` are measure and time it takes."""

    verdict: str
    words: str
    measures: tuple[Pair, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What one person settles, each of ``whats`` ending the headline's words; ``ask`` says who that is."""

    whats: tuple[str, ...]
    ask: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Headline:
    """``words`` and every what of ``openings`` make a sentence; ``single`` where there is one."""

    words: str
    openings: tuple[Opening, ...]
    single: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskView:
    key: str
    title: str
    trade: str
    trade_title: str
    starts: str
    work: str
    ends: str
    lasts: str
    state: str
    state_word: str
    exposed: bool
    safe: str
    people: int | None
    joined_by: str
    quantities: tuple[Pair, ...]
    trucks: tuple[Pair, ...]
    gates: tuple[GateView, ...]
    gates_open: int
    all_open: bool
    limits: tuple[LimitView, ...]
    no_forecast: str
    gear: str
    called_in: tuple[CalledInView, ...]
    cautions: tuple[Cited, ...]
    note: str
    advice: AdviceView | None
    headline: Headline | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StopView:
    number: int
    site: str
    address: str
    access: str
    travels: bool
    travel_time: str
    travel_distance: str
    set_off: str
    arrive: str
    prepare: str
    leave: str
    owner_phone: str
    owner_dial: str
    tasks: tuple[TaskView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StandByView:
    title: str
    site: str
    why: str
    lasts: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FeltView:
    """What the air does to people: ``words`` are index, hour and band."""

    words: str
    sentence: str
    source: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlanPage:
    """Context ``plan`` of ``planner/day_plan.html``."""

    company: str
    branch: str
    crew: str
    foreman: str
    people: int | None
    day: str
    iso_day: str
    plan_number: int
    made: str
    banner: str
    office_phone: str
    office_dial: str
    source: str
    issued: str
    age: str
    stale: bool
    sun: str
    stops: tuple[StopView, ...]
    not_yet: str
    first_start: str
    last_leave: str
    sky: tuple[SkyRow, ...]
    heat: FeltView | None
    cold: FeltView | None
    stand_by: tuple[StandByView, ...]
    changed: tuple[str, ...]
    told_plan_number: int | None
    coming: tuple[Pair, ...]
    cautions: tuple[Cited, ...]
    sources: tuple[str, ...]
    deferring: str
    closing: str
