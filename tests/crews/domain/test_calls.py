"""Deadlines of calls, worked by hand on the calendar of June 2026: the 8th is a Monday, the 19th a public holiday.

The notices, hours and fees are invented; counting working days back is checked in ``test_working_time``.
"""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from crews.domain.calls import (
    Call,
    Desk,
    Wanted,
    ask_by,
    book_by,
    calls_of,
    calls_off,
    fits,
    free_until,
    has_letter,
    in_order,
    is_last_call,
    move_by,
)
from crews.domain.facts import BookingFacts, CrewsFacts, SupplierFacts
from crews.domain.working_time import WorkCalendar, WorkWeek

ZONE = "America/New_York"
NOW = datetime(2026, 6, 8, 14, tzinfo=UTC)
WEEK = WorkWeek.same_hours(time(7), time(15, 30))
CALENDAR = WorkCalendar(key="them", zone=ZONE, week=WEEK, holidays=frozenset({date(2026, 6, 19)}))


def supplier(
    key: int, kind: str, *, notice: int = 2, free_hours: int = 24, fee: int = 250, mail: str = ""
) -> SupplierFacts:
    return SupplierFacts(
        id=key,
        kind=kind,
        name=f"The {kind}",
        is_authority=kind == "building",
        phone="555-0140",
        notice_working_days=notice,
        free_cancel_hours=free_hours,
        fee_dollars=fee,
        daily_limit=None,
        calendar=CALENDAR,
        mail=mail,
    )


def booking(
    task: int, kind: str, on: date, *, state: str = "confirmed", by: int = 1, expires_on: date | None = None
) -> BookingFacts:
    return BookingFacts(
        id=task * 10, task=task, kind=kind, state=state, on=on, supplier=by, asked_at=NOW, expires_on=expires_on
    )


def desk(*bookings: BookingFacts) -> Desk:
    return Desk(
        crews=CrewsFacts(
            crews=(),
            gear=(),
            suppliers=(supplier(1, "pump"), supplier(2, "building", notice=1), supplier(3, "liner", notice=5)),
            bookings=bookings,
            branch_calendar=CALENDAR,
        ),
        zone=ZONE,
        opens=time(7),
        usual_notice={"spoil_trucks": 1},
        ask_hours={"building": time(15)},
    )


def told(*bookings: BookingFacts, wanted: Wanted, last_on: date = date(2026, 6, 10)) -> list[Call]:
    return list(calls_of(desk(*bookings), wanted, now=NOW, last_on=last_on))


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """A moment of June 2026 on New Jersey's clock, four hours behind UTC."""
    return datetime(2026, 6, day, hour + 4, minute, tzinfo=UTC)


@pytest.mark.parametrize(
    ("kind", "on", "by_at"),
    [
        # Two working days before Thursday the 11th is Tuesday the 9th.
        ("pump", date(2026, 6, 11), at(9, 15, 30)),
        # Over a weekend: from Tuesday the 9th back to Friday the 5th.
        ("pump", date(2026, 6, 9), at(5, 15, 30)),
        # Over the holiday and a weekend: five working days before Tuesday the 23rd is Monday the 15th.
        ("liner", date(2026, 6, 23), at(15, 15, 30)),
        # Nobody entered: the usual notice, on the branch's days.
        ("spoil_trucks", date(2026, 6, 11), at(10, 15, 30)),
        ("unheard_of", date(2026, 6, 11), at(11, 15, 30)),
    ],
)
def test_the_last_moment_to_book(kind: str, on: date, by_at: datetime) -> None:
    assert book_by(desk(), kind, on) == by_at


def test_an_authority_takes_calls_until_its_hour() -> None:
    assert ask_by(desk(), "building", date(2026, 6, 11)) == at(10, 15)
    assert ask_by(desk(), "pump", date(2026, 6, 11)) == at(9, 15, 30)


def test_a_slot_is_free_until_so_many_hours_before_the_branch_opens_that_day() -> None:
    slot = booking(7, "pump", date(2026, 6, 11))
    assert free_until(desk(slot), slot) == at(10, 7)
    # Moving to Monday the 15th: free until the 10th, its notice would have run until the 11th.
    assert move_by(desk(slot), slot, date(2026, 6, 15), now=NOW) == at(10, 7)
    # Once the fee is due anyway, only the notice counts.
    assert move_by(desk(slot), slot, date(2026, 6, 15), now=at(10, 8)) == at(11, 15, 30)


@pytest.mark.parametrize(
    ("kind", "on", "serves"),
    [
        ("pump", date(2026, 6, 10), False),
        ("pump", date(2026, 6, 11), True),
        ("pump", date(2026, 6, 12), True),
        ("pump", date(2026, 6, 13), False),
        ("liner", date(2026, 6, 1), True),
        ("liner", date(2026, 6, 11), True),
        ("liner", date(2026, 6, 12), False),
    ],
)
def test_people_come_on_a_day_of_the_work_and_goods_before_it(kind: str, on: date, serves: bool) -> None:
    assert fits(desk(), booking(7, kind, on), date(2026, 6, 11), date(2026, 6, 12)) is serves


def test_what_nobody_has_booked_is_told_when_its_deadline_is_near() -> None:
    wanted = Wanted(task=7, first_on=date(2026, 6, 12), last_on=date(2026, 6, 12), kinds=("pump", "liner"))
    pump, liner = told(wanted=wanted)
    assert (pump.act, pump.kind, pump.on, pump.wanted_on, pump.by_at) == (
        "make",
        "pump",
        None,
        date(2026, 6, 12),
        at(10, 15, 30),
    )
    assert liner.by_at == at(5, 15, 30), "a deadline that is past is told too"
    later = Wanted(task=7, first_on=date(2026, 6, 16), last_on=date(2026, 6, 16), kinds=("pump",))
    assert told(wanted=later) == []
    assert [call.act for call in told(wanted=later, last_on=date(2026, 6, 12))] == ["make"]


def test_a_visit_is_asked_for_at_its_authority_until_somebody_has_asked() -> None:
    visit = Wanted(
        task=8, first_on=date(2026, 6, 10), last_on=date(2026, 6, 10), kinds=("inspection",), authority="building"
    )
    (call,) = told(wanted=visit)
    assert (call.act, call.kind, call.by_at) == ("ask", "building", at(9, 15))
    asked = booking(8, "inspection", date(2026, 6, 10), state="asked", by=2)
    (call,) = told(asked, wanted=visit)
    assert (call.act, call.kind, call.by_at) == ("confirm", "inspection", at(9, 7))
    assert told(booking(8, "inspection", date(2026, 6, 10), by=2), wanted=visit) == []


@pytest.mark.parametrize(
    ("state", "on", "expires_on", "act"),
    [
        ("confirmed", date(2026, 6, 12), None, None),
        ("asked", date(2026, 6, 12), None, None),
        ("asked", date(2026, 6, 10), None, "move"),
        ("confirmed", date(2026, 6, 16), None, "move"),
        ("arrived", date(2026, 6, 1), None, None),
        ("wrong", date(2026, 6, 12), None, "right"),
        ("confirmed", date(2026, 6, 12), date(2026, 6, 11), "renew"),
    ],
)
def test_what_a_slot_asks_for(state: str, on: date, expires_on: date | None, act: str | None) -> None:
    wanted = Wanted(task=7, first_on=date(2026, 6, 12), last_on=date(2026, 6, 12), kinds=("pump",))
    calls = told(booking(7, "pump", on, state=state, expires_on=expires_on), wanted=wanted)
    assert [call.act for call in calls] == ([act] if act else [])


def test_a_slot_of_work_that_is_not_planned_any_more_is_called_off() -> None:
    slots = (
        booking(7, "pump", date(2026, 6, 11)),
        booking(8, "pump", date(2026, 6, 5)),
        booking(9, "pump", date(2026, 6, 11)),
    )
    (call,) = calls_off(desk(*slots), {7, 8}, today=date(2026, 6, 8))
    assert (call.act, call.task, call.on, call.wanted_on, call.by_at) == (
        "call_off",
        7,
        date(2026, 6, 11),
        None,
        at(10, 7),
    )


def test_another_day_is_another_call() -> None:
    first = Wanted(task=7, first_on=date(2026, 6, 11), last_on=date(2026, 6, 11), kinds=("pump",))
    moved = Wanted(task=7, first_on=date(2026, 6, 12), last_on=date(2026, 6, 12), kinds=("pump",))
    assert told(wanted=first)[0].fact == "call:make:7:pump:-/2026-06-11"
    assert told(wanted=moved)[0].fact == "call:make:7:pump:-/2026-06-12"


def test_past_deadlines_come_first_then_those_without_then_the_nearest() -> None:
    def call(task: int, by_at: datetime | None) -> Call:
        return Call(act="make", task=task, kind="pump", on=None, wanted_on=None, by_at=by_at, supplier=None)

    calls = [call(1, NOW + timedelta(hours=1)), call(2, None), call(3, NOW - timedelta(hours=1)), call(4, NOW)]
    assert [one.task for one in in_order(calls, now=NOW)] == [3, 4, 2, 1]


def test_the_last_word_comes_within_two_hours_and_not_after() -> None:
    call = Call(act="make", task=1, kind="pump", on=None, wanted_on=None, by_at=NOW, supplier=None)
    moments = (-121, -120, -1, 0)
    assert [is_last_call(call, now=NOW + timedelta(minutes=one)) for one in moments] == [False, True, True, False]


def test_only_some_calls_can_be_written_and_only_where_there_is_an_address() -> None:
    def call(act: str, mail: str) -> Call:
        return Call(
            act=act,  # type: ignore[arg-type]
            task=1,
            kind="pump",
            on=None,
            wanted_on=None,
            by_at=None,
            supplier=supplier(1, "pump", mail=mail),
        )

    written = [
        act
        for act in ("ask", "make", "right", "renew", "move", "confirm", "call_off")
        if has_letter(call(act, "a@b.co"))
    ]
    assert written == ["ask", "make", "move", "call_off"]
    assert not has_letter(call("make", ""))
