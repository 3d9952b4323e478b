"""A plan told to a person: where the dollars are, who starts what, what the sky threatens and what was done."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from planner.plans.domain.assemble import Assembled
from planner.plans.domain.changes import minutes_prepared
from planner.plans.domain.outlook import Sky, Waited
from planner.plans.domain.ready.holding import Holding
from planner.plans.domain.waits import Waits
from planner.plans.domain.world import PaidTime
from planner.solver.checks.paid import PaidHours, paid_hours
from planner.solver.checks.placed import place
from planner.solver.checks.preparing import way_at
from planner.solver.result import Assignment, Result

TERMS = (
    ("late", "lateness against promised dates"),
    ("crews", "driving"),
    ("open_days", "open digs"),
    ("moves", "moving what people were told"),
)
WORTH_SAYING = 0.05


def dollars(amount: int) -> str:
    return f"${amount:,}"


def day_name(on: date) -> str:
    """A date as people say it: ``Thu 11 June``."""
    return f"{on:%a} {on.day} {on:%B}"


def clock_time(moment: datetime, zone: ZoneInfo) -> str:
    return f"{moment.astimezone(zone):%H:%M}"


def dollar_lines(result: Result, skies: Sequence[Sky]) -> list[str]:
    """Where the dollars are, by term, with what proved or bounded the plan.

    Weather is told apart: what the forecast covers, and what lies beyond it and is priced by climate only.
    """
    near = sum(sky.dollars for sky in skies if sky.is_forecast)
    lines = ["Where the dollars are"]
    lines.append(f"  {dollars(result.cost.late):>10}  {TERMS[0][1]}")
    lines.append(f"  {dollars(near):>10}  expected loss to weather at starts the forecast covers")
    lines.append(
        f"  {dollars(max(result.cost.weather - near, 0)):>10}  beyond the forecast, by the climate alone, as if nobody "
        "read a newer forecast"
    )
    if result.cost.prepare:
        lines.append(f"  {dollars(result.cost.prepare):>10}  what is prepared against the weather")
    if result.cost.paid:
        lines.append(f"  {dollars(result.cost.paid):>10}  overtime and Saturdays")
    for term, title in TERMS[1:]:
        lines.append(f"  {dollars(getattr(result.cost, term)):>10}  {title}")
    lines.append(f"  {dollars(result.cost.total):>10}  in all")
    making = result.making
    if making is not None:
        proof = "proven to be the cheapest" if making.proven else "no proof that none is cheaper"
        lines.append(f"  Made in {making.mode} mode by {making.engine}; {proof}.")
    return lines


def hand_overs(assembled: Assembled, assignments: Sequence[Assignment]) -> dict[int, date]:
    """Job id to the local date on which its hand-over is done; see ``JobFacts.until_hand_over``."""
    zone, line = ZoneInfo(assembled.line.zone), assembled.line
    found: dict[int, date] = {}
    for one in assignments:
        job, task = assembled.tasks[one.task]
        if job.id and any(task.id == until.id for until in job.until_hand_over):
            done_on = line.at(one.end).astimezone(zone).date()
            found[job.id] = max(found.get(job.id, done_on), done_on)
    return found


def handover_lines(assembled: Assembled, assignments: Sequence[Assignment]) -> list[str]:
    """Per pool: the planned hand-over against the promised date."""
    jobs = {job.id: job for job, _ in assembled.tasks.values()}
    lines = ["Hand-over of each pool"]
    for key, done_on in hand_overs(assembled, assignments).items():
        job = jobs[key]
        promised = job.promised_on
        if promised is None:
            lines.append(f"  {job.name}: {day_name(done_on)}")
            continue
        late = (done_on - promised).days
        days = f"{abs(late)} day{'' if abs(late) == 1 else 's'}"
        word = f"{days} late" if late > 0 else f"{days} early" if late < 0 else "on the day"
        lines.append(f"  {job.name}: {day_name(done_on)}, promised {day_name(promised)}: {word}")
    return lines


def paid_words(hours: PaidHours | PaidTime) -> str:
    """Hours worked for pay with their price.

    >>> paid_words(PaidTime(overtime_minutes=90, day_off_minutes=0, dollars=135))
    'overtime of 1 h 30 min, $135'
    """
    parts = []
    for name, minutes in (("overtime", hours.overtime_minutes), ("a Saturday", hours.day_off_minutes)):
        whole, rest = divmod(minutes, 60)
        if minutes:
            parts.append(
                f"{name} of {' '.join(p for p in (f'{whole} h' if whole else '', f'{rest} min' if rest else '') if p)}"
            )
    return f"{' and '.join(parts)}, {dollars(hours.dollars)}"


def start_lines(
    assembled: Assembled, assignments: Sequence[Assignment], until: date | None = None, *, waits: Waits | None = None
) -> list[str]:
    """Every start in order, one line each, with what is prepared and, by ``waits``, the strength it waited for."""
    zone = ZoneInfo(assembled.line.zone)
    tasks = {task.key: task for task in assembled.problem.tasks}
    paid: dict[str, list[PaidHours]] = {}
    for hours in paid_hours(place(assembled.problem, tuple(assignments))):
        paid.setdefault(hours.task, []).append(hours)
    planned_ends = {assembled.tasks[one.task][1].id: assembled.line.at(one.end) for one in assignments}
    holding = Holding(waits=waits, ends=planned_ends, zone=zone) if waits is not None else None
    lines = []
    for one in sorted(assignments, key=lambda assignment: (assignment.start, assignment.task)):
        job, task = assembled.tasks[one.task]
        start_at, end_at = assembled.line.at(one.start), assembled.line.at(one.end)
        on = start_at.astimezone(zone).date()
        if until is not None and on > until:
            break
        last_on = end_at.astimezone(zone).date()
        ends = clock_time(end_at, zone) if last_on == on else f"{day_name(last_on)} {clock_time(end_at, zone)}"
        who = " + ".join(one.crews) or task.kind
        where = job.name or task.site.name
        lines.append(f"{day_name(on):<15} {clock_time(start_at, zone)}  {where:<16} {task.title} ({who}), to {ends}")
        if holding is not None and task.started_at is None:
            lines += [f"{'':<22} {says}" for says in holding.lines(job, task, start_at)]
        way = way_at(tasks[one.task], one.start)
        if way is not None and way.prepared is not None:
            work_at = assembled.line.at(one.start + minutes_prepared(tasks[one.task], one.start))
            then = f"; the work itself from {clock_time(work_at, zone)}" if work_at > start_at else ""
            lines.append(f"{'':<22} prepare: {way.prepared.title}, {dollars(way.prepared.dollars)}{then}")
        lines += [f"{'':<22} bought of {hours.crew}: {paid_words(hours)}" for hours in paid.get(one.task, ())]
    return lines


def sky_lines(assembled: Assembled, skies: Sequence[Sky], waits: Sequence[Waited], as_of: datetime) -> list[str]:
    """What the weather threatens in the next three days, and what the plan did about it."""
    zone = ZoneInfo(assembled.line.zone)
    until = as_of + timedelta(days=3)
    lines = ["What the weather threatens in the next three days, and what the plan does about it"]
    near = [sky for sky in skies if as_of <= sky.start_at < until and sky.judgement.chance_hit >= WORTH_SAYING]
    lines += [_near_line(assembled, sky, zone) for sky in near]
    if not near:
        lines.append("  No exposed work starts in that time.")
    for wait in waits:
        lines.append(_waited_line(assembled, wait, zone))
    return lines


def _near_line(assembled: Assembled, sky: Sky, zone: ZoneInfo) -> str:
    job, task = assembled.tasks[sky.task]
    start = sky.start_at.astimezone(zone)
    safe = sky.judgement.safe_at.astimezone(zone)
    prepared = ""
    if sky.prepared is not None:
        prepared = f" with {sky.prepared.title} ({dollars(sky.prepared.dollars)})"
    return (
        f"  {day_name(start.date())} {start:%H:%M}  {job.name}: {task.title}: chance of being hit "
        f"{sky.judgement.chance_hit:.0%}, expected loss {dollars(sky.dollars)}{prepared}, safe from {safe:%H:%M} on "
        f"{day_name(safe.date())}"
    )


def _waited_line(assembled: Assembled, wait: Waited, zone: ZoneInfo) -> str:
    job, task = assembled.tasks[wait.task]
    earlier, planned = wait.earlier_at.astimezone(zone), wait.planned_at.astimezone(zone)
    then = (
        "There it is forbidden: " + " ".join(wait.reasons[:1])
        if wait.forbidden
        else f"Going then would be hit with {wait.chance_then:.0%} and cost {dollars(wait.dollars_then)} in expectation"
        f"{_with(wait.prepared_then)}"
    )
    return (
        f"  {job.name}: {task.title} waits from {day_name(earlier.date())}, which was free, to "
        f"{day_name(planned.date())}. {then.rstrip('.')}. Expected cost {dollars(wait.dollars_then)} then, "
        f"{dollars(wait.dollars_now)} now ({wait.chance_now:.0%}{_with(wait.prepared_now)}): the wait saves "
        f"{dollars(wait.dollars_then - wait.dollars_now)}."
    )


def _with(prepared: str) -> str:
    return f", with {prepared}" if prepared else ""


def warning_lines(assembled: Assembled) -> list[str]:
    """What the office should know although it stops nothing."""
    if not assembled.warnings:
        return []
    return ["", "To look at", *(f"  {warning}" for warning in assembled.warnings)]
