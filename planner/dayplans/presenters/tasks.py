"""One task of a day as words and numbers; every time is already on the site's clock."""

from datetime import datetime, timedelta

from planner.dayplans.facts import CalledIn, DayPlanFacts, DayTask, Gate, StopLimit
from planner.dayplans.presenters.headline import headline_of
from planner.dayplans.presenters.measures import Gettext, clock, clock_on, measure, measure_beside, minutes, number
from planner.dayplans.presenters.sources import Sources
from planner.dayplans.presenters.views import AdviceView, CalledInView, GateView, LimitView, Pair, TaskView
from planner.dayplans.presenters.words import GATE_KINDS, GATE_WORDS, STATE_WORDS


def present_task(task: DayTask, facts: DayPlanFacts, sources: Sources, gettext: Gettext, *, late: bool) -> TaskView:
    zone, on = facts.zone, facts.on
    gates = tuple(_gate(gate, gettext) for gate in task.gates)
    no_forecast = _no_forecast(task, gettext)
    gates_open = sum(gate.state.lets_start for gate in task.gates)
    return TaskView(
        key=task.key,
        title=task.title,
        trade=task.trade,
        trade_title=task.trade_title,
        starts=clock(task.starts_at, zone, gettext),
        work=clock(task.work_at, zone, gettext) if task.prepare_minutes else "",
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
        limits=tuple(_limit(limit, facts, gettext, quiet=bool(no_forecast)) for limit in task.limits),
        no_forecast=no_forecast,
        gear=", ".join(task.gear),
        called_in=tuple(_called_in(one, facts, gettext) for one in task.called_in),
        cautions=sources.cited(task.cautions),
        note=task.note,
        advice=_advice(task, facts, gettext, late=late),
        headline=headline_of(task, facts.office_phone, gettext),
    )


def _advice(task: DayTask, facts: DayPlanFacts, gettext: Gettext, *, late: bool) -> AdviceView | None:
    if task.advice is None:
        return None
    if task.advice.verdict != "prepare" and any(
        gate.kind == "sky" and not gate.state.lets_start for gate in task.gates
    ):
        # The headline says it.
        return None
    start = clock_on(task.work_at, facts.zone, facts.on, gettext)
    begin = clock_on(task.starts_at - timedelta(minutes=task.advice.minutes), facts.zone, facts.on, gettext)
    prepare = gettext("Prepare for the weather before {start}, begin by {begin}").format(start=start, begin=begin)
    if late:
        prepare = gettext("Prepare for the weather before you start")
    words = {
        "prepare": prepare
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


def _no_forecast(task: DayTask, gettext: Gettext) -> str:
    """Said once where no forecast reaches the hours, instead of after every limit."""
    asked = [one for one in task.limits if not one.on_site and one.unit != "h"]
    if not asked or any(one.forecast is not None for one in asked):
        return ""
    return gettext("No forecast says anything of these hours yet: ask the office.")


def _limit(limit: StopLimit, facts: DayPlanFacts, gettext: Gettext, *, quiet: bool) -> LimitView:
    forecast = _forecast(limit, facts, gettext)
    state, word = {
        True: ("reached", gettext("reached")),
        False: ("clear", gettext("not reached")),
        None: ("unknown", gettext("not known: ask the office")),
    }[limit.reached]
    if limit.on_site:
        forecast, word = "", gettext("measure it on site")
    elif quiet and limit.forecast is None:
        forecast = word = ""
    return LimitView(
        state=state,
        word=word,
        words=limit.words,
        limit="" if limit.limit is None else measure(limit.limit, limit.unit, gettext),
        forecast=forecast,
    )


def _forecast(limit: StopLimit, facts: DayPlanFacts, gettext: Gettext) -> str:
    if limit.forecast is None:
        return gettext("not known")
    if limit.unit == "h":
        lasts = measure(limit.forecast, limit.unit, gettext)
        return gettext("{lasts} still to dry").format(lasts=lasts) if limit.forecast else gettext("dry")
    if limit.unit in ("mm", "mm_h") and limit.forecast > 0 and number(limit.forecast, limit.unit) == "0":
        value = gettext("a trace")
    else:
        value = measure_beside(limit.forecast, limit.limit, limit.unit, gettext)
    if limit.worst_at is None:
        return value
    when = clock_on(limit.worst_at, facts.zone, facts.on, gettext)
    return gettext("{value} at {when}").format(value=value, when=when)


def _called_in(one: CalledIn, facts: DayPlanFacts, gettext: Gettext) -> CalledInView:
    def shown(moment: datetime | None) -> str:
        return clock_on(moment, facts.zone, facts.on, gettext) if moment else ""

    return CalledInView(
        who=one.who,
        what=one.what,
        at=shown(one.at),
        phone=one.phone,
        dial=dialled(one.phone),
        state=one.state,
        free_until=shown(one.free_until),
    )


def dialled(phone: str) -> str:
    """The number a phone dials: digits and a leading plus."""
    return "".join(sign for at, sign in enumerate(phone.strip()) if sign.isdigit() or (sign == "+" and at == 0))
