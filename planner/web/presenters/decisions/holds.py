"""Holds that failed, that have to be asked for, or whose result nobody entered."""

from collections.abc import Iterator
from datetime import date, datetime

from crews.domain import calls
from jobs.domain.facts import HoldFacts, JobFacts, TaskFacts
from planner.dayplans.domain.calling import DAYS_AHEAD
from planner.plans.domain.world import Stay
from planner.web.presenters.decisions.decision import Decision, phone_of
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader


def hold_decisions(reader: Reader, links: Links) -> Iterator[Decision]:
    """At most one decision a hold."""
    for job in reader.world.jobs:
        by_id = {task.id: task for task in job.tasks}
        for hold in job.holds:
            visit = by_id[hold.visit]
            if hold.result == "passed" or visit.dropped:
                continue
            found = _decision(reader, links, job, hold, visit)
            if found is not None:
                yield found


def _decision(reader: Reader, links: Links, job: JobFacts, hold: HoldFacts, visit: TaskFacts) -> Decision | None:
    gettext = reader.gettext
    where = links.hold(job.id, hold.key)
    if visit.finished_at is not None:
        return Decision(
            kind="hold",
            what=gettext("Enter the result of “{hold}” at {pool}").format(hold=hold.title, pool=job.name),
            why=gettext("The visit is reported over, the hold is still shut."),
            by_at=None,
            by=gettext("now"),
            where=links.say(visit.id, "hold_passed") or where,
            link=gettext("Passed or failed"),
        )
    stay = reader.stays.get(visit.id)
    if stay is None or reader.bookings_of(visit):
        return None
    asked_by_at = ask_by(reader, visit, stay)
    if reader.date_of(asked_by_at) > _last_shown(reader):
        return None
    supplier, failed = reader.supplier(visit.authority), hold.result == "failed"
    what = (
        gettext("Ask for another visit: “{hold}” at {pool} failed")
        if failed
        else gettext("Ask for the inspection “{hold}” at {pool}")
    )
    return Decision(
        kind="hold",
        what=what.format(hold=hold.title, pool=job.name),
        why=_why(reader, job, hold, visit, stay),
        by_at=asked_by_at,
        by=reader.by(asked_by_at),
        past=asked_by_at <= reader.world.as_of,
        where=f"{holds_at}#hold-{hold.id}" if (holds_at := links.page("holds")) else where,
        link=gettext("Say that it is asked for"),
        details=_details(reader, hold),
        phones=(phone_of(supplier),) if supplier is not None else (),
    )


def ask_by(reader: Reader, visit: TaskFacts, stay: Stay) -> datetime:
    """The last moment at which a visit can be asked for with its notice, the day of the call not counted."""
    return calls.ask_by(reader.desk, visit.authority, reader.date_of(stay.start_at))


def _last_shown(reader: Reader) -> date:
    return reader.world.crews.branch_calendar.add_working_days(reader.today, DAYS_AHEAD)


def _why(reader: Reader, job: JobFacts, hold: HoldFacts, visit: TaskFacts, stay: Stay) -> str:
    gettext = reader.gettext
    said = gettext("The plan counts on the visit {when}.").format(when=reader.when(stay.start_at))
    by_id = {task.id: task for task in job.tasks}
    blocked = [by_id[key] for key in hold.blocks if by_id[key].is_open]
    first = min(
        (task for task in blocked if task.id in reader.stays),
        key=lambda task: reader.stays[task.id].start_at,
        default=None,
    )
    if first is None:
        return said
    waits = gettext("“{task}” waits behind it, planned {when}.")
    return f"{said} " + waits.format(task=first.title, when=reader.when(reader.stays[first.id].start_at))


def _details(reader: Reader, hold: HoldFacts) -> tuple[str, ...]:
    gettext = reader.gettext
    lines = []
    if hold.result == "failed" and hold.decided_at is not None:
        said = gettext("Failed by {who}, {when}. {note}")
        lines.append(said.format(who=hold.decided_by, when=reader.when(hold.decided_at), note=hold.note).strip())
    if hold.looks_at:
        lines.append(gettext("They look at: {what}").format(what=hold.looks_at))
    return tuple(lines)
