"""Calls in words: for the page, for the reminders of the office, and the values of a letter to a supplier."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from crews.domain.calls import Call, Reminder
from jobs.domain.facts import BranchFacts
from jobs.domain.vocabulary import Vocabulary
from planner.dayplans.domain.calling import CallAbout, is_past
from planner.dayplans.presenters.measures import Gettext, clock, day, gettext_noop

LONGEST_SUBJECT = 200
WHAT = {
    "ask": gettext_noop("Ask for {what}"),
    "make": gettext_noop("Book {what}"),
    "right": gettext_noop("Set right what came short or wrong: {what}"),
    "renew": gettext_noop("Renew before it runs out: {what}"),
    "move": gettext_noop("Move from {booked} to {wanted}, or call off: {what}"),
    "confirm": gettext_noop("Get a word, asked and not confirmed: {what}"),
    "call_off": gettext_noop("Call off, booked for {booked}: {what}"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CallView:
    """One call in words; ``cost`` says what waiting costs, empty where it costs nothing."""

    fact: str
    act: str
    what: str
    pool: str
    task: str
    planned: str
    who: str
    phone: str
    dial: str
    by: str
    past: bool
    cost: str
    job_id: int
    task_id: int
    task_key: str


class CallWriter:
    """Words about the calls of one branch at one moment."""

    def __init__(self, branch: BranchFacts, vocabulary: Vocabulary, now: datetime, gettext: Gettext = str) -> None:
        self._branch = branch
        self._vocabulary = vocabulary
        self._now = now
        self._zone = ZoneInfo(branch.zone)
        self._gettext = gettext

    def view(self, about: CallAbout) -> CallView:
        """One call for the page."""
        call, gettext = about.call, self._gettext
        supplier = call.supplier
        phone = supplier.phone if supplier is not None else ""
        planned = gettext("not planned any more")
        if about.stay is not None:
            planned = self._when(about.stay.start_at)
        return CallView(
            fact=call.fact,
            act=call.act,
            what=gettext(WHAT[call.act]).format(
                what=self.title(about), booked=self._day(call.on), wanted=self._day(call.wanted_on)
            ),
            pool=about.job.name or about.task.site.name,
            task=about.task.title,
            planned=planned,
            who=supplier.name if supplier is not None else "",
            phone=phone,
            dial="".join(sign for sign in phone if sign.isdigit() or sign == "+"),
            by=gettext("by {when}").format(when=self._when(call.by_at)) if call.by_at is not None else gettext("now"),
            past=is_past(call, self._now),
            cost=self._cost(call),
            job_id=about.job.id,
            task_id=about.task.id,
            task_key=about.task.key,
        )

    def title(self, about: CallAbout) -> str:
        """What is asked for, as people say it; a visit by its own name."""
        if about.call.act == "ask":
            return about.task.title
        known = self._vocabulary.bookings.get(about.call.kind)
        return known.title if known is not None else about.call.kind.replace("_", " ")

    def morning(self, calls: Sequence[CallAbout], on: date) -> Reminder:
        """The list of a morning; the first call presses most."""
        views, gettext = [self.view(one) for one in calls], self._gettext
        first = views[0]
        if len(views) == 1:
            subject = gettext("1 call to make, {by}: {what}, {pool}")
        else:
            subject = gettext("{count} calls to make, the first {by}: {what}, {pool}")
        subject = subject.format(count=len(views), by=first.by, what=first.what, pool=first.pool)
        return Reminder(
            fact=f"calls:{on.isoformat()}",
            subject=subject[:LONGEST_SUBJECT],
            body="\n\n".join(self._lines(view) for view in views) + "\n",
            short=subject,
        )

    def last_word(self, about: CallAbout) -> Reminder:
        """The reminder shortly before a deadline."""
        view = self.view(about)
        subject = self._gettext("Last call {by}: {what}, {pool}").format(by=view.by, what=view.what, pool=view.pool)
        return Reminder(
            fact=f"{about.call.fact}:last",
            subject=subject[:LONGEST_SUBJECT],
            body=self._lines(view) + "\n",
            short=subject,
        )

    def letter_values(self, about: CallAbout) -> Mapping[str, str]:
        """What fills the fields of a letter to the supplier."""
        call = about.call
        return {
            "supplier": call.supplier.name if call.supplier is not None else "",
            "company": self._branch.company,
            "what": self.title(about),
            "pool": about.job.name or about.task.site.name,
            "address": about.task.site.address,
            "day": self._day(call.wanted_on),
            "booked": self._day(call.on),
            "phone": self._branch.phone,
        }

    def _lines(self, view: CallView) -> str:
        gettext = self._gettext
        work = gettext("“{task}” at {pool}: {planned}.").format(task=view.task, pool=view.pool, planned=view.planned)
        late = gettext("That moment is past: call now.") if view.past else ""
        parts = (
            f"{view.by[:1].upper()}{view.by[1:]}: {view.what}.",
            work,
            f"{view.who} {view.phone}".strip(),
            view.cost,
            late,
        )
        return "\n".join(part for part in parts if part)

    def _cost(self, call: Call) -> str:
        supplier, gettext = call.supplier, self._gettext
        if call.act not in ("move", "confirm", "call_off") or supplier is None or not supplier.fee_dollars:
            return ""
        fee = f"${supplier.fee_dollars:,}"
        if is_past(call, self._now):
            return gettext("Calling it off costs {fee} now.").format(fee=fee)
        return gettext("After that, calling it off costs {fee}.").format(fee=fee)

    def _when(self, moment: datetime) -> str:
        on = moment.astimezone(self._zone).date()
        time = clock(moment, self._zone, self._gettext)
        if on == self._now.astimezone(self._zone).date():
            return self._gettext("{time} today").format(time=time)
        return self._gettext("{time} {day}").format(time=time, day=self._day(on))

    def _day(self, on: date | None) -> str:
        return day(on, self._gettext) if on is not None else ""
