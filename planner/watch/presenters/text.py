"""The watch as plain text that reads aloud, in the units of the trade."""

import re
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from jobs.words import sentence_for
from planner.dayplans.presenters.measures import clock, clock_on, day, measure, number
from planner.dayplans.presenters.water import dilution_head, dilution_words
from planner.forecast.domain.freshness import Freshness
from planner.watch.domain.report import (
    Line,
    Reading,
    StartWatch,
    StateAtRisk,
    Unit,
    Verdict,
    WatchReport,
)

WIDTH = 92
WORDS_OF_STATE = {
    "reached": "Reached",
    "near": "Near",
    "unknown": "Not known",
    "clear": "Clear",
    "on_site": "Measure on site",
}
TROUBLED = ("reached", "near", "unknown")


def watch_lines(report: WatchReport, sources: Mapping[str, str] | None = None) -> list[str]:
    """The whole report, line by line; ``sources`` are the names of the source keys, to read them aloud."""
    page = _Page(report, sources or {})
    return [
        *page.head(),
        "",
        *page.starts(),
        "",
        *page.states(),
        "",
        *page.weekend(),
        "",
        *page.waters(),
        *page.closing(),
    ]


def amount(value: float, unit: Unit) -> str:
    """A value with its unit in words.

    >>> amount(1500, "dollars"), amount(0.125, "share"), amount(0, "m_s")
    ('$1,500', '13 percent', '0 mph')
    """
    if unit == "dollars":
        return f"${value:,.0f}"
    if unit == "share":
        # Half a point is rounded up, as dollars are.
        return f"{int(100 * value + 0.5)} percent"
    return measure(value, unit)


def bought_words(start: StartWatch, said: Callable[[datetime], str]) -> str:
    """What the plan bought for a start, and when the work itself begins after it; empty where it bought nothing."""
    if start.prepared is None:
        return ""
    facts = {"what": start.prepared.title, "price": amount(start.prepared.dollars, "dollars")}
    then = {"at": said(start.work_at)}
    code = "watch.bought_first" if start.work_at > start.start_at else "watch.bought"
    return " ".join(sentence_for(code, facts | then)).strip()


class _Page:
    def __init__(self, report: WatchReport, sources: Mapping[str, str]) -> None:
        self._report = report
        self._sources = sources
        self._zone = ZoneInfo(report.zone)
        self._today = report.now.astimezone(self._zone).date()

    def head(self) -> Iterator[str]:
        report = self._report
        at = clock_on(report.now, self._zone, self._today)
        yield from _wrap(f"Watch of {report.branch}, {day(self._today)}, {at}. Plan {report.plan_number}.")
        by_state: dict[tuple[str, str], list[str]] = {}
        for one in report.forecasts:
            issued = f", issued {self._at(one.issued_at)}" if one.issued_at else ""
            by_state.setdefault((one.freshness.value, issued), []).append(one.site)
        for (state, issued), sites in by_state.items():
            what = "no forecast" if state == Freshness.DOWN and not issued else f"forecast {state}{issued}"
            yield from _wrap(f"{', '.join(sites)}: {what}.")

    def starts(self) -> Iterator[str]:
        yield "STARTS IN THE NEXT 72 HOURS"
        if not self._report.starts:
            yield from _wrap("No exposed work starts in that time.", 2)
        for start in self._report.starts:
            yield ""
            yield from self._start(start)

    def states(self) -> Iterator[str]:
        yield "WHAT STANDS AND CAN BE HURT"
        troubled = [state for state in self._report.states if state.state in TROUBLED]
        for state in troubled:
            yield from self._state(state)
        if not troubled:
            yield from _wrap("Nothing that stands is near a limit in the next 72 hours.", 2)
        yield from self._clear(self._report.states)

    def weekend(self) -> Iterator[str]:
        stretch = self._report.stretch
        if stretch is None:
            yield "BEFORE THE NEXT FREE DAY"
            yield from _wrap("Every day of the next two months is worked.", 2)
            return
        yield f"BEFORE PEOPLE GO HOME ON {day(stretch.last_on).upper()}"
        yield from _wrap(f"Nobody works from {self._at(stretch.from_at)} to {self._at(stretch.until_at)}.", 2)
        troubled = [state for state in self._report.weekend if state.state in TROUBLED]
        for state in troubled:
            yield from self._state(state)
        if not troubled:
            yield from _wrap("Nothing that will stand then is near a limit.", 2)
        yield from self._clear(self._report.weekend)

    def waters(self) -> Iterator[str]:
        """Salted pools that a wet week thins; nothing where there is none."""
        for found in self._report.waters:
            yield f"{dilution_head(found).upper()}: {found.job.name or found.site}"
            for sentence in dilution_words(found, self._at):
                yield from _wrap(sentence, 2)
            yield ""

    def closing(self) -> Iterator[str]:
        yield from _wrap(sentence_for("watch.defers", {})[0])

    def _start(self, start: StartWatch) -> Iterator[str]:
        who = f" ({', '.join(start.crews)})" if start.crews else ""
        yield from _wrap(f"{self._at(start.start_at)}, {start.job or start.site}: {start.title}{who}")
        yield from _wrap(f"{start.verdict.value.upper()}. {self._because(start)}", 2)
        for warning in start.warnings:
            asks = f" {sentence_for(warning.reason, {})[0]}" if warning.reason else ""
            until = f"until {self._at(warning.until_at)}"
            yield from _wrap(f"Official: {warning.headline} ({warning.sender}), {until}.{asks}", 2, 2)
        yield from _wrap(bought_words(start, self._at), 2, 2)
        if start.unreported:
            yield from _wrap("Its planned time is past and nobody said that it began: ask.", 2)
        chance = amount(start.chance_hit, "share")
        yield from _wrap(
            f"Chance of being hit {chance}; {'rain-safe from' if start.safe_at > start.end_at else 'it ends at'} "
            f"{self._at(start.safe_at)}; the forecast covers {amount(start.known_share, 'share')} of the hours.",
            2,
        )
        for state in TROUBLED:
            for reading in start.readings:
                if reading.state == state and (reading.worst is not None or state != "reached"):
                    yield from _wrap(f"{WORDS_OF_STATE[state]}: {self._reading(reading)}", 2, 2)
        yield from self._drying(start)
        for taken in start.measures:
            hours = f", {amount(taken.hours, 'h')}" if taken.hours else ""
            yield from _wrap(f"Prepare: {taken.title}, {amount(taken.dollars, 'dollars')}{hours}.", 2, 2)
        yield from _wrap(self._deadline(start), 2)
        if start.verdict is Verdict.NO_LIMIT:
            going, moving = amount(start.going_dollars, "dollars"), amount(start.moving_dollars, "dollars")
            loss = amount(start.loss_dollars, "dollars")
            yield from _wrap(f"{chance} of {loss} if it is hit: going {going}, moving {moving}.", 2)
            return
        yield from _wrap("The dollars:", 2)
        yield from (row for line in start.arithmetic for row in self._line(line, 4))

    def _because(self, start: StartWatch) -> str:
        going, moving = amount(start.going_dollars, "dollars"), amount(start.moving_dollars, "dollars")
        held = " The forecast has eased, not yet by enough to count on." if start.eased_not_enough else ""
        if start.verdict is Verdict.UNKNOWN:
            return f"{self._unknown(start)} Call the office{self._phone()}; nothing is moved by itself."
        if start.raised:
            names = ", ".join(one.event for one in start.warnings if one.least is start.verdict)
            return f"An official warning is out: {names}. Going costs {going}, moving {moving}."
        if start.verdict is Verdict.MOVE:
            to = f"Later: {self._at(start.move_to)}." if start.move_to else "No day of the next five is free of limits."
            if start.lifted:
                return f"Forbidden as it is; prepared, going costs {going}, moving {moving}. {to}{held}"
            if start.forbidden:
                return f"The forecast forbids it. {to}{held}"
            return f"Going costs {going}, moving {moving}. {to}{held}"
        if start.verdict is Verdict.PREPARE and start.lifted:
            price = amount(sum(one.dollars for one in start.measures), "dollars")
            return (
                f"Forbidden as it is; prepared for {price}, it may go. "
                f"Going costs {going} in all, moving {moving}.{held}"
            )
        if start.verdict is Verdict.PREPARE:
            return f"Going{' prepared' if start.measures else ''} costs {going}, moving {moving}.{held}"
        return "Look again with the next forecast."

    def _unknown(self, start: StartWatch) -> str:
        if start.freshness is Freshness.DOWN:
            return "There is no forecast."
        if start.freshness is Freshness.STALE:
            return "The forecast is stale."
        return "The forecast leaves hours out."

    def _phone(self) -> str:
        return f", {self._report.phone}" if self._report.phone else ""

    def _deadline(self, start: StartWatch) -> str:
        lost = "A booking can no longer be called off free of charge. " if start.fee_lost else ""
        if start.free_until is not None:
            return f"{lost}{'The next fee falls due' if start.fee_lost else 'Moving is free of fees until'} " + (
                f"{self._at(start.free_until)}."
            )
        return lost.strip() or "No booking costs a fee if it moves."

    def _drying(self, start: StartWatch) -> Iterator[str]:
        if not start.drying:
            return
        hours = ", ".join(
            f"{clock(hour.at, self._zone)} "
            + ("not known" if hour.rate_kg_m2_h is None else number(hour.rate_kg_m2_h, "kg_m2_h"))
            for hour in start.drying
        )
        yield from _wrap(
            f"Drying of fresh concrete, pounds per square foot an hour: {hours}. True rates may be 40 percent lower "
            "or higher; concrete taken as warm as the air, wind brought down to the slab.",
            2,
            2,
        )

    def _state(self, state: StateAtRisk) -> Iterator[str]:
        what, protect = sentence_for(f"watch.state.{state.kind}", {})
        when = f" Planned from {self._at(state.from_at)}." if state.expected else ""
        yield from _wrap(f"{state.job or state.site}: {what} {WORDS_OF_STATE[state.state]}.{when}", 2, 2)
        for reading in state.readings:
            yield from _wrap(f"{WORDS_OF_STATE[reading.state]}: {self._reading(reading)}", 4, 2)
        if state.caution is not None:
            yield from self._line(state.caution, 4)
        who = ", ".join(state.crews) or "nobody of ours has the trade"
        yield from _wrap(f"Protect: {protect} Who could: {who}.", 4, 2)

    def _clear(self, states: Sequence[StateAtRisk]) -> Iterator[str]:
        clear = [state for state in states if state.state not in TROUBLED]
        if clear:
            names = "; ".join(
                f"{state.job or state.site}, {sentence_for(f'watch.state.{state.kind}', {})[0].rstrip('.').lower()}"
                for state in clear
            )
            yield from _wrap(f"Standing, with no limit near: {names}.", 2, 2)

    def _reading(self, reading: Reading) -> str:
        words = sentence_for(f"watch.limit.{reading.limit}", {})[0]
        source = self._source(reading.source)
        limit = amount(reading.limit_value, reading.unit) if reading.limit_value is not None else ""
        chance = f"chance {amount(reading.chance, 'share')}"
        if reading.limit == "rain_total":
            total = "not known" if reading.worst is None else amount(reading.worst, reading.unit)
            return f"{words}, in all {total}; {limit} or more in half a day, {chance} ({source})."
        if reading.worst is None:
            value = "the forecast does not say" if reading.state == "unknown" else chance
        else:
            value = amount(reading.worst, reading.unit) + (
                f" at {self._at(reading.worst_at)}" if reading.worst_at else ""
            )
        return f"{words}, {value}{f', limit {limit}' if limit else ''} ({source})."

    def _source(self, source: str) -> str:
        """A source with its keys spelled out."""
        return re.sub(r"[\w-]+", lambda word: self._sources.get(word[0], word[0]), source)

    def _line(self, line: Line, indent: int) -> Iterator[str]:
        yield from _wrap(f"{line.label}: {amount(line.value, line.unit)} ({self._source(line.source)})", indent, 2)

    def _at(self, moment: datetime) -> str:
        return clock_on(moment, self._zone, self._today)


def _wrap(words: str, indent: int = 0, hang: int = 0) -> Iterable[str]:
    return textwrap.wrap(
        words, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + hang), break_on_hyphens=False
    )
