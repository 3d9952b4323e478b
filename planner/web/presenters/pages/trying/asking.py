"""The form of the page Try: three trials, each some lines, and back from what was sent to what is wished."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from jobs.domain.errors import CannotDo
from planner.plans.asking.wishes import Wish
from planner.web.presenters.pages.report_forms import Choice
from planner.web.presenters.pools.reader import Reader

LETTERS = ("a", "b", "c")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One input of a line: a ``select`` or a ``date``; ``optional`` may stay empty where the line is filled in."""

    name: str
    label: str
    kind: str
    value: str = ""
    choices: tuple[Choice, ...] = ()
    optional: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FormLine:
    """One thing that can be tried. ``error`` says what is wrong with what was entered, and the remedy."""

    key: str
    kind: str
    label: str
    help: str
    parts: tuple[Part, ...]
    error: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialForm:
    """One trial of the form; ``opened`` where something is filled in, and the first always."""

    letter: str
    title: str
    lines: tuple[FormLine, ...]
    opened: bool


def forms_of(
    reader: Reader, sent: Mapping[str, str] | None = None, refused: CannotDo | None = None
) -> tuple[TrialForm, ...]:
    """The three trials with what was sent, and the fault beside its line."""
    sent = sent or {}
    forms = []
    for letter in LETTERS:
        lines = tuple(_Lines(reader, letter, sent, refused).lines())
        filled = any(part.value for line in lines for part in line.parts)
        title = reader.gettext("Trial {letter}").format(letter=letter.upper())
        forms.append(TrialForm(letter=letter, title=title, lines=lines, opened=filled or letter == "a"))
    return tuple(forms)


def fault_over(forms: tuple[TrialForm, ...], refused: CannotDo | None) -> str:
    """The fault where no line shows it."""
    if refused is None or any(line.error for form in forms for line in form.lines):
        return ""
    return f"{refused.says} {refused.remedy}"


def wishes_of(reader: Reader, sent: Mapping[str, str]) -> tuple[tuple[Wish, ...], ...]:
    """What the trials that are filled in wish for; an empty one between two is left out.

    Raises
    ------
    CannotDo
        ``trials.nothing``, ``trials.half`` and ``trials.no_day``, with the input as their field.
    """
    forms = forms_of(reader, sent)
    wished = tuple(
        wishes for form in forms if (wishes := tuple(wish for line in form.lines if (wish := _wish(line)) is not None))
    )
    if not wished:
        raise CannotDo("trials.nothing", field="trial")
    return wished


def _wish(line: FormLine) -> Wish | None:
    if not any(part.value for part in line.parts):
        return None
    for part in line.parts:
        if not part.value and not part.optional:
            raise CannotDo("trials.half", field=part.name, label=line.label, missing=part.label.lower())
    days = [_day(line, part) for part in line.parts if part.kind == "date"]
    subject = next((part.value for part in line.parts if part.kind == "select"), "")
    return Wish(
        kind=line.kind,
        subject=subject,
        from_on=days[0] if days else None,
        until_on=days[1] if len(days) > 1 else None,
    )


def _day(line: FormLine, part: Part) -> date | None:
    if not part.value:
        return None
    try:
        return date.fromisoformat(part.value)
    except ValueError as error:
        raise CannotDo("trials.no_day", field=part.name, label=line.label, text=part.value[:40]) from error


class _Lines:
    """The lines of one trial."""

    def __init__(self, reader: Reader, letter: str, sent: Mapping[str, str], refused: CannotDo | None) -> None:
        self._reader = reader
        self._letter = letter
        self._sent = sent
        self._refused = refused

    def lines(self) -> Iterator[FormLine]:
        say, crews = self._reader.gettext, self._crews()
        first, last, on = say("First day"), say("Last day"), say("Day")
        yield self._line(
            "crew_away",
            say("A crew stays away"),
            say("One day, or from the first to the last."),
            ("", say("Crew"), crews),
            ("_from", first, None),
            ("_until", last, None),
        )
        yield self._line("extra_crew", say("One more crew"), "", ("", say("Like"), crews))
        yield self._line(
            "saturday",
            say("Work on a day off"),
            say("The branch and its own crews; extra pay is in the dollars where a crew has a price for Saturdays."),
            ("_from", on, None),
        )
        yield self._line(
            "rain",
            say("Rain all day"),
            say("Over every site, as if the forecast were sure of it."),
            ("_from", first, None),
            ("_until", last, None),
        )
        yield self._line(
            "visit_fails", say("An inspection fails"), say("When the plan has it."), ("", say("Visit"), self._visits())
        )
        yield self._line("gear_lost", say("One piece of gear less"), "", ("", say("Gear"), self._gear()))
        yield self._line(
            "promise",
            say("Another promised day"),
            say("Sooner or later than promised now."),
            ("", say("Pool"), self._pools()),
            ("_from", on, None),
        )
        yield self._line(
            "like_pool",
            say("One more pool"),
            say("Like one there is, on the same ground, with nothing promised."),
            ("", say("Like"), self._pools()),
            ("_from", say("Not before"), None),
        )

    def _line(self, kind: str, label: str, help_: str, *parts: tuple[str, str, tuple[Choice, ...] | None]) -> FormLine:
        key = f"{self._letter}_{kind}"
        error = ""
        if self._refused is not None and self._refused.field in (key, f"{key}_from", f"{key}_until"):
            error = f"{self._refused.says} {self._refused.remedy}"
        return FormLine(
            key=key,
            kind=kind,
            label=label,
            help=help_,
            parts=tuple(
                Part(
                    name=f"{key}{end}",
                    label=words,
                    kind="date" if choices is None else "select",
                    value=self._sent.get(f"{key}{end}", "").strip()[:80],
                    choices=choices or (),
                    optional=end == "_until",
                )
                for end, words, choices in parts
            ),
            error=error,
        )

    def _crews(self) -> tuple[Choice, ...]:
        return tuple(Choice(value=crew.key, words=crew.name) for crew in self._reader.world.crews.crews)

    def _gear(self) -> tuple[Choice, ...]:
        return tuple(
            Choice(value=gear.kind, words=f"{gear.name} ({gear.count})") for gear in self._reader.world.crews.gear
        )

    def _pools(self) -> tuple[Choice, ...]:
        jobs = [job for job in self._reader.world.jobs if job.id and any(task.is_open for task in job.tasks)]
        return tuple(Choice(value=str(job.id), words=job.name) for job in jobs)

    def _visits(self) -> tuple[Choice, ...]:
        return tuple(
            Choice(value=str(task.id), words=f"{job.name}: {task.title}")
            for job in self._reader.world.jobs
            for task in job.tasks
            if task.is_open and task.id in {hold.visit for hold in job.holds}
        )
