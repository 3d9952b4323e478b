"""The forms of a report: which there are for a task, in words of the trade and units people read off a gauge."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.assemble import OPEN_DIG
from planner.plans.domain.water import SALTED, WATER_TRADE
from planner.web.presenters.pools.reader import Reader

FieldKind = Literal["text", "number", "date", "datetime-local", "select"]
DIG, BACKFILL = OPEN_DIG
LICENSED = ("licensed_electric", "licensed_gas")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    value: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One input. ``error`` says what is wrong with what was entered, and the remedy."""

    name: str
    label: str
    kind: FieldKind = "text"
    value: str = ""
    help: str = ""
    required: bool = True
    step: str = "any"
    low: str = ""
    high: str = ""
    choices: tuple[Choice, ...] = ()
    error: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One thing that can be said. ``key`` tells forms of one page apart, ``kind`` is the report's kind."""

    key: str
    kind: str
    title: str
    submit: str
    fields: tuple[Field, ...]
    note: str = ""
    hidden: tuple[tuple[str, str], ...] = ()
    sent_id: str = ""
    error: str = ""
    opened: bool = False


def forms_of(reader: Reader, job: JobFacts, task: TaskFacts, *, said_by: str) -> tuple[Form, ...]:
    """Every form a task offers as it stands."""
    return tuple(_Offer(reader, job, task, said_by).forms())


def short_form(reader: Reader, *, said_by: str, own_crew: str, shown_crew: str) -> Form:
    """How many of a crew come on a day."""
    gettext = reader.gettext
    crews = [crew for crew in reader.world.crews.crews if not own_crew or crew.key == own_crew]
    choices = tuple(Choice(value=crew.key, words=f"{crew.name} ({crew.size})") for crew in crews)
    return Form(
        key="crew_short",
        kind="crew_short",
        title=gettext("Not everybody comes"),
        submit=gettext("Keep the head count"),
        note=gettext("Work takes longer with fewer people; below the number a task needs it waits."),
        fields=(
            Field(name="crew", label=gettext("Crew"), kind="select", value=own_crew or shown_crew, choices=choices),
            Field(name="on", label=gettext("Day"), kind="date", value=reader.today.isoformat()),
            Field(name="people", label=gettext("How many come"), kind="number", step="1", low="0", high="99"),
            Field(name="note", label=gettext("Why"), required=False),
            *_who_and_when(reader, said_by),
        ),
    )


def _who_and_when(reader: Reader, said_by: str, who: str = "", label: str = "") -> tuple[Field, Field]:
    gettext = reader.gettext
    local = reader.world.as_of.astimezone(reader.zone)
    return (
        Field(name="said_by", label=label or gettext("Who says so"), value=who or said_by),
        Field(
            name="happened_at",
            label=gettext("When it was"),
            kind="datetime-local",
            value=f"{local:%Y-%m-%dT%H:%M}",
            help=gettext("On the branch's clock."),
        ),
    )


class _Offer:
    def __init__(self, reader: Reader, job: JobFacts, task: TaskFacts, said_by: str) -> None:
        self._reader = reader
        self._job = job
        self._task = task
        self._said_by = said_by
        self._gettext = reader.gettext

    def forms(self) -> Iterator[Form]:
        task = self._task
        if task.kind == "visit":
            yield from self._inspection()
        elif not task.dropped:
            yield from self._progress()
        yield from self._gates()
        yield from self._deliveries()
        yield from self._readings()
        yield from self._salted()
        yield self._form(
            "note",
            self._gettext("Something the office should know"),
            self._gettext("Keep the note"),
            Field(name="note", label=self._gettext("Note")),
        )

    def _form(
        self,
        kind: str,
        title: str,
        submit: str,
        *fields: Field,
        key: str = "",
        note: str = "",
        hidden: tuple[tuple[str, str], ...] = (),
        who_label: str = "",
        who: str = "",
    ) -> Form:
        return Form(
            key=key or kind,
            kind=kind,
            title=title,
            submit=submit,
            note=note,
            hidden=hidden,
            fields=(*fields, *_who_and_when(self._reader, self._said_by, who, who_label)),
        )

    def _progress(self) -> Iterator[Form]:
        gettext, task = self._gettext, self._task
        if task.finished_at is not None:
            return
        if task.started_at is None:
            yield self._form("started", gettext("It has started"), gettext("Started"))
        yield self._form(
            "finished",
            gettext("It is finished"),
            gettext("Finished"),
            note=gettext("All of it. If something is left, say how much is left instead."),
        )
        if task.kind == "work":
            yield self._form(
                "remaining",
                gettext("How much is left"),
                gettext("Keep what is left"),
                Field(
                    name="hours",
                    label=gettext("Working hours left for the whole crew"),
                    kind="number",
                    step="0.25",
                    low="0",
                    high="400",
                ),
            )

    def _inspection(self) -> Iterator[Form]:
        gettext = self._gettext
        holds = [hold for hold in self._job.holds if hold.visit == self._task.id]
        for hold in holds:
            if hold.result == "passed":
                continue
            name = Field(name="inspector", label=gettext("Name of the inspector"))
            yield self._form(
                "hold_passed",
                gettext("{hold}: passed").format(hold=hold.title),
                gettext("Passed"),
                name,
                Field(name="note", label=gettext("Remarks"), required=False),
                note=gettext("Only what the inspector said, with the name: it opens the way for the work behind it."),
            )
            yield self._form(
                "hold_failed",
                gettext("{hold}: failed").format(hold=hold.title),
                gettext("Failed"),
                name,
                Field(name="note", label=gettext("What has to be mended")),
                note=gettext("The work behind it stays shut; another visit is planned after the authority's notice."),
            )

    def _gates(self) -> Iterator[Form]:
        gettext, cautions = self._gettext, self._task.cautions
        opened = self._gate_form
        if "dig_collapse" in cautions or self._dig_stands_open():
            yield opened(
                "dig_look",
                gettext("A competent person has looked at the dig"),
                gettext("Competent person who looked"),
                gettext("Counts for the day it happened, and until it rains. Nobody enters before."),
            )
        if self._task.exposure == "fill" or "drowning" in cautions or "barrier_first" in cautions:
            yield opened(
                "barrier",
                gettext("The barrier stands"),
                gettext("Who looked at the barrier"),
                gettext("An approved barrier before any water. Local law decides what is approved."),
            )
            yield opened(
                "bonding",
                gettext("Bonding is done"),
                gettext("Who tested the bonding"),
                gettext("By a licensed electrician where local law asks for one, before any water."),
            )
        if self._task.key == BACKFILL:
            yield opened(
                "backfill_release",
                gettext("Backfill is released"),
                gettext("Who releases it"),
                gettext("A named person says that the wall can carry the fill: the engineer's word goes first."),
            )
        if any(key in cautions for key in LICENSED):
            yield opened(
                "licence",
                gettext("The licence was checked"),
                gettext("Who checked it"),
                gettext("Only licensed people do this work where local law asks for it."),
            )

    def _gate_form(self, gate: str, title: str, label: str, note: str) -> Form:
        gettext = self._gettext
        reason = Field(
            name="set_aside",
            label=gettext("Set aside instead, because"),
            required=False,
            help=gettext("Leave empty where it was done. A reason here is kept with the name."),
        )
        return self._form(
            "gate",
            title,
            gettext("Record it"),
            reason,
            key=f"gate-{gate}",
            note=note,
            hidden=(("gate", gate),),
            who_label=label,
        )

    def _dig_stands_open(self) -> bool:
        by_key = {task.key: task for task in self._job.tasks}
        dig, fill = by_key.get(DIG), by_key.get(BACKFILL)
        begun = dig is not None and (dig.started_at is not None or dig.finished_at is not None)
        return begun and fill is not None and fill.is_open and self._task.kind == "work"

    def _deliveries(self) -> Iterator[Form]:
        gettext, reader = self._gettext, self._reader
        if self._task.kind == "visit":
            return
        for booking in reader.bookings_of(self._task):
            if booking.state == "arrived":
                continue
            what = reader.booking_title(booking.kind)
            hidden = (("booking", booking.kind),)
            yield self._form(
                "delivered",
                gettext("{what}: arrived").format(what=what),
                gettext("Arrived"),
                Field(name="note", label=gettext("Remarks"), required=False),
                key=f"delivered-{booking.kind}",
                hidden=hidden,
            )
            yield self._form(
                "delivery_wrong",
                gettext("{what}: short or wrong").format(what=what),
                gettext("Short or wrong"),
                Field(name="note", label=gettext("What is missing or wrong")),
                key=f"delivery_wrong-{booking.kind}",
                hidden=hidden,
            )

    def _salted(self) -> Iterator[Form]:
        """What changes the water of a salted pool, offered where somebody looks after it."""
        gettext, task = self._gettext, self._task
        salted = any(one.key == SALTED and one.finished_at is not None for one in self._job.tasks)
        if not salted or (task.trade != WATER_TRADE and task.key != SALTED):
            return
        yield self._form(
            "salt",
            gettext("Salt test"),
            gettext("Keep the salt"),
            Field(name="ppm", label=gettext("Salt in ppm, as tested"), kind="number", low="0", high="50000"),
            note=gettext("What the water has is counted on from the newest test."),
        )
        yield self._form(
            "refilled",
            gettext("Water was let out or splashed out, and filled up again"),
            gettext("Keep the refill"),
            *self._level_fields(),
            note=gettext("The lowest level before it was filled up: depth over the deepest point of the floor."),
        )

    def _level_fields(self) -> tuple[Field, Field]:
        gettext = self._gettext
        return (
            Field(name="feet", label=gettext("Feet of water"), kind="number", step="1", low="0", high="19"),
            Field(name="inches", label=gettext("and inches"), kind="number", step="0.25", low="0", high="11.75"),
        )

    def _readings(self) -> Iterator[Form]:
        gettext, task = self._gettext, self._task
        if task.exposure == "fill" or "drowning" in task.cautions:
            yield self._form(
                "level",
                gettext("Water level"),
                gettext("Keep the level"),
                *self._level_fields(),
                note=gettext("Depth of the water over the deepest point of the floor."),
            )
        if self._reader.world.exposures[task.exposure].sets:
            yield self._form(
                "temperature",
                gettext("Temperature of the concrete"),
                gettext("Keep the temperature"),
                Field(name="degrees_f", label=gettext("°F in the concrete"), kind="number", low="-4", high="194"),
            )
            yield self._form(
                "strength",
                gettext("Strength test"),
                gettext("Keep the test"),
                Field(name="psi", label=gettext("psi"), kind="number", low="0", high="17400"),
                Field(name="note", label=gettext("What was tested, and by whom"), required=False),
            )
