"""Facts that ask for another plan in their own transaction: reports, bookings, jobs that open."""

from collections.abc import Iterable
from datetime import date, datetime
from zoneinfo import ZoneInfo

from crews.domain.slots import COMES_FOR_THE_WORK
from crews.domain.working_time import WorkCalendar
from crews.models import Booking, Crew
from crews.snapshots import crews_of
from jobs.models import Branch, FieldReport, Job, Task
from jobs.words import sentence_for
from planner.plans.domain.triggers.reports import News, Planned, news_of, span_words
from planner.plans.models import Assignment, Plan, ReplanRequest
from planner.plans.replanning.requests import ask


def ask_after_report(*, branch: Branch, report: FieldReport, now: datetime) -> ReplanRequest | None:
    """Ask where a report says something the plan in force did not count on."""
    stay = _stay(branch, report.task)
    planned = None
    if stay is not None:
        on = report.happened_at.astimezone(ZoneInfo(branch.zone)).date()
        calendar = crews_of(branch, on).branch_calendar
        planned = Planned(
            start_at=stay.start_at, end_at=stay.end_at, left_minutes=_left(calendar, report.happened_at, stay)
        )
    news = news_of(report.kind, planned=planned, happened_at=report.happened_at, values=report.values)
    if news is None or not _has_plan(branch):
        return None
    crew = str(report.values.get("crew", "")) if news.reason == "crew_absent" else ""
    subject = f"crew:{crew}" if crew else f"task:{report.task_id}"
    return ask(branch=branch, reason=news.reason, subject=subject, says=_says(branch, report, news), now=now)


def ask_after_booking(*, branch: Branch, booking: Booking, now: datetime) -> ReplanRequest | None:
    """Ask where a slot was asked for or confirmed on another day than the plan in force has the work."""
    stay = _stay(branch, booking.task)
    if stay is None:
        return None
    zone = ZoneInfo(branch.zone)
    first_on, last_on = stay.start_at.astimezone(zone).date(), stay.end_at.astimezone(zone).date()
    if booking.on <= last_on and (first_on <= booking.on or booking.kind not in COMES_FOR_THE_WORK):
        return None
    says, _ = sentence_for(
        "replan.booking_changed",
        {
            "who": booking.supplier.name,
            "task": booking.task.title,
            "pool": _pool(booking.task),
            "on": _day(booking.on),
        },
    )
    return ask(branch=branch, reason="booking_changed", subject=f"booking:{booking.pk}", says=says, now=now)


def ask_after_opening(*, branch: Branch, jobs: Iterable[Job], now: datetime) -> None:
    """Ask for each job that was opened."""
    for job in jobs:
        says, _ = sentence_for("replan.job_new", {"pool": job.name})
        ask(branch=branch, reason="job_new", subject=f"job:{job.pk}", says=says, now=now)


def _has_plan(branch: Branch) -> bool:
    return Plan.objects.filter(branch=branch, state=Plan.State.IN_FORCE).exists()


def _stay(branch: Branch, task: Task | None) -> Assignment | None:
    if task is None:
        return None
    return Assignment.objects.filter(plan__branch=branch, plan__state=Plan.State.IN_FORCE, task=task).first()


def _left(calendar: WorkCalendar, from_at: datetime, stay: Assignment) -> int:
    begins = max(from_at, stay.start_at)
    return calendar.working_minutes_between(begins, stay.end_at) if begins < stay.end_at else 0


def _says(branch: Branch, report: FieldReport, news: News) -> str:
    if news.reason == "crew_absent":
        crew = Crew.objects.filter(branch=branch, key=str(report.values.get("crew", ""))).first()
        facts = {
            "crew": crew.name if crew is not None else "",
            "size": crew.size if crew is not None else 0,
            "people": report.values.get("people", 0),
            "on": _day(date.fromisoformat(str(report.values["on"]))),
        }
    else:
        assert report.task is not None
        facts = {
            "task": report.task.title,
            "pool": _pool(report.task),
            "late": span_words(news.off_minutes),
            "what": report.get_kind_display(),
        }
    return sentence_for(f"replan.{news.code}", facts)[0]


def _day(on: date) -> str:
    return f"{on:%a} {on.day} {on:%b}"


def _pool(task: Task) -> str:
    return task.job.name if task.job is not None else task.site.name
