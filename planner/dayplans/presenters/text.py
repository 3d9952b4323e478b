"""A day plan as plain text for a terminal, an e-mail or paper: at most 92 columns, sentences that read aloud."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from planner.dayplans.facts import DayPlanFacts
from planner.dayplans.presenters.day_plan import present_day_plan
from planner.dayplans.presenters.measures import Gettext
from planner.dayplans.presenters.measures import day as day_words
from planner.dayplans.presenters.views import (
    CalledInView,
    DayPlanPage,
    GateView,
    Headline,
    LimitView,
    StopView,
    TaskView,
)

WIDTH = 92
SHAPES = {"open": "[   {word}   ]", "care": "[ ! {word} ]", "shut": "[##|{word}|##]", "unknown": "[ ? {word} ]"}
SKY_HEADS = ("Hour", "°F", "Rain chance", "Rain in", "Wind mph", "Gust mph", "Thunder", "Sky")


def day_plan_text(facts: DayPlanFacts, gettext: Gettext = str) -> str:
    """The whole day plan as text, ending in one line feed."""
    plan = present_day_plan(facts, gettext)
    parts = (
        _heading(plan, gettext),
        _changed(plan, gettext),
        _road(plan, gettext),
        *(_stop(stop, gettext) for stop in plan.stops),
        _stand_by(plan, gettext),
        _sky(plan, gettext),
        _coming(plan, gettext),
        _closing(plan, gettext),
    )
    return "\n\n".join("\n".join(lines) for lines in map(tuple, parts) if lines) + "\n"


def free_crews_text(plans: Sequence[DayPlanFacts], gettext: Gettext = str) -> str:
    """The crews that have no stop on a day, a line each with their next one; empty where all have work."""
    free = [plan for plan in plans if not plan.stops]
    if not free:
        return ""
    heading = gettext("NO STOP ON {day}: ASK THE OFFICE WHERE TO HELP")
    lines = [heading.format(day=day_words(free[0].on, gettext).upper())]
    for plan in free:
        following = next((one for one in plan.coming if one.works), None)
        if following is None:
            said = gettext("none in the days after either.")
        else:
            said = gettext("next {day}: {line}").format(day=day_words(following.on, gettext), line=following.line)
        lines += _wrap(f"- {plan.crew}: {said}", 2, 2)
    return "\n".join(lines) + "\n"


def _wrap(words: str, indent: int = 0, hang: int = 0) -> list[str]:
    """``words`` in lines no wider than the page; a word longer than a line is broken."""
    return textwrap.wrap(
        words, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + hang), break_on_hyphens=False
    )


def _items(items: Iterable[str], indent: int) -> Iterator[str]:
    for item in items:
        yield from _wrap(f"- {item}", indent, 2)


def _heading(plan: DayPlanPage, gettext: Gettext) -> Iterator[str]:
    rule = "=" * WIDTH
    yield rule
    yield from _wrap(f"{plan.company}, {plan.branch}")
    yield from _wrap(gettext("Day plan for {crew}, {day}").format(crew=plan.crew, day=plan.day))
    who = gettext("Foreman {foreman}").format(foreman=plan.foreman)
    if plan.people is not None:
        who += ", " + gettext("{people} people").format(people=plan.people)
    yield from _wrap(f"{who}. " + gettext("Office {phone}.").format(phone=plan.office_phone))
    made = gettext("Plan {number}, made {made}.").format(number=plan.plan_number, made=plan.made)
    yield from _wrap(f"{made} {plan.sun}{'.' if plan.sun else ''}")
    if plan.banner:
        yield from _wrap(f"*** {plan.banner} ***")
    yield from _wrap(gettext("For every caution on this sheet: {words}").format(words=plan.deferring))
    yield rule


def _changed(plan: DayPlanPage, gettext: Gettext) -> Iterator[str]:
    if not plan.changed:
        return
    if plan.told_plan_number is None:
        yield gettext("WHAT CHANGED").upper()
    else:
        yield gettext("CHANGED SINCE YOU WERE TOLD PLAN {number}").format(number=plan.told_plan_number)
    yield from _items(plan.changed, 2)


def _road(plan: DayPlanPage, gettext: Gettext) -> Iterator[str]:
    yield gettext("THE DAY")
    if not plan.stops:
        yield from _wrap(gettext("No stop is planned for this crew on this day. Call the office."), 2)
    yield from _wrap(plan.not_yet, 2)
    for stop in plan.stops:
        work = "; ".join(f"{task.starts} {task.title}{_not_yet(task, gettext)}" for task in stop.tasks)
        yield from _wrap(f"{stop.number}. {stop.site}, {stop.arrive} to {stop.leave}: {work}", 2, 3)


def _not_yet(task: TaskView, gettext: Gettext) -> str:
    return gettext(" (do not start yet)") if task.headline is not None else ""


def _stop(stop: StopView, gettext: Gettext) -> Iterator[str]:
    yield "-" * WIDTH
    yield from _wrap(gettext("STOP {number}: {site}").format(number=stop.number, site=stop.site))
    yield from _wrap(stop.address, 2)
    if stop.travels:
        way = ", ".join(part for part in (stop.travel_time, stop.travel_distance) if part)
        yield from _wrap(gettext("Set off {set_off}: {way}.").format(set_off=stop.set_off, way=way), 2)
    yield from _wrap(gettext("On site {arrive} to {leave}.").format(arrive=stop.arrive, leave=stop.leave), 2)
    if stop.prepare:
        yield from _wrap(f"{stop.prepare}.", 2)
    if stop.access:
        yield from _wrap(gettext("Access: {words}").format(words=stop.access), 2)
    if stop.owner_phone:
        yield from _wrap(gettext("Owner's phone {phone}").format(phone=stop.owner_phone), 2)
    for task in stop.tasks:
        yield ""
        yield from _task(task, gettext)


def _task(task: TaskView, gettext: Gettext) -> Iterator[str]:
    yield from _wrap(
        gettext("{starts} to {ends}  {title}").format(starts=task.starts, ends=task.ends, title=task.title), 2, 4
    )
    if task.work:
        yield from _wrap(gettext("First prepare for the weather: the work itself begins {at}.").format(at=task.work), 4)
    if task.headline is not None:
        yield from _headline(task.headline)
    who = [task.trade_title]
    if task.people is not None:
        who.append(gettext("{people} people").format(people=task.people))
    if task.joined_by:
        who.append(gettext("joined by {crews}").format(crews=task.joined_by))
    who.append(task.lasts)
    who.append(task.state_word)
    yield from _wrap(", ".join(who), 4)
    for pair in task.quantities:
        yield from _wrap(f"{pair.label}: {pair.value}", 4, 2)
    if task.trucks:
        loads = "; ".join(
            gettext("{number} at {at}, {load}").format(number=at, at=truck.label, load=truck.value)
            for at, truck in enumerate(task.trucks, start=1)
        )
        yield from _wrap(gettext("Trucks: {loads}").format(loads=loads), 4, 2)
    if task.advice is not None:
        measures = "; ".join(f"{one.label}, {one.value}" for one in task.advice.measures)
        yield from _wrap(f"{task.advice.words}{': ' if measures else ''}{measures}.", 4, 2)
    if task.gates:
        yield from _wrap(
            gettext("Before you start ({open} of {all} open)").format(open=task.gates_open, all=len(task.gates)), 4
        )
        for gate in task.gates:
            yield from _gate(gate)
    if task.limits:
        yield from _wrap(gettext("What would stop the work"), 4)
        yield from _wrap(task.no_forecast, 6)
        for limit in task.limits:
            yield from _limit(limit, gettext)
    if task.safe:
        yield from _wrap(gettext("Weather can spoil this work until {safe}.").format(safe=task.safe), 4, 2)
    if task.gear:
        yield from _wrap(gettext("Bring: {gear}").format(gear=task.gear), 4, 2)
    for one in task.called_in:
        yield from _called_in(one, gettext)
    if task.note:
        yield from _wrap(gettext("Note: {words}").format(words=task.note), 4, 2)
    if task.cautions:
        yield from _wrap(gettext("Take care"), 4)
        yield from _items((f"{one.sentence} [{one.source}]" for one in task.cautions), 6)


def _headline(headline: Headline) -> Iterator[str]:
    if headline.single:
        (opening,) = headline.openings
        yield from _wrap(f">>> {headline.words.upper()} {opening.whats[0]}. {opening.ask}", 4, 4)
        return
    yield from _wrap(f">>> {headline.words.upper()}:", 4)
    for opening in headline.openings:
        yield from _items((f"{what}." for what in opening.whats), 8)
        yield from _wrap(opening.ask, 10)


def _gate(gate: GateView) -> Iterator[str]:
    shape = SHAPES[gate.state].format(word=gate.word)
    yield from _wrap(f"{shape:<15} {gate.kind}: {gate.sentence}", 6, 16)


def _limit(limit: LimitView, gettext: Gettext) -> Iterator[str]:
    parts = [f"{limit.words} {limit.limit}".strip()]
    if limit.forecast:
        parts.append(gettext("Forecast: {forecast}").format(forecast=limit.forecast))
    if limit.word:
        parts.append(f"{limit.word[:1].upper()}{limit.word[1:]}")
    yield from _items((f"{'. '.join(parts)}.",), 6)


def _called_in(one: CalledInView, gettext: Gettext) -> Iterator[str]:
    parts = [gettext("{what}: {who}").format(what=one.what, who=one.who), one.at, one.phone, one.state]
    if one.free_until:
        parts.append(gettext("free to call off until {at}").format(at=one.free_until))
    yield from _wrap(", ".join(part for part in parts if part), 4, 2)


def _stand_by(plan: DayPlanPage, gettext: Gettext) -> Iterator[str]:
    if not plan.stand_by:
        return
    yield "-" * WIDTH
    yield gettext("IF RAIN TAKES THE FIRST CHOICE")
    yield from _items(
        (
            f"{one.title}, {one.site}" + (f", {one.lasts}" if one.lasts else "") + (f". {one.why}" if one.why else "")
            for one in plan.stand_by
        ),
        2,
    )


def _sky(plan: DayPlanPage, gettext: Gettext) -> Iterator[str]:
    yield "-" * WIDTH
    yield gettext("THE SKY, HOUR BY HOUR")
    if plan.stale:
        yield from _wrap(gettext("This forecast is old. Call the office before you rely on it."), 2)
    yield from _wrap(
        gettext("From {source}, issued {issued}, {age}.").format(source=plan.source, issued=plan.issued, age=plan.age),
        2,
    )
    if not plan.sky:
        yield from _wrap(gettext("No forecast is known for this day. Call the office before any pour."), 2)
        return
    heads = tuple(gettext(head) for head in SKY_HEADS)
    rows = [
        (one.hour, one.temp_f, one.rain_chance, one.rain_in, one.wind_mph, one.gust_mph, one.thunder, one.sky)
        for one in plan.sky
    ]
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    for row in (heads, *rows):
        cells = (cell.rjust(width) for cell, width in zip(row[:-1], widths[:-1], strict=True))
        yield ("  " + "  ".join((*cells, row[-1])))[:WIDTH].rstrip()
    for felt in (plan.heat, plan.cold):
        if felt is not None:
            yield from _wrap(f"{felt.words} {felt.sentence} [{felt.source}]", 2)


def _coming(plan: DayPlanPage, gettext: Gettext) -> Iterator[str]:
    if not plan.coming:
        return
    yield "-" * WIDTH
    yield gettext("THE DAYS AFTER")
    for pair in plan.coming:
        yield from _wrap(f"{pair.label}: {pair.value}", 2, 2)


def _closing(plan: DayPlanPage, gettext: Gettext) -> Iterator[str]:
    yield "=" * WIDTH
    if plan.cautions:
        yield gettext("EVERY DAY")
        yield from _items((f"{one.sentence} [{one.source}]" for one in plan.cautions), 2)
    yield from _wrap(plan.closing)
    if plan.sources:
        yield ""
        yield gettext("WHERE THE CAUTIONS COME FROM")
        for at, source in enumerate(plan.sources, start=1):
            yield from _wrap(f"[{at}] {source}", 2, 5)
