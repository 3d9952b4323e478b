"""What happened on site: every pool with the work of these days in its ground, and a form for each thing to say."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from jobs.domain.design import PoolDesign
from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.domain.gates.safety import SafetyGate
from planner.dayplans.presenters.measures import gettext_noop
from planner.dayplans.presenters.words import STATE_WORDS
from planner.plans.domain.assemble import bridged_links
from planner.plans.domain.states import silence_of
from planner.web.presenters.decisions.records import said_at, to_record
from planner.web.presenters.long_section import ground_m, sheet_of
from planner.web.presenters.pages.report_forms import Form, forms_of
from planner.web.presenters.pools.frames import WORK_WIDTH, Easel, Picture, Work
from planner.web.presenters.pools.half_days import half_days
from planner.web.presenters.pools.places import place_of
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.shape import built_of, shape_of
from planner.web.presenters.pools.waiting import waits_for
from planner.web.presenters.trades import hatch_of

PROGRESS, INSPECTOR = gettext_noop("How far it is"), gettext_noop("What the inspector said")
GATES, CAME = gettext_noop("Who looked, and at what"), gettext_noop("What was brought")
MEASURED, OTHER = gettext_noop("What was measured"), gettext_noop("Anything else")
GROUPS = {
    "started": PROGRESS,
    "finished": PROGRESS,
    "remaining": PROGRESS,
    "hold_passed": INSPECTOR,
    "hold_failed": INSPECTOR,
    "gate": GATES,
    "delivered": CAME,
    "delivery_wrong": CAME,
    "level": MEASURED,
    "temperature": MEASURED,
    "strength": MEASURED,
    "salt": MEASURED,
    "refilled": MEASURED,
}
NEEDS = {
    SafetyGate.DIG_LOOK: gettext_noop("the safety look of the dig"),
    SafetyGate.BARRIER: gettext_noop("the look at the barrier"),
    SafetyGate.BONDING: gettext_noop("the test of the bonding"),
    SafetyGate.BACKFILL: gettext_noop("the release of the backfill"),
    SafetyGate.LICENCE: gettext_noop("the check of the licence"),
}
# What is said of most work, one touch from the list.
WAYS = frozenset({"started", "finished", "hold_passed", "hold_failed"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A short way to one form of a task; what a task waits for may be said of another one."""

    task: int
    key: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One task to report on; ``waits`` says what it waits for, ``ways`` lead to what is said most.

    ``needs`` lead to what a person has to record before it may begin, and ``first`` says so.
    """

    id: int
    title: str
    pool: str
    crew: str
    when: str
    hatch: str
    state: str
    word: str
    waits: str
    ways: tuple[Way, ...] = ()
    needs: tuple[Way, ...] = ()
    first: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolSheet:
    """A pool as it stands, hatched where the work of these days is; ``picture`` is ``None`` without a design."""

    name: str
    picture: Picture | None
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
    pools: tuple[PoolSheet, ...]
    short: Form

    @property
    def shown_crew(self) -> str:
        return next((one.key for one in self.crews if one.chosen), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormGroup:
    """Forms that belong together."""

    title: str
    forms: tuple[Form, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskPage:
    """Context ``page`` of ``planner/report_task.html``."""

    line: TaskLine
    where: str
    picture: Picture | None
    groups: tuple[FormGroup, ...]


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
    designs: Mapping[int, PoolDesign],
    levels_m: Mapping[int, float],
) -> ReportPage:
    """The work of today and the next working day, and what nobody has said anything of, pool by pool.

    Parameters
    ----------
    designs, levels_m : mapping
        Design and last reported water level [m] by job id.
    """
    crew = own_crew or shown_crew
    coming = reader.world.crews.branch_calendar.next_working_day(reader.today)
    picked: dict[int, tuple[JobFacts, dict[int, TaskFacts]]] = {}
    # What nobody spoke of comes first, then what is going on, then what is planned.
    for found in (_silent(reader), _under_way(reader), _on(reader, reader.today), _on(reader, coming)):
        for job, task in found:
            if may_be_said(reader, task, crew):
                picked.setdefault(job.id, (job, {}))[1].setdefault(task.id, task)
    choices = tuple(
        CrewChoice(key=one.key, name=one.name, chosen=one.key == shown_crew) for one in reader.world.crews.crews
    )
    return ReportPage(
        crews=() if own_crew else choices,
        pools=tuple(
            PoolSheet(
                name=job.name or next(iter(tasks.values())).site.name,
                picture=picture_of(reader, job, tuple(tasks.values()), designs.get(job.id), levels_m.get(job.id)),
                lines=tuple(task_line(reader, job, task, own_crew=own_crew) for task in tasks.values()),
            )
            for job, tasks in picked.values()
        ),
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
    design: PoolDesign | None,
    level_m: float | None,
    asked: str = "",
) -> TaskPage:
    """One task with its forms; a refused form comes back as it was sent, with what is wrong.

    Parameters
    ----------
    level_m : float, optional
        Water level the site read last [m].
    asked : str
        Key of the form a visitor came for; it stands open.
    """
    groups: dict[str, list[Form]] = {}
    for form, sent_id in zip(forms_of(reader, job, task, said_by=said_by), sent_ids, strict=False):
        shown = refused.get(form.key) or replace(form, sent_id=sent_id)
        opened = shown.key == asked or bool(shown.error) or any(field.error for field in shown.fields)
        groups.setdefault(GROUPS.get(form.kind, OTHER), []).append(replace(shown, opened=opened))
    return TaskPage(
        line=task_line(reader, job, task),
        where=where,
        picture=picture_of(reader, job, (task,), design, level_m),
        groups=tuple(FormGroup(title=reader.gettext(title), forms=tuple(forms)) for title, forms in groups.items()),
    )


def picture_of(
    reader: Reader, job: JobFacts, tasks: Sequence[TaskFacts], design: PoolDesign | None, level_m: float | None
) -> Picture | None:
    """A pool as it stands now under today's sky, hatched where tasks work; ``None`` without a design."""
    if design is None:
        return None
    built = built_of(job, design, level_m)
    shape = shape_of(design)
    halves = half_days(
        reader.world.skies.get(job.site.id), reader.world.climate, zone=reader.zone, from_on=reader.today, days=1
    )
    works = [
        Work(
            place=place_of(task),
            hatch=hatch_of(worked.trade),
            from_m=built.water_level_m,
            until_m=design.basin.stations()[-1][1],
        )
        for worked in tasks
        for task in _looked_at(job, worked)
    ]
    said = f"{job.name}: {', '.join(task.title for task in tasks)}"
    return Easel(sheet_of(shape, WORK_WIDTH / ground_m(shape))).work(built, works, halves[1:], (), said)


def _looked_at(job: JobFacts, task: TaskFacts) -> tuple[TaskFacts, ...]:
    """A visit looks at the work before it; any other task is its own place."""
    if task.kind != "visit":
        return (task,)
    before = {link.before for link in bridged_links(job) if link.after == task.id}
    return tuple(one for one in job.tasks if one.id in before)


def task_line(reader: Reader, job: JobFacts, task: TaskFacts, *, own_crew: str = "") -> TaskLine:
    """A task in a line: what, where, who, when, and how it stands."""
    stay = reader.stays.get(task.id)
    state = reader.state(job, task)
    forms = [form for form in forms_of(reader, job, task, said_by="") if form.kind in WAYS]
    needs = tuple(_needs(reader, job, task, own_crew)) if state == "waiting" else ()
    first = reader.gettext("Waiting for {what}: record it first.")
    return TaskLine(
        id=task.id,
        title=task.title,
        pool=job.name or task.site.name,
        crew=", ".join(reader.crew_names(stay)),
        when=reader.when(stay.start_at) if stay is not None else "",
        hatch=hatch_of(task.trade),
        state=state,
        word=reader.gettext(STATE_WORDS[state]),
        waits=waits_for(reader, job, task),
        ways=tuple(Way(task=task.id, key=form.key, words=form.submit) for form in forms),
        needs=tuple(
            Way(task=said, key=key, words=reader.gettext("Record {what}").format(what=what))
            for said, key, what in needs
        ),
        first=first.format(what=", ".join(what for _, _, what in needs)) if needs else "",
    )


def _needs(reader: Reader, job: JobFacts, task: TaskFacts, own_crew: str) -> Iterator[tuple[int, str, str]]:
    """What may be recorded today of what shuts the way: where it is said, by which form, and what it is."""
    gettext, stay = reader.gettext, reader.stays.get(task.id)
    for gate in to_record(reader, job, task):
        # A look at the dig counts on its own day only.
        early = stay is not None and reader.date_of(stay.start_at) > reader.today
        if early and gate.record == SafetyGate.DIG_LOOK:
            continue
        said = said_at(reader, job, task, gate.record)
        if said is not None and may_be_said(reader, said, own_crew):
            yield said.id, f"gate-{gate.record}", gettext(NEEDS[SafetyGate(gate.record)])
    for hold in job.holds:
        visit = next(one for one in job.tasks if one.id == hold.visit)
        if task.id not in hold.blocks or hold.result == "passed" or not may_be_said(reader, visit, own_crew):
            continue
        planned = reader.stays.get(visit.id)
        if visit.finished_at is not None or (planned is not None and planned.start_at <= reader.world.as_of):
            yield visit.id, "hold_passed", gettext("the result of “{hold}”").format(hold=hold.title)


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
