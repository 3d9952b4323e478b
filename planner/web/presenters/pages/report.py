"""What the site says: which work it is about, and a form for each thing that can be said of it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.presenters.day_plan import STATE_WORDS
from planner.plans.domain.states import silence_of
from planner.web.presenters.pages.report_forms import Form, forms_of
from planner.web.presenters.pools.reader import Reader


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One task to report on."""

    id: int
    title: str
    pool: str
    crew: str
    when: str
    state: str
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskGroup:
    title: str
    lines: tuple[TaskLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewChoice:
    key: str
    name: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPage:
    """Context ``page`` of ``planner/report.html``. ``crews`` is empty where a foreman sees the own crew only."""

    crews: tuple[CrewChoice, ...]
    groups: tuple[TaskGroup, ...]
    short: Form


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskPage:
    """Context ``page`` of ``planner/report_task.html``."""

    line: TaskLine
    where: str
    forms: tuple[Form, ...]


def may_be_said(reader: Reader, task: TaskFacts, own_crew: str) -> bool:
    """Whether a person may report on a task: a foreman (``own_crew``) on work the plan gives that crew."""
    stay = reader.stays.get(task.id)
    return not own_crew or (stay is not None and own_crew in stay.crews)


def present_report(
    reader: Reader,
    *,
    own_crew: str,
    shown_crew: str,
    short: Form,
) -> ReportPage:
    """The work of today and the next working day, and what nobody has said anything of."""
    crew = own_crew or shown_crew
    calendar = reader.world.crews.branch_calendar
    coming = calendar.next_working_day(reader.today)
    seen: set[int] = set()
    groups = []
    for title, picked in (
        (reader.gettext("Nothing said yet"), _silent(reader)),
        (reader.gettext("Under way"), _under_way(reader)),
        (reader.gettext("Today"), _on(reader, reader.today)),
        (reader.gettext("Next: {day}").format(day=reader.day(coming)), _on(reader, coming)),
    ):
        lines = []
        for job, task in picked:
            if task.id not in seen and may_be_said(reader, task, crew):
                seen.add(task.id)
                lines.append(task_line(reader, job, task))
        groups.append(TaskGroup(title=title, lines=tuple(lines)))
    choices = tuple(
        CrewChoice(key=one.key, name=one.name, chosen=one.key == shown_crew) for one in reader.world.crews.crews
    )
    return ReportPage(
        crews=() if own_crew else choices,
        groups=tuple(group for group in groups if group.lines),
        short=short,
    )


def present_task(
    reader: Reader,
    job: JobFacts,
    task: TaskFacts,
    *,
    where: str,
    said_by: str,
    sent_ids: Iterable[str],
    refused: Mapping[str, Form],
) -> TaskPage:
    """One task with its forms; a refused form comes back as it was sent, with what is wrong."""
    forms = []
    for form, sent_id in zip(forms_of(reader, job, task, said_by=said_by), sent_ids, strict=False):
        forms.append(refused.get(form.key) or replace(form, sent_id=sent_id))
    return TaskPage(line=task_line(reader, job, task), where=where, forms=tuple(forms))


def task_line(reader: Reader, job: JobFacts, task: TaskFacts) -> TaskLine:
    """A task in a line: what, where, who, when, and how it stands."""
    stay = reader.stays.get(task.id)
    state = reader.state(job, task)
    return TaskLine(
        id=task.id,
        title=task.title,
        pool=job.name or task.site.name,
        crew=", ".join(reader.crew_names(stay)),
        when=reader.when(stay.start_at) if stay is not None else "",
        state=state,
        word=reader.gettext(STATE_WORDS[state]),
    )


def _silent(reader: Reader) -> Iterator[tuple[JobFacts, TaskFacts]]:
    for task_id, stay in reader.stays.items():
        if task_id in reader.tasks:
            job, task = reader.tasks[task_id]
            if silence_of(task, stay, as_of=reader.world.as_of, today_from=reader.today_from) is not None:
                yield job, task


def _under_way(reader: Reader) -> Iterator[tuple[JobFacts, TaskFacts]]:
    for job, task in reader.tasks.values():
        if task.is_open and task.started_at is not None:
            yield job, task


def _on(reader: Reader, on: date) -> Iterator[tuple[JobFacts, TaskFacts]]:
    stays = sorted(reader.stays.values(), key=lambda stay: (stay.start_at, stay.task))
    for stay in stays:
        if stay.task in reader.tasks and reader.date_of(stay.start_at) <= on <= reader.date_of(stay.end_at):
            job, task = reader.tasks[stay.task]
            if not task.dropped:
                yield job, task
