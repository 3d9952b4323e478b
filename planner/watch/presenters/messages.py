"""What people are told of a fact of the watch: a subject, a body, and a short form for a text message.

Phones stand in bodies only, never in subjects or text messages.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from jobs.words import sentence_for
from planner.dayplans.presenters.measures import Gettext, clock, day, gettext_noop
from planner.forecast.domain.freshness import Freshness
from planner.watch.domain.report import OfficialWarning, Reading, StartWatch, StateAtRisk, Verdict, WatchReport
from planner.watch.domain.telling.facts import Fact, name_of
from planner.watch.presenters.text import amount

LONGEST_SUBJECT = 200
VERDICTS = {
    Verdict.NO_LIMIT: gettext_noop("No limit reached any more"),
    Verdict.PREPARE: gettext_noop("Prepare"),
    Verdict.MOVE: gettext_noop("Move"),
    Verdict.UNKNOWN: gettext_noop("Weather unknown, call the office"),
}
MOST_READINGS = 4
SHOWN_STATES = ("reached", "near", "unknown")


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """Words for one person; ``short`` goes where a body is too long."""

    subject: str
    body: str
    short: str


class Writer:
    """Writes the messages of one report in one language."""

    def __init__(self, report: WatchReport, gettext: Gettext = str) -> None:
        self._report = report
        self._gettext = gettext
        self._zone = ZoneInfo(report.zone)

    def message(self, fact: Fact) -> Message:
        """The message of a fact of this report.

        Raises
        ------
        KeyError
            If the report does not hold what the fact is about: that is a bug.
        """
        if fact.kind in ("verdict", "deadline"):
            start = next((one for one in self._report.starts if one.task == fact.task), None)
            if start is None:
                raise KeyError(fact.key)
            return self._of_start(start, fact)
        states = self._report.states if fact.kind == "states" else self._report.weekend
        return self._of_states([state for state in states if name_of(state) in fact.covers], fact)

    def when(self, moment: datetime) -> str:
        return when(moment, self._zone, self._gettext)

    def _of_start(self, start: StartWatch, fact: Fact) -> Message:
        gettext = self._gettext
        place, when = start.job or start.site, self.when(start.start_at)
        if fact.kind == "deadline" and fact.deadline is not None:
            what = gettext("Free to move until {until}: {task} at {pool}, planned {when}")
            subject = what.format(until=self.when(fact.deadline), task=start.title, pool=place, when=when)
        else:
            what = gettext("{verdict}: {task} at {pool}, planned {when}")
            subject = what.format(verdict=gettext(VERDICTS[start.verdict]), task=start.title, pool=place, when=when)
        because = self.because(start)
        lines = [
            f"{subject}.",
            because,
            *(self.official(one) for one in start.warnings),
            *self._dollars(start),
            *self._readings(start.readings),
            *(
                gettext("Prepare: {measure}, {price}.").format(measure=one.title, price=amount(one.dollars, "dollars"))
                for one in start.measures
            ),
            *self._deadline(start),
        ]
        if start.verdict in (Verdict.MOVE, Verdict.UNKNOWN):
            lines.append(gettext("Nothing is moved by itself: the plan stands until the office changes it."))
        if fact.answer_by is not None:
            lines.append(gettext("Say that you have read this by {when}.").format(when=self.when(fact.answer_by)))
        return Message(
            subject=subject[:LONGEST_SUBJECT],
            body="\n\n".join((*lines, *closing(self._report.phone, self._gettext))),
            short=f"{subject}. {because}",
        )

    def because(self, start: StartWatch) -> str:
        """Why a verdict is what it is, in a sentence or two."""
        gettext = self._gettext
        if start.verdict is Verdict.UNKNOWN:
            reason = {
                Freshness.DOWN: gettext("There is no forecast."),
                Freshness.STALE: gettext("The forecast is stale."),
            }.get(start.freshness, gettext("The forecast leaves hours out."))
            return gettext("{reason} Call the office before anything is placed.").format(reason=reason)
        if start.raised:
            names = ", ".join(one.event for one in start.warnings if one.least is start.verdict)
            return gettext("An official warning is out: {names}.").format(names=names)
        if start.verdict is Verdict.MOVE and start.lifted:
            return gettext("The forecast forbids it as it is, and preparing for it costs more than moving.")
        if start.verdict is Verdict.MOVE and start.forbidden:
            return gettext("The forecast forbids it.")
        if start.verdict is Verdict.MOVE:
            return gettext("Going costs more than moving.")
        if start.verdict is Verdict.PREPARE and not start.measures:
            return gettext(
                "It is near a limit, and nothing to prepare is worth its price: look again before it starts."
            )
        if start.verdict is Verdict.PREPARE and start.lifted:
            return gettext("The forecast forbids it as it is; prepared for {price}, it may go.").format(
                price=amount(sum(one.dollars for one in start.measures), "dollars")
            )
        if start.verdict is Verdict.PREPARE:
            return gettext("Going, prepared, is the cheaper way.")
        return gettext("The forecast has become clearly better. Look again with the next one.")

    def official(self, warning: OfficialWarning) -> str:
        """A public warning: what, who says so, until when, and what it asks of this work."""
        said = self._gettext("{headline} ({sender}), until {until}.").format(
            headline=warning.headline.rstrip("."), sender=warning.sender, until=self.when(warning.until_at)
        )
        return f"{said} {sentence_for(warning.reason, {})[0]}" if warning.reason else said

    def _dollars(self, start: StartWatch) -> Iterator[str]:
        gettext = self._gettext
        if start.verdict is Verdict.UNKNOWN:
            return
        yield gettext("Chance of being hit {chance}. Going costs {going} in expectation, moving {moving}.").format(
            chance=amount(start.chance_hit, "share"),
            going=amount(start.going_dollars, "dollars"),
            moving=amount(start.moving_dollars, "dollars"),
        )
        if start.verdict is Verdict.MOVE:
            if start.move_to is not None:
                yield gettext("It could go {when}.").format(when=self.when(start.move_to))
            else:
                yield gettext("No day of the next five is free of limits.")

    def _readings(self, readings: Sequence[Reading]) -> Iterator[str]:
        troubled = [one for one in readings if one.state in ("reached", "near")]
        for one in troubled[:MOST_READINGS]:
            yield self._reading(one)

    def _reading(self, one: Reading) -> str:
        gettext = self._gettext
        parts = [sentence_for(f"watch.limit.{one.limit}", {})[0]]
        if one.worst is not None:
            value = amount(one.worst, one.unit)
            parts.append(f"{value} {self.when(one.worst_at)}" if one.worst_at is not None else value)
        if one.limit_value is not None:
            parts.append(gettext("limit {value}").format(value=amount(one.limit_value, one.unit)))
        if one.worst is None or one.limit == "rain_total":
            parts.append(gettext("chance {value}").format(value=amount(one.chance, "share")))
        said = ", ".join(parts)
        return f"{said[:1].upper()}{said[1:]}."

    def _deadline(self, start: StartWatch) -> Iterator[str]:
        gettext = self._gettext
        if start.fee_lost:
            yield gettext("A booking can no longer be called off free of charge.")
        if start.free_until is not None:
            what = (
                gettext("The next fee falls due {when}.") if start.fee_lost else gettext("Free to move until {when}.")
            )
            yield what.format(when=self.when(start.free_until))

    def _of_states(self, states: Sequence[StateAtRisk], fact: Fact) -> Message:
        gettext = self._gettext
        stretch = self._report.stretch
        places = ", ".join(dict.fromkeys(state.job or state.site for state in states))
        if fact.kind == "weekend" and stretch is not None:
            subject = gettext("Before people go home on {day}: {places}").format(
                day=day(stretch.last_on, gettext), places=places
            )
            first = gettext("Nobody works from {start} to {end}.").format(
                start=self.when(stretch.from_at), end=self.when(stretch.until_at)
            )
        else:
            subject = gettext("Protect what stands: {places}").format(places=places)
            first = gettext("A limit is reached inside the next 72 hours.")
        shown = [self._state(state) for state in states]
        return Message(
            subject=subject[:LONGEST_SUBJECT],
            body="\n\n".join((f"{subject}.", first, *shown, *closing(self._report.phone, self._gettext))),
            short=f"{subject}. {first}",
        )

    def _state(self, state: StateAtRisk) -> str:
        gettext = self._gettext
        what, protect = sentence_for(f"watch.state.{state.kind}", {})
        readings = " ".join(self._reading(one) for one in state.readings if one.state in SHOWN_STATES)
        who = ", ".join(state.crews) or gettext("nobody of ours has the trade")
        said = gettext("{place}: {what} {readings} Protect: {protect} Who could: {crews}.")
        words = said.format(place=state.job or state.site, what=what, readings=readings, protect=protect, crews=who)
        return " ".join(words.split())


def unread_message(
    says: str, told_at: datetime, names: Sequence[str], *, zone: str, phone: str, gettext: Gettext = str
) -> Message:
    """What an owner is told of a warning nobody has read by its deadline."""
    people = ", ".join(names) or gettext("nobody with an address")
    said = gettext("Told {when} to {people}; nobody has said that they read it.").format(
        when=when(told_at, ZoneInfo(zone), gettext), people=people
    )
    subject = gettext("Not read: {says}").format(says=says)[:LONGEST_SUBJECT]
    return Message(
        subject=subject, body="\n\n".join((f"{says}.", said, *closing(phone, gettext))), short=f"{subject}. {said}"
    )


def when(moment: datetime, zone: ZoneInfo, gettext: Gettext = str) -> str:
    """A moment with its day: a message may be read on another day than it was written."""
    return f"{clock(moment, zone, gettext)} {day(moment.astimezone(zone).date(), gettext)}"


def closing(phone: str, gettext: Gettext = str) -> Iterator[str]:
    """The last lines of every body: whom to call, and who decides."""
    if phone:
        yield gettext("Office: {phone}").format(phone=phone)
    yield sentence_for("watch.defers", {})[0]
