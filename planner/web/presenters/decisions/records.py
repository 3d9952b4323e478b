"""What a named person must record before work of today or the next working day may begin."""

from collections.abc import Iterator

from jobs.domain.facts import JobFacts, TaskFacts
from planner.dayplans.domain.gates.safety import SafetyGate
from planner.dayplans.facts import Gate
from planner.dayplans.presenters.measures import gettext_noop
from planner.plans.domain.world import Stay
from planner.web.presenters.decisions.decision import Decision
from planner.web.presenters.pages.report_forms import forms_of
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader

WHAT = {
    SafetyGate.DIG_LOOK: gettext_noop("Record who looked at the dig at {pool}"),
    SafetyGate.BARRIER: gettext_noop("Record who looked at the barrier at {pool}"),
    SafetyGate.BONDING: gettext_noop("Record who tested the bonding at {pool}"),
    SafetyGate.BACKFILL: gettext_noop("Record who releases the backfill at {pool}"),
    SafetyGate.LICENCE: gettext_noop("Record who checked the licence at {pool}"),
}


def record_decisions(reader: Reader, links: Links) -> Iterator[Decision]:
    """One decision for each thing to record at a pool, with every start that waits for it, due at the first."""
    last_on = reader.world.crews.branch_calendar.next_working_day(reader.today)
    found: dict[tuple[int, str], list[tuple[Stay, JobFacts, TaskFacts, Gate]]] = {}
    for stay in sorted(reader.stays.values(), key=lambda one: (one.start_at, one.task)):
        if stay.task not in reader.tasks or not reader.today <= reader.date_of(stay.start_at) <= last_on:
            continue
        job, task = reader.tasks[stay.task]
        if not task.is_open or task.started_at is not None:
            continue
        for gate in to_record(reader, job, task):
            found.setdefault((task.site.id, gate.record), []).append((stay, job, task, gate))
    for waiting in found.values():
        yield _decision(reader, links, waiting)


def to_record(reader: Reader, job: JobFacts, task: TaskFacts) -> tuple[Gate, ...]:
    """The gates of a task that are not open and that a person's word opens."""
    return tuple(one for one in reader.gates(job, task) if one.record and not one.state.lets_start)


def _decision(reader: Reader, links: Links, waiting: list[tuple[Stay, JobFacts, TaskFacts, Gate]]) -> Decision:
    stay, job, task, gate = waiting[0]
    gettext, place = reader.gettext, job.name or task.site.name
    said = said_at(reader, job, task, gate.record)
    waits = gettext("“{task}”, planned {when}, waits for it.")
    return Decision(
        kind="record",
        what=gettext(WHAT[SafetyGate(gate.record)]).format(pool=place),
        why=gate.sentence,
        by_at=stay.start_at,
        by=reader.by(stay.start_at),
        past=stay.start_at <= reader.world.as_of,
        where=(links.say(said.id, f"gate-{gate.record}") if said is not None else "") or links.task(job.id, task.key),
        link=gettext("Record it"),
        details=tuple(
            waits.format(task=one.title, when=reader.when(planned.start_at)) for planned, _, one, _ in waiting
        ),
    )


def said_at(reader: Reader, job: JobFacts, task: TaskFacts, record: str) -> TaskFacts | None:
    """The work whose forms record it: the task that waits, else other work on its site, as the dig before it."""
    others = [one for one in job.tasks if one.site.id == task.site.id and one.id in reader.stays]
    for one in (task, *others):
        if any(form.key == f"gate-{record}" for form in forms_of(reader, job, one, said_by="")):
            return one
    return None
