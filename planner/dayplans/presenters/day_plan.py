"""A day plan's facts as the words and numbers a page shows; every time is already on the site's clock."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from planner.dayplans.facts import CalledIn, Caution, DayPlanFacts, DayTask, Gate, GateState, Stop, StopLimit
from planner.dayplans.presenters.hours import SkyRow, present_hour
from planner.dayplans.presenters.measures import (
    Gettext,
    clock,
    clock_on,
    day,
    gettext_noop,
    measure,
    measure_beside,
    miles,
    minutes,
)

GATE_WORDS = {
    GateState.OPEN: gettext_noop("open"),
    GateState.CARE: gettext_noop("with care"),
    GateState.SHUT: gettext_noop("shut"),
    GateState.UNKNOWN: gettext_noop("not known"),
}
GATE_KINDS = {
    "links": gettext_noop("Work before"),
    "hold": gettext_noop("Hold"),
    "strength": gettext_noop("Strength"),
    "dry": gettext_noop("Dry"),
    "sky": gettext_noop("Sky"),
    "crew": gettext_noop("Crew"),
    "gear": gettext_noop("Gear"),
    "booking": gettext_noop("Booking"),
    "daylight": gettext_noop("Daylight"),
    "licence": gettext_noop("Licensed person"),
    "barrier": gettext_noop("Barrier"),
    "safety": gettext_noop("Safety look"),
}
# Said of sources in the data; on site it would only raise a question nobody there can answer.
FROM_MEMORY = "(from memory)"
STATE_WORDS = {
    "waiting": gettext_noop("waiting"),
    "clear": gettext_noop("clear to start"),
    "started": gettext_noop("started"),
    "finished": gettext_noop("finished"),
    "dropped": gettext_noop("dropped"),
    "unreported": gettext_noop("not reported yet"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class GateView:
    state: str
    word: str
    kind: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitView:
    """``state`` is reached, clear or unknown; ``word`` says it."""

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
class SaidBy:
    sentence: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceView:
    """What the weather asks for before the start; ``measures`` are measure and time it takes."""

    verdict: str
    words: str
    measures: tuple[Pair, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskView:
    key: str
    title: str
    trade: str
    trade_title: str
    starts: str
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
    gear: str
    called_in: tuple[CalledInView, ...]
    cautions: tuple[SaidBy, ...]
    note: str
    advice: AdviceView | None


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
class HeatView:
    band: str
    index: str
    at: str
    sentence: str
    source: str


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
    first_start: str
    last_leave: str
    sky: tuple[SkyRow, ...]
    heat: HeatView | None
    stand_by: tuple[StandByView, ...]
    changed: tuple[str, ...]
    told_plan_number: int | None
    coming: tuple[Pair, ...]
    cautions: tuple[SaidBy, ...]
    deferring: str
    closing: str


def present_day_plan(facts: DayPlanFacts, gettext: Gettext = str) -> DayPlanPage:
    """Word one crew's day; ``gettext`` translates what the presenter itself says."""
    zone, on = facts.zone, facts.on
    issued = facts.forecast.issued_at
    return DayPlanPage(
        company=facts.company,
        branch=facts.branch,
        crew=facts.crew,
        foreman=facts.foreman,
        people=facts.head_count,
        day=day(on, gettext, year=True),
        iso_day=on.isoformat(),
        plan_number=facts.plan_number,
        made=clock_on(facts.made_at, zone, on, gettext),
        banner=facts.banner,
        office_phone=facts.office_phone,
        office_dial=_dial(facts.office_phone),
        source=facts.forecast.source,
        issued=clock_on(issued, zone, on, gettext) if issued else gettext("not known"),
        age=facts.forecast.age,
        stale=facts.forecast.stale,
        sun=_sun(facts, gettext),
        stops=tuple(_stop(stop, at, facts, gettext) for at, stop in enumerate(facts.stops, start=1)),
        first_start=clock(facts.stops[0].arrive_at, zone, gettext) if facts.stops else "",
        last_leave=clock(facts.stops[-1].leave_at, zone, gettext) if facts.stops else "",
        sky=tuple(present_hour(one, zone, gettext) for one in facts.sky),
        heat=_heat(facts, gettext),
        stand_by=tuple(
            StandByView(title=one.title, site=one.site, why=one.why, lasts=minutes(one.minutes) if one.minutes else "")
            for one in facts.stand_by
        ),
        changed=facts.changed,
        told_plan_number=facts.told_plan_number,
        coming=tuple(Pair(label=day(one.on, gettext), value=one.line) for one in facts.coming),
        cautions=_said_by(facts.cautions),
        deferring=facts.deferring,
        closing=facts.closing,
    )


def _dial(phone: str) -> str:
    """The number a phone dials: digits and a leading plus."""
    return "".join(sign for at, sign in enumerate(phone.strip()) if sign.isdigit() or (sign == "+" and at == 0))


def _sun(facts: DayPlanFacts, gettext: Gettext) -> str:
    if facts.sunrise_at is None or facts.sunset_at is None:
        return ""
    up, down = clock(facts.sunrise_at, facts.zone, gettext), clock(facts.sunset_at, facts.zone, gettext)
    return gettext("Sun up {up}, down {down}").format(up=up, down=down)


def _stop(stop: Stop, at: int, facts: DayPlanFacts, gettext: Gettext) -> StopView:
    return StopView(
        number=at,
        site=stop.site,
        address=stop.address,
        access=stop.access,
        travels=stop.travel_minutes > 0,
        travel_time=minutes(stop.travel_minutes),
        travel_distance=miles(stop.travel_m, gettext) if stop.travel_m > 0 else "",
        set_off=clock(stop.arrive_at - timedelta(minutes=stop.travel_minutes), facts.zone, gettext),
        arrive=clock(stop.arrive_at, facts.zone, gettext),
        leave=clock(stop.leave_at, facts.zone, gettext),
        owner_phone=stop.owner_phone,
        owner_dial=_dial(stop.owner_phone),
        tasks=tuple(_task(task, facts, gettext) for task in stop.tasks),
    )


def _task(task: DayTask, facts: DayPlanFacts, gettext: Gettext) -> TaskView:
    zone, on = facts.zone, facts.on
    gates = tuple(_gate(gate, gettext) for gate in task.gates)
    gates_open = sum(gate.state.lets_start for gate in task.gates)
    return TaskView(
        key=task.key,
        title=task.title,
        trade=task.trade,
        trade_title=task.trade_title,
        starts=clock(task.starts_at, zone, gettext),
        ends=clock_on(task.ends_at, zone, on, gettext),
        lasts=minutes(round((task.ends_at - task.starts_at) / timedelta(minutes=1))),
        state=task.state,
        state_word=gettext(STATE_WORDS[task.state]),
        exposed=task.exposed,
        safe=clock_on(task.safe_at, zone, on, gettext) if task.safe_at else "",
        people=task.head_count,
        joined_by=", ".join(task.joined_by),
        quantities=tuple(Pair(label=one.label, value=measure(one.value, one.unit, gettext)) for one in task.quantities),
        trucks=tuple(
            Pair(label=clock_on(one.at, zone, on, gettext), value=measure(one.volume_m3, "m3", gettext))
            for one in task.trucks
        ),
        gates=gates,
        gates_open=gates_open,
        all_open=gates_open == len(gates),
        limits=tuple(_limit(limit, facts, gettext) for limit in task.limits),
        gear=", ".join(task.gear),
        called_in=tuple(_called_in(one, facts, gettext) for one in task.called_in),
        cautions=_said_by(task.cautions),
        note=task.note,
        advice=_advice(task, facts, gettext),
    )


def _said_by(cautions: Iterable[Caution]) -> tuple[SaidBy, ...]:
    """Cautions for the site. How we know a source is our affair, and stands with the data; who says it stays."""
    return tuple(
        SaidBy(sentence=one.sentence, source=" ".join(one.source.replace(FROM_MEMORY, "").split())) for one in cautions
    )


def _advice(task: DayTask, facts: DayPlanFacts, gettext: Gettext) -> AdviceView | None:
    if task.advice is None:
        return None
    start = clock_on(task.starts_at, facts.zone, facts.on, gettext)
    words = {
        "prepare": gettext("Prepare for the weather before {start}").format(start=start)
        if task.advice.preparing
        else gettext("The weather comes near a limit: look at what would stop the work before you start"),
        "move": gettext("The weather asks to move this. Call the office before anybody starts"),
    }.get(task.advice.verdict, gettext("The sky is not known. Call the office before anybody starts"))
    return AdviceView(
        verdict=task.advice.verdict,
        words=words,
        measures=tuple(
            Pair(
                label=one.title,
                value=minutes(round(one.hours * 60)) if one.hours else gettext("no time of its own"),
            )
            for one in task.advice.preparing
        ),
    )


def _gate(gate: Gate, gettext: Gettext) -> GateView:
    return GateView(
        state=gate.state.value,
        word=gettext(GATE_WORDS[gate.state]),
        kind=gettext(GATE_KINDS[gate.kind]),
        sentence=gate.sentence,
    )


def _limit(limit: StopLimit, facts: DayPlanFacts, gettext: Gettext) -> LimitView:
    if limit.forecast is None:
        forecast = gettext("not known")
    else:
        forecast = measure_beside(limit.forecast, limit.limit, limit.unit, gettext)
        if limit.worst_at is not None:
            when = clock_on(limit.worst_at, facts.zone, facts.on, gettext)
            forecast = gettext("{value} at {when}").format(value=forecast, when=when)
    state, word = {
        True: ("reached", gettext("reached")),
        False: ("clear", gettext("not reached")),
        None: ("unknown", gettext("not known: ask the office")),
    }[limit.reached]
    return LimitView(
        state=state,
        word=word,
        words=limit.words,
        limit="" if limit.limit is None else measure(limit.limit, limit.unit, gettext),
        forecast=forecast,
    )


def _called_in(one: CalledIn, facts: DayPlanFacts, gettext: Gettext) -> CalledInView:
    def shown(moment: datetime | None) -> str:
        return clock_on(moment, facts.zone, facts.on, gettext) if moment else ""

    return CalledInView(
        who=one.who,
        what=one.what,
        at=shown(one.at),
        phone=one.phone,
        dial=_dial(one.phone),
        state=one.state,
        free_until=shown(one.free_until),
    )


def _heat(facts: DayPlanFacts, gettext: Gettext) -> HeatView | None:
    if facts.heat is None:
        return None
    return HeatView(
        band=facts.heat.band,
        index=measure(facts.heat.heat_index_c, "degc", gettext),
        at=clock(facts.heat.at, facts.zone, gettext),
        sentence=f"{facts.heat.caution.sentence} {facts.deferring}",
        source=facts.heat.caution.source,
    )
