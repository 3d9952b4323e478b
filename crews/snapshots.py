"""Rows to frozen values."""

from collections.abc import Mapping, Sequence
from datetime import date, time, timedelta

from crews.domain.facts import BookingFacts, CrewFacts, CrewsFacts, GearFacts, SupplierFacts
from crews.domain.letter import MessageFacts
from crews.domain.quiet_hours import QuietHours
from crews.domain.reachable import Reachable
from crews.domain.working_time import WEEKDAYS, ChangedHours, Hours, WorkCalendar, WorkWeek, public_holidays
from crews.models import BranchDay, BranchReach, Crew, Message, Supplier
from crews.selectors import list_branch_days, list_crews, list_gear, list_live_bookings, list_suppliers
from jobs.models import Branch

# Days off are read from a little before the day asked for, so that counting back over a weekend sees them.
LOOK_BACK = timedelta(days=30)


def week_of(days: Mapping[str, Sequence[str]]) -> WorkWeek:
    """A stored week ({"1": ["07:00", "15:30"], ...}, Monday is 1) as a value."""
    return WorkWeek(
        **{
            WEEKDAYS[int(number) - 1]: Hours(opens=time.fromisoformat(hours[0]), closes=time.fromisoformat(hours[1]))
            for number, hours in days.items()
        }
    )


def free_days(branch: Branch, rows: Sequence[BranchDay], on: date) -> tuple[frozenset[date], frozenset[date]]:
    """Public holidays kept by the branch, and its own closed days; a holiday it works is in neither."""
    worked = {row.on for row in rows if not row.closed}
    holidays = (
        public_holidays(branch.country, branch.subdivision, (on.year - 1, on.year, on.year + 1, on.year + 2))
        if branch.keeps_public_holidays
        else frozenset()
    )
    return frozenset(holidays - worked), frozenset(row.on for row in rows if row.closed)


def crew_facts(crew: Crew, branch: Branch, holidays: frozenset[date], closed: frozenset[date]) -> CrewFacts:
    days = sorted(crew.days.all(), key=lambda row: row.on)
    changed: list[ChangedHours] = [
        (row.on, row.opens, row.closes) for row in days if not row.off and row.opens and row.closes
    ]
    changed_on = {on for on, _, _ in changed}
    off = {row.on for row in days if row.off}
    if crew.own:
        off |= closed - changed_on
    return CrewFacts(
        id=crew.pk,
        key=crew.key,
        name=crew.name,
        own=crew.own,
        size=crew.size,
        trades=tuple(sorted(row.trade for row in crew.trades.all())),
        calendar=WorkCalendar(
            key=crew.name,
            zone=branch.zone,
            week=week_of(crew.week),
            holidays=holidays,
            days_off=frozenset(off),
            changed_hours=tuple(changed),
        ),
        hour_cents_per_person=crew.hour_cents_per_person,
        overtime_hour_cents=crew.overtime_hour_cents,
        most_overtime_minutes=crew.most_overtime_minutes,
        saturday_hour_cents=crew.saturday_hour_cents,
        foreman=crew.foreman,
        phone=crew.phone,
        booked_as=crew.booked_through.kind if crew.booked_through is not None else "",
        head_counts={row.on: row.head_count for row in days if row.head_count is not None},
    )


def supplier_facts(supplier: Supplier, branch: Branch, holidays: frozenset[date]) -> SupplierFacts:
    return SupplierFacts(
        id=supplier.pk,
        kind=supplier.kind,
        name=supplier.name,
        is_authority=supplier.role == Supplier.Role.AUTHORITY,
        phone=supplier.phone,
        notice_working_days=supplier.notice_working_days,
        free_cancel_hours=supplier.free_cancel_hours,
        fee_dollars=round(supplier.fee_cents / 100),
        daily_limit=supplier.daily_limit,
        calendar=WorkCalendar(key=supplier.name, zone=branch.zone, week=week_of(supplier.week), holidays=holidays),
        mail=supplier.email,
    )


def crews_of(branch: Branch, on: date) -> CrewsFacts:
    """Everything a plan from ``on`` on reads of a branch's people, gear and suppliers."""
    rows = list(list_branch_days(branch=branch, from_on=on - LOOK_BACK))
    holidays, closed = free_days(branch, rows, on)
    return CrewsFacts(
        crews=tuple(crew_facts(crew, branch, holidays, closed) for crew in list_crews(branch=branch)),
        gear=tuple(GearFacts(kind=row.kind, name=row.name, count=row.count) for row in list_gear(branch=branch)),
        suppliers=tuple(supplier_facts(row, branch, holidays) for row in list_suppliers(branch=branch)),
        bookings=tuple(
            BookingFacts(
                id=row.pk,
                task=row.task_id,
                kind=row.kind,
                state=row.state,
                on=row.on,
                supplier=row.supplier_id,
                asked_at=row.asked_at,
                expires_on=row.expires_on,
            )
            for row in list_live_bookings(branch=branch)
        ),
        branch_calendar=WorkCalendar(
            key=branch.name,
            zone=branch.zone,
            week=WorkWeek.same_hours(branch.opens, branch.closes),
            holidays=holidays,
            days_off=closed,
        ),
    )


def quiet_hours_of(branch: Branch) -> QuietHours:
    """The hours in which a branch disturbs nobody."""
    reach = BranchReach.objects.filter(branch=branch).first()
    return QuietHours(from_time=reach.quiet_from, until_time=reach.quiet_until) if reach else QuietHours()


def office_mail_of(branch: Branch) -> str:
    """Where answers to a branch's mail go; empty where the office has entered nothing."""
    reach = BranchReach.objects.filter(branch=branch).first()
    return reach.mail if reach else ""


def message_facts(row: Message) -> MessageFacts:
    return MessageFacts(
        id=row.pk,
        person=row.person,
        name=row.name,
        channel=row.channel,
        address=row.address,
        subject=row.subject,
        body=row.body,
        state=row.state,
        attempts=row.attempts,
        urgent=row.urgent,
        posted_at=row.posted_at,
        next_try_at=row.next_try_at,
        sent_at=row.sent_at,
        answer_by=row.answer_by,
        answered_at=row.answered_at,
        failing_since=row.failing_since,
        last_error=row.last_error,
    )


def supplier_reached(supplier: Supplier) -> Reachable:
    """How a supplier is written to: by mail only, for a text message is not how an order is placed."""
    return Reachable(key=f"supplier:{supplier.pk}", name=supplier.name, mail=supplier.email)
