"""From which day a booking lets work start. Notices: invented; the rule is common practice, no source."""

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from crews.domain.facts import BookingFacts, SupplierFacts
from crews.domain.slots import opens_on
from crews.domain.working_time import WorkCalendar, WorkWeek

MONDAY = date(2026, 6, 8)
PLANT = SupplierFacts(
    id=1,
    kind="ready_mix",
    name="Plant",
    is_authority=False,
    phone="",
    notice_working_days=2,
    free_cancel_hours=24,
    fee_dollars=300,
    daily_limit=None,
    calendar=WorkCalendar(
        key="Plant",
        zone="America/New_York",
        week=WorkWeek.same_hours(time(7), time(16)),
        holidays=frozenset(),
        days_off=frozenset(),
    ),
)
BOOKED = BookingFacts(
    id=1,
    task=1,
    kind="ready_mix",
    state="confirmed",
    on=date(2026, 6, 12),
    supplier=1,
    asked_at=datetime(2026, 6, 1, tzinfo=UTC),
)


@pytest.mark.parametrize(
    ("booking", "fixed", "goods", "on", "why"),
    [
        (None, False, False, date(2026, 6, 10), "notice"),
        (replace(BOOKED, state="wrong"), False, True, date(2026, 6, 10), "again"),
        (replace(BOOKED, state="arrived"), False, True, MONDAY, "here"),
        (BOOKED, True, False, date(2026, 6, 12), "comes"),
        (BOOKED, False, True, date(2026, 6, 12), "delivers"),
        (BOOKED, False, False, date(2026, 6, 10), "forward"),
        (replace(BOOKED, on=date(2026, 6, 9)), False, False, date(2026, 6, 9), "slot"),
        (replace(BOOKED, on=date(2026, 6, 10)), False, False, date(2026, 6, 10), "slot"),
    ],
)
def test_the_day_a_booking_opens(booking: BookingFacts | None, fixed: bool, goods: bool, on: date, why: str) -> None:
    opening = opens_on(PLANT, booking, today=MONDAY, fixed=fixed, goods=goods)
    assert (opening.on, opening.why) == (on, why)


def test_a_slot_on_friday_does_not_come_tomorrow_for_a_plan_that_would_like_it() -> None:
    assert opens_on(PLANT, BOOKED, today=MONDAY, fixed=False, goods=False).on > date(2026, 6, 9)


def test_notice_is_counted_in_the_supplier_s_working_days() -> None:
    friday = date(2026, 6, 12)
    assert opens_on(PLANT, None, today=friday, fixed=False, goods=False).on == date(2026, 6, 16)
