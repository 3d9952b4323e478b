"""Working time: windows by date, counting working days and minutes, refusals."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crews.domain.working_time import ChangedHours, Hours, WorkCalendar, WorkWeek, public_holidays
from jobs.domain.errors import CannotDo

NEW_YORK = "America/New_York"
WEEK = WorkWeek.same_hours(time(7), time(15))
MONDAY = date(2026, 6, 1)


def calendar(
    week: WorkWeek = WEEK,
    holidays: frozenset[date] = frozenset(),
    days_off: frozenset[date] = frozenset(),
    changed_hours: tuple[ChangedHours, ...] = (),
    zone: str = NEW_YORK,
) -> WorkCalendar:
    return WorkCalendar(
        key="Concrete crew", zone=zone, week=week, holidays=holidays, days_off=days_off, changed_hours=changed_hours
    )


def at(on: date, hour: int, minute: int = 0) -> datetime:
    return datetime(on.year, on.month, on.day, hour, minute, tzinfo=ZoneInfo(NEW_YORK))


def test_window_is_local_hours_in_utc() -> None:
    assert calendar().window_on(MONDAY) == (
        datetime(2026, 6, 1, 11, tzinfo=UTC),
        datetime(2026, 6, 1, 19, tzinfo=UTC),
    )
    assert calendar().window_on(date(2026, 1, 5)) == (
        datetime(2026, 1, 5, 12, tzinfo=UTC),
        datetime(2026, 1, 5, 20, tzinfo=UTC),
    )


def test_weekend_holiday_and_day_off_are_closed() -> None:
    subject = calendar(holidays=frozenset({date(2026, 7, 3)}), days_off=frozenset({date(2026, 7, 6)}))
    for on in (date(2026, 7, 3), date(2026, 7, 4), date(2026, 7, 5), date(2026, 7, 6)):
        assert subject.window_on(on) is None
    assert subject.next_working_day(date(2026, 7, 2)) == date(2026, 7, 7)
    assert subject.previous_working_day(date(2026, 7, 7)) == date(2026, 7, 2)


def test_changed_hours_win_over_week_and_holiday() -> None:
    saturday, holiday = date(2026, 7, 11), date(2026, 7, 3)
    subject = calendar(
        holidays=frozenset({holiday}),
        changed_hours=((saturday, time(8), time(12)), (holiday, time(6), time(10))),
    )
    assert subject.window_on(saturday) == (at(saturday, 8), at(saturday, 12))
    assert subject.window_on(holiday) == (at(holiday, 6), at(holiday, 10))


@pytest.mark.parametrize(
    ("usual", "own", "early"),
    [(15, 12, True), (15, 15, False), (15, 17, False), (0, 22, True), (22, 0, False)],
)
def test_a_date_ends_early_where_its_hours_do(usual: int, own: int, early: bool) -> None:
    """A day that closes at 0 runs until midnight."""
    wednesday = date(2026, 6, 3)
    subject = calendar(week=WorkWeek.same_hours(time(7), time(usual)), changed_hours=((wednesday, time(7), time(own)),))
    assert subject.ends_early_on(wednesday) is early
    assert not subject.ends_early_on(wednesday + timedelta(days=1))
    assert not subject.ends_early_on(date(2026, 6, 7))


def test_days_are_counted_after_the_date() -> None:
    """The one-call notice of South Carolina: call Monday, three full working days, dig Friday (state one-call notice
    calendar)."""
    subject = calendar()
    assert subject.add_working_days(MONDAY, 3) == date(2026, 6, 4)
    assert subject.next_working_day(subject.add_working_days(MONDAY, 3)) == date(2026, 6, 5)
    assert subject.add_working_days(MONDAY, 0) == MONDAY
    assert subject.add_working_days(date(2026, 6, 6), 1) == date(2026, 6, 8)
    assert subject.add_working_days(date(2026, 6, 8), -1) == date(2026, 6, 5)


def test_work_runs_over_night_and_weekend() -> None:
    subject = calendar()
    friday = date(2026, 6, 5)
    assert subject.add_working(at(friday, 14), 120) == at(date(2026, 6, 8), 8)
    assert subject.add_working(at(friday, 7), 480) == at(friday, 15)
    assert subject.add_working(at(friday, 20), 1) == at(date(2026, 6, 8), 7, 1)
    assert subject.add_working(at(friday, 20), 0) == at(friday, 20)
    assert subject.working_minutes_between(at(friday, 14), at(date(2026, 6, 8), 8)) == 120


def test_next_open_is_now_or_the_next_opening() -> None:
    subject = calendar()
    assert subject.next_open(at(MONDAY, 9)) == at(MONDAY, 9)
    assert subject.next_open(at(MONDAY, 5)) == at(MONDAY, 7)
    assert subject.next_open(at(MONDAY, 15)) == at(date(2026, 6, 2), 7)


def test_opening_of_a_closed_date_is_refused() -> None:
    assert calendar().opening(MONDAY) == at(MONDAY, 7)
    with pytest.raises(CannotDo, match="Concrete crew does not work on 2026-06-06"):
        calendar().opening(date(2026, 6, 6))


def test_date_of_a_moment_is_local() -> None:
    assert calendar().date_of(datetime(2026, 6, 2, 3, 30, tzinfo=UTC)) == MONDAY
    with pytest.raises(ValueError, match="aware"):
        calendar().date_of(datetime(2026, 6, 2))  # noqa: DTZ001


def test_a_crew_with_no_hours_is_refused_by_name_with_the_remedy() -> None:
    with pytest.raises(CannotDo) as refusal:
        calendar(week=WorkWeek())
    assert refusal.value.code == "crews.no_hours"
    assert "Concrete crew" in refusal.value.says
    assert "at least one weekday" in refusal.value.remedy


@pytest.mark.parametrize("zone", ["America/Nowhere", "", "America", "../etc", "Eastern time"])
def test_an_unknown_zone_is_refused(zone: str) -> None:
    with pytest.raises(CannotDo) as refusal:
        calendar(zone=zone)
    assert refusal.value.code == "crews.unknown_zone"


def test_contradictions_are_refused() -> None:
    with pytest.raises(CannotDo) as refusal:
        Hours(opens=time(15), closes=time(7))
    assert refusal.value.code == "crews.hours_backwards"
    with pytest.raises(CannotDo) as refusal:
        calendar(changed_hours=((MONDAY, time(9), time(9)),))
    assert refusal.value.code == "crews.hours_backwards"
    with pytest.raises(CannotDo) as refusal:
        calendar(changed_hours=((MONDAY, time(9), time(10)), (MONDAY, time(11), time(12))))
    assert refusal.value.code == "crews.hours_twice"
    with pytest.raises(CannotDo) as refusal:
        calendar(days_off=frozenset({MONDAY}), changed_hours=((MONDAY, time(9), time(10)),))
    assert refusal.value.code == "crews.day_off_with_hours"
    with pytest.raises(CannotDo) as refusal:
        calendar().working_minutes_between(at(MONDAY, 9), at(MONDAY, 8))
    assert refusal.value.code == "crews.span_backwards"
    with pytest.raises(CannotDo) as refusal:
        calendar().add_working(at(MONDAY, 9), -5)
    assert refusal.value.code == "crews.negative_minutes"


def test_a_calendar_that_never_opens_again_is_refused() -> None:
    subject = calendar(week=WorkWeek(), changed_hours=((MONDAY, time(9), time(10)),))
    assert subject.next_working_day(date(2026, 5, 1)) == MONDAY
    with pytest.raises(CannotDo) as refusal:
        subject.add_working(at(MONDAY, 9), 61)
    assert refusal.value.code == "crews.no_working_day"


def test_public_holidays_follow_published_lists() -> None:
    """Federal holidays of 2026 from the US Office of Personnel Management; 3 July is observed for Saturday the 4th."""
    federal = {
        date(2026, 1, 1),
        date(2026, 1, 19),
        date(2026, 2, 16),
        date(2026, 5, 25),
        date(2026, 6, 19),
        date(2026, 7, 3),
        date(2026, 9, 7),
        date(2026, 10, 12),
        date(2026, 11, 11),
        date(2026, 11, 26),
        date(2026, 12, 25),
    }
    assert federal <= public_holidays("US", "", (2026,))
    assert public_holidays("US", "NJ", (2026, 2027)) >= public_holidays("US", "NJ", (2026,))
    with pytest.raises(CannotDo) as refusal:
        public_holidays("US", "ZZ", (2026,))
    assert refusal.value.code == "crews.unknown_holidays"


quarter_hours = st.integers(0, 95).map(lambda quarter: time(quarter // 4, quarter % 4 * 15))
day_hours = st.tuples(quarter_hours, quarter_hours).filter(lambda pair: pair[0] < pair[1] or pair[1] == time(0))
dates = st.dates(date(2025, 1, 1), date(2027, 12, 31))
zones = st.sampled_from([NEW_YORK, "America/Los_Angeles", "America/St_Johns", "Australia/Lord_Howe", "UTC"])


@st.composite
def calendars(draw: st.DrawFn) -> WorkCalendar:
    week = {name: draw(st.none() | day_hours) for name in ("tuesday", "wednesday", "saturday", "sunday")}
    opens, closes = draw(day_hours)
    return WorkCalendar(
        key="crew",
        zone=draw(zones),
        week=WorkWeek(
            monday=Hours(opens=opens, closes=closes),
            **{name: Hours(opens=pair[0], closes=pair[1]) for name, pair in week.items() if pair is not None},
        ),
        holidays=draw(st.frozensets(dates, max_size=5)),
        days_off=draw(st.frozensets(dates, max_size=5)),
    )


moments = st.datetimes(datetime(2025, 1, 1), datetime(2027, 12, 31)).map(  # noqa: DTZ001
    lambda naive: naive.replace(tzinfo=UTC, second=0, microsecond=0)
)


@settings(max_examples=150, deadline=None)
@given(calendars(), moments, st.integers(0, 6000))
def test_counting_undoes_adding(subject: WorkCalendar, start: datetime, minutes: int) -> None:
    end = subject.add_working(start, minutes)
    assert end >= start
    assert subject.working_minutes_between(start, end) == minutes
    if minutes:
        assert subject.working_minutes_between(start, end - timedelta(minutes=1)) == minutes - 1


@settings(max_examples=100, deadline=None)
@given(calendars(), dates)
def test_windows_are_ascending_disjoint_and_on_their_date(subject: WorkCalendar, first: date) -> None:
    windows = subject.windows(first, first + timedelta(days=40))
    for (_, closes), (opens, _) in pairwise(windows):
        assert closes <= opens
    assert [subject.date_of(opens) for opens, _ in windows] == sorted({subject.date_of(opens) for opens, _ in windows})
    assert all(opens < closes for opens, closes in windows)


@settings(max_examples=100, deadline=None)
@given(calendars(), dates, st.integers(-12, 12))
def test_counting_working_days_matches_a_plain_walk(subject: WorkCalendar, on: date, n: int) -> None:
    end = subject.add_working_days(on, n)
    step = timedelta(days=1 if n >= 0 else -1)
    walked, day = 0, on
    while day != end:
        day += step
        walked += subject.is_working_day(day)
    assert walked == abs(n)
    assert n == 0 or subject.is_working_day(end)
