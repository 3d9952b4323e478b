"""What the watch asks for: starts to move or to prepare, and work that stands and has to be protected."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import groupby

from jobs.words import sentence_for
from planner.watch.domain.report import Reading, StartWatch, StateAtRisk, Verdict, WatchReport
from planner.watch.presenters.text import amount
from planner.web.presenters.decisions.decision import Decision
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader

TROUBLED = frozenset({"reached", "near"})


def sky_decisions(reader: Reader, links: Links, report: WatchReport) -> Iterator[Decision]:
    """One decision a start that should move, be prepared or is not known, and one a state at risk.

    Of what is not known only today and the next working day are told: what lies further ahead may still be forecast.
    """
    last_on = reader.world.crews.branch_calendar.next_working_day(reader.today)
    for start in report.starts:
        if start.verdict in (Verdict.MOVE, Verdict.PREPARE):
            yield _start(reader, links, start)
        elif start.verdict is Verdict.UNKNOWN and reader.date_of(start.start_at) <= last_on:
            yield _unknown(reader, links, start)
    troubled = sorted((one for one in report.states if one.state in TROUBLED), key=lambda one: one.kind)
    for _, group in groupby(troubled, key=lambda one: one.kind):
        yield _standing(reader, links, tuple(group))


def _start(reader: Reader, links: Links, start: StartWatch) -> Decision:
    gettext = reader.gettext
    place = start.job or start.site
    job, task = reader.tasks[start.task]
    by_at = start.start_at
    going, moving = amount(start.going_dollars, "dollars"), amount(start.moving_dollars, "dollars")
    if start.verdict is Verdict.MOVE:
        if start.free_until is not None and not start.fee_lost:
            by_at = min(by_at, start.free_until)
        what = gettext("Move “{task}” at {pool}, planned {when}")
        if start.raised:
            names = ", ".join(one.event for one in start.warnings if one.least is start.verdict)
            why = gettext("An official warning is out: {names}.").format(names=names)
        elif start.forbidden and not start.lifted:
            why = gettext("The forecast forbids it.")
        else:
            why = gettext("Going costs {going} in expectation, moving {moving}.").format(going=going, moving=moving)
        if start.move_to is not None:
            why += " " + gettext("It could go {when}.").format(when=reader.when(start.move_to))
    elif not start.measures:
        what = gettext("Look again before “{task}” at {pool} starts, planned {when}")
        why = gettext("Near a limit, and nothing to prepare pays: going costs {going} in expectation, moving {moving}.")
        why = why.format(going=going, moving=moving)
    else:
        what = gettext("Prepare “{task}” at {pool} for the weather, planned {when}")
        if start.lifted:
            what = gettext("Prepare “{task}” at {pool}, planned {when}: the forecast forbids it as it is")
        why = gettext("Prepared, going costs {going} in expectation; moving would cost {moving}.")
        why = why.format(going=going, moving=moving)
    measures = [_measure(reader, one.title, one.dollars, one.hours) for one in start.measures]
    troubled = [reading_words(reader, one) for one in start.readings if one.state in TROUBLED]
    return Decision(
        kind="sky",
        what=what.format(task=start.title, pool=place, when=reader.when(start.start_at)),
        why=why,
        by_at=by_at,
        by=reader.by(by_at),
        past=by_at <= reader.world.as_of,
        where=links.page("pours") or links.task(job.id, task.key),
        link=gettext("The case for it"),
        details=(*troubled, *measures),
    )


def _unknown(reader: Reader, links: Links, start: StartWatch) -> Decision:
    """A start over which the forecast does not say enough."""
    gettext = reader.gettext
    what = gettext("Decide without a forecast: “{task}” at {pool}, planned {when}")
    return Decision(
        kind="sky",
        what=what.format(task=start.title, pool=start.job or start.site, when=reader.when(start.start_at)),
        why=gettext("The forecast does not cover all the hours it needs. Unknown weather is never clear weather."),
        by_at=start.start_at,
        by=reader.by(start.start_at),
        past=start.start_at <= reader.world.as_of,
        where=links.page("pours"),
        link=gettext("What is known"),
        details=(gettext("{share} of its hours are known").format(share=amount(start.known_share, "share")),),
    )


def _standing(reader: Reader, links: Links, states: Sequence[StateAtRisk]) -> Decision:
    """One kind of standing work on every pool where it is at risk."""
    gettext = reader.gettext
    what, protect = sentence_for(f"watch.state.{states[0].kind}", {})
    by_at = min(_protect_by(reader, state) for state in states)
    places = ", ".join(state.job or state.site for state in states)
    pool = next((job.id for job in reader.world.jobs if job.name == states[0].job), 0)
    return Decision(
        kind="standing",
        what=gettext("Protect {what}: {pools}").format(what=_uncapped(what), pools=places),
        why=protect,
        by_at=by_at,
        by=reader.by(by_at),
        past=by_at <= reader.world.as_of,
        where=links.page("pours") or (links.pool(pool) if pool else ""),
        link=gettext("What stands there"),
        details=tuple(_state_words(reader, state) for state in states),
    )


def _protect_by(reader: Reader, state: StateAtRisk) -> datetime:
    """Before the worst hour or, where the forecast names none, before people go home on the day it stands."""
    worst_at = [one.worst_at for one in state.readings if one.state in TROUBLED and one.worst_at is not None]
    if worst_at:
        return max(min(worst_at), state.from_at)
    calendar = reader.world.crews.branch_calendar
    from_at = max(state.from_at, reader.world.as_of)
    window = calendar.window_on(calendar.date_of(from_at))
    if window is None or window[1] <= from_at:
        window = calendar.window_on(calendar.next_working_day(calendar.date_of(from_at)))
    return window[1] if window is not None else from_at


def _state_words(reader: Reader, state: StateAtRisk) -> str:
    gettext = reader.gettext
    parts = [reading_words(reader, one) for one in state.readings if one.state in TROUBLED]
    if state.expected:
        parts.append(gettext("stands from {when}").format(when=reader.when(state.from_at)))
    if state.crews:
        parts.append(gettext("could do it: {crews}").format(crews=", ".join(state.crews)))
    return f"{state.job or state.site}: " + "; ".join(parts)


def reading_words(reader: Reader, reading: Reading) -> str:
    """A limit with the forecast's worst beside it."""
    gettext = reader.gettext
    words = sentence_for(f"watch.limit.{reading.limit}", {})[0]
    parts = [words]
    if reading.worst is not None:
        parts.append(_at(reader, amount(reading.worst, reading.unit), reading.worst_at))
    if reading.limit_value is not None:
        parts.append(gettext("limit {value}").format(value=amount(reading.limit_value, reading.unit)))
    if reading.worst is None or reading.limit == "rain_total":
        parts.append(gettext("chance {value}").format(value=amount(reading.chance, "share")))
    return ", ".join(parts)


def _at(reader: Reader, value: str, at: datetime | None) -> str:
    return value if at is None else f"{value} {reader.when(at)}"


def _measure(reader: Reader, title: str, dollars: int, hours: float) -> str:
    gettext = reader.gettext
    said = gettext("Prepare: {measure}, {price}").format(measure=title, price=amount(dollars, "dollars"))
    return f"{said}, {amount(hours, 'h')}" if hours else said


def _uncapped(words: str) -> str:
    return (words[:1].lower() + words[1:]).rstrip(".")
