"""What work that waits is waiting for, in a few words."""

from jobs.domain.facts import HoldFacts, JobFacts, TaskFacts
from planner.dayplans.presenters.measures import gettext_noop
from planner.dayplans.presenters.words import GATE_KINDS
from planner.plans.domain.assemble import bridged_links
from planner.web.presenters.pools.reader import Reader

VISITS = {
    "asked": gettext_noop("visit asked for"),
    "confirmed": gettext_noop("visit confirmed"),
}


def waits_for(reader: Reader, job: JobFacts, task: TaskFacts) -> str:
    """``for “Floor inspection”``, or the gates that are shut; empty for work that does not wait."""
    gettext = reader.gettext
    if reader.state(job, task) != "waiting":
        return ""
    before = _last_before(reader, job, task)
    if before is not None:
        return gettext("for “{work}”").format(work=before.title)
    if task.id not in reader.stays:
        return gettext("for a place in the plan")
    kinds = dict.fromkeys(gettext(GATE_KINDS[gate.kind]).lower() for gate in reader.shut(job, task))
    return gettext("for: {gates}").format(gates=", ".join(kinds)) if kinds else ""


def visit_words(reader: Reader, job: JobFacts, hold: HoldFacts) -> str:
    """How sure the visit is that could open a hold; empty once it is passed."""
    if hold.result == "passed":
        return ""
    visit = next(task for task in job.tasks if task.id == hold.visit)
    booked = next((VISITS[one.state] for one in reader.bookings_of(visit) if one.state in VISITS), None)
    return reader.gettext(booked) if booked is not None else reader.gettext("visit not asked for")


def _last_before(reader: Reader, job: JobFacts, task: TaskFacts) -> TaskFacts | None:
    """The unfinished work before it that ends last; ``None``: all of it is done."""
    by_id = {one.id: one for one in job.tasks}
    before = [by_id[link.before] for link in bridged_links(job) if link.after == task.id and link.before in by_id]
    waited = [one for one in before if one.is_open]
    late = reader.world.as_of
    return max(waited, key=lambda one: (reader.until_at(one) or late, one.id), default=None)
