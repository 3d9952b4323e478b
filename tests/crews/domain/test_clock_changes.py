"""Both days on which US clocks change: 8 March 2026 has 23 hours, 1 November 2026 has 25 (15 USC 260a)."""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from crews.domain.working_time import Hours, WorkCalendar, WorkWeek, local_moment

SPRING, AUTUMN = date(2026, 3, 8), date(2026, 11, 1)
ZONE = "America/New_York"


def sunday_crew(opens: time, closes: time) -> WorkCalendar:
    return WorkCalendar(key="Night crew", zone=ZONE, week=WorkWeek(sunday=Hours(opens=opens, closes=closes)))


def minutes_on(subject: WorkCalendar, on: date) -> int:
    window = subject.window_on(on)
    assert window is not None
    return (window[1] - window[0]) // timedelta(minutes=1)


@pytest.mark.parametrize(
    ("opens", "closes", "spring", "ordinary", "autumn"),
    [
        (time(0), time(0), 23 * 60, 24 * 60, 25 * 60),
        (time(1), time(4), 120, 180, 240),
        (time(2, 30), time(6), 180, 210, 210),
        (time(7), time(15), 480, 480, 480),
        (time(0), time(1, 30), 90, 90, 90),
        (time(1, 30), time(3), 30, 90, 150),
    ],
)
def test_elapsed_minutes_of_a_shift(opens: time, closes: time, spring: int, ordinary: int, autumn: int) -> None:
    subject = sunday_crew(opens, closes)
    assert minutes_on(subject, SPRING) == spring
    assert minutes_on(subject, SPRING + timedelta(days=7)) == ordinary
    assert minutes_on(subject, AUTUMN) == autumn


def test_hours_wholly_inside_the_skipped_hour_close_the_day() -> None:
    subject = sunday_crew(time(2, 15), time(2, 45))
    assert subject.window_on(SPRING) is None
    assert subject.next_working_day(date(2026, 3, 2)) == date(2026, 3, 15)


def test_work_across_the_skipped_hour_ends_an_hour_later_by_the_clock() -> None:
    subject = sunday_crew(time(0), time(8))
    midnight = datetime(2026, 3, 8, 5, tzinfo=UTC)
    assert subject.add_working(midnight, 240) == local_moment(ZONE, SPRING, time(5))
    assert subject.working_minutes_between(midnight, local_moment(ZONE, SPRING, time(8))) == 7 * 60


def test_work_across_the_doubled_hour_ends_an_hour_earlier_by_the_clock() -> None:
    subject = sunday_crew(time(0), time(8))
    midnight = datetime(2026, 11, 1, 4, tzinfo=UTC)
    assert subject.add_working(midnight, 240) == local_moment(ZONE, AUTUMN, time(3))
    assert subject.working_minutes_between(midnight, local_moment(ZONE, AUTUMN, time(8))) == 9 * 60


def test_the_week_of_the_change_keeps_its_local_hours() -> None:
    subject = WorkCalendar(key="Crew", zone=ZONE, week=WorkWeek.same_hours(time(7), time(15)))
    friday, monday = subject.windows(date(2026, 3, 6), date(2026, 3, 10))
    assert (monday[0] - friday[1]) == timedelta(hours=63)
    friday, monday = subject.windows(date(2026, 10, 30), date(2026, 11, 3))
    assert (monday[0] - friday[1]) == timedelta(hours=65)


def test_a_zone_that_changes_at_midnight() -> None:
    """Beirut skips 00:00 to 01:00 on 29 March 2026 (IANA time zone database): the day opens at the jump."""
    subject = WorkCalendar(key="Crew", zone="Asia/Beirut", week=WorkWeek(sunday=Hours(opens=time(0), closes=time(0))))
    window = subject.window_on(date(2026, 3, 29))
    assert window == (datetime(2026, 3, 28, 22, tzinfo=UTC), datetime(2026, 3, 29, 21, tzinfo=UTC))
