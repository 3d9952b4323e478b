"""Work whose time is past and of which nobody said anything."""

from collections.abc import Iterator, Mapping

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.states import Silence, silence_of
from planner.web.presenters.decisions.decision import Decision
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader

ANSWERS: Mapping[Silence, str] = {"began": "started", "finished": "finished"}


def silences(reader: Reader, links: Links) -> Iterator[Decision]:
    """One question a task: is it finished, did it begin?"""
    gettext = reader.gettext
    for task_id, stay in reader.stays.items():
        if task_id not in reader.tasks:
            continue
        job, task = reader.tasks[task_id]
        silent = silence_of(task, stay, as_of=reader.world.as_of, today_from=reader.today_from)
        if silent is None:
            continue
        place = job.name or task.site.name
        who = ", ".join(reader.crew_names(stay))
        if silent == "finished":
            what = gettext("Ask whether “{task}” at {pool} is finished")
            why = gettext("It was planned to end {when} and nobody reported it. What follows stays shut until then.")
            why = why.format(when=reader.when(stay.end_at))
        else:
            what = gettext("Ask whether “{task}” at {pool} began")
            why = gettext("It was planned to start {when} and nobody reported it.")
            why = why.format(when=reader.when(stay.start_at))
        yield Decision(
            kind="silence",
            what=what.format(task=task.title, pool=place),
            why=why,
            by_at=None,
            by=gettext("now"),
            where=_form(links, job, task, silent) or links.task(job.id, task.key),
            link=gettext("Say how it went"),
            details=(gettext("Crew: {crew}").format(crew=who),) if who else (),
        )


def _form(links: Links, job: JobFacts, task: TaskFacts, asked: Silence) -> str:
    """The form that answers; of an inspection that of its result, empty where it has none."""
    if task.kind != "visit":
        return links.say(task.id, ANSWERS[asked])
    shut = any(hold.visit == task.id and hold.result != "passed" for hold in job.holds)
    return links.say(task.id, "hold_passed") if shut else ""
