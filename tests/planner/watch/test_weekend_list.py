"""What must be protected before people go home for a weekend or a holiday."""

from datetime import date, datetime, time, timedelta

import pytest

from planner.watch.domain.stretch import next_stretch, unattended_hours
from tests.planner.forecast_domain.skies import ZONE, local, sky
from tests.planner.watch.worlds import NOW, between, calendar, job, report, stay, task


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


@pytest.mark.parametrize(
    ("now", "holidays", "last_on", "from_at", "until_at"),
    [
        # An ordinary week.
        ("2026-07-15 05:00", (), "2026-07-17", "2026-07-17 17:00", "2026-07-20 07:00"),
        # Friday the 3rd is the observed holiday of 4 July 2026: the list is due on Thursday.
        ("2026-06-30 05:00", ("2026-07-03",), "2026-07-02", "2026-07-02 17:00", "2026-07-06 07:00"),
        # A Monday holiday makes the weekend longer.
        ("2026-09-03 05:00", ("2026-09-07",), "2026-09-04", "2026-09-04 17:00", "2026-09-08 07:00"),
        # A holiday in mid-week is a stretch of its own.
        ("2026-11-09 05:00", ("2026-11-11",), "2026-11-10", "2026-11-10 17:00", "2026-11-12 07:00"),
        # Friday evening, everybody gone: still this weekend. Saturday too.
        ("2026-07-17 20:00", (), "2026-07-17", "2026-07-17 17:00", "2026-07-20 07:00"),
        ("2026-07-18 10:00", (), "2026-07-17", "2026-07-17 17:00", "2026-07-20 07:00"),
        # Both weekends on which the clocks change: wall hours stay.
        ("2026-03-06 05:00", (), "2026-03-06", "2026-03-06 17:00", "2026-03-09 07:00"),
        ("2026-10-30 05:00", (), "2026-10-30", "2026-10-30 17:00", "2026-11-02 07:00"),
    ],
)
def test_the_next_stretch_nobody_works(now, holidays, last_on, from_at, until_at):
    found = next_stretch(calendar(holidays=map(date.fromisoformat, holidays)), at(now))
    assert found is not None
    assert (found.last_on, found.from_at, found.until_at) == (date.fromisoformat(last_on), at(from_at), at(until_at))


def test_a_worked_saturday_ends_the_week():
    worked = calendar(changed=((date(2026, 7, 18), time(7), time(12)),))
    found = next_stretch(worked, NOW)
    assert found is not None
    assert (found.last_on, found.from_at) == (date(2026, 7, 18), at("2026-07-18 12:00"))


def test_a_yard_that_never_closes_has_no_stretch():
    always = tuple((date(2026, 7, 1) + timedelta(days=n), time(7), time(17)) for n in range(120))
    assert next_stretch(calendar(changed=always), NOW) is None
    assert report(job(), series=sky(144), branch_calendar=calendar(changed=always)).weekend == ()


@pytest.mark.parametrize(
    ("from_at", "until_at", "hours"),
    [
        ("2026-07-15 12:00", "2026-07-16 12:00", 14),
        ("2026-07-15 08:00", "2026-07-15 16:00", 0),
        # Friday 17:00 to Monday 07:00: 62 h, one less in spring, one more in autumn.
        ("2026-07-17 17:00", "2026-07-20 07:00", 62),
        ("2026-03-06 17:00", "2026-03-09 07:00", 61),
        ("2026-10-30 17:00", "2026-11-02 07:00", 63),
    ],
)
def test_hours_with_nobody_there_run_on_the_clock(from_at, until_at, hours):
    # Both ends in UTC: subtracting two local times would count wall hours.
    assert unattended_hours(calendar(), local_utc(from_at), local_utc(until_at)) == pytest.approx(hours)


def local_utc(text: str) -> datetime:
    return datetime.fromtimestamp(at(text).timestamp(), tz=NOW.astimezone().tzinfo)


DUG = task(1, "dig", "dig", started_at=local(7, day=-3), finished_at=local(15, day=-2))
BACKFILL = task(2, "backfill", "backfill")
POUR = task(3, "pour_floor", "slab_pour")


def test_the_list_looks_at_the_weekend_and_not_at_the_days_before():
    """Rain on Saturday: three days ahead on Wednesday morning the dig is clear, over the weekend it is not."""
    wet = sky(168, rain_chance=between(8, 14, 0.9, 0.0, day=3), rain_mm=between(8, 14, 3.0, 0.0, day=3))
    found = report(job(DUG, BACKFILL), series=wet)
    assert [one.state for one in found.states] == ["clear"]
    (listed,) = found.weekend
    assert (listed.kind, listed.state) == ("open_dig", "reached")
    assert (listed.window_from, listed.window_until) == (local(17, day=2), local(7, day=5))
    assert listed.crews == ("Diggers", "Forms")


def test_a_pour_of_friday_is_young_over_the_weekend():
    cold = sky(168, air_temp_c=between(4, 6, 2.0, 12.0, day=3))
    (listed,) = report(job(POUR), (stay(3, local(7, day=2)),), series=cold).weekend
    assert (listed.kind, listed.state, listed.expected) == ("young_concrete", "reached", True)


def test_what_is_closed_before_the_weekend_is_not_listed():
    planned = (stay(2, local(7, day=1)),)
    found = report(job(DUG, BACKFILL), planned, series=sky(168))
    assert [one.kind for one in found.states] == ["open_dig"]
    assert found.weekend == ()


def test_over_a_holiday_the_list_names_who_works_the_day_before():
    """Friday is a holiday: the list is due on Thursday and covers Friday, when the rain comes."""
    wet = sky(168, rain_chance=between(8, 14, 0.9, 0.0, day=2), rain_mm=between(8, 14, 3.0, 0.0, day=2))
    found = report(job(DUG, BACKFILL), series=wet, holidays=(local(0, day=2).date(),))
    assert found.stretch is not None
    assert found.stretch.last_on == local(0, day=1).date()
    (listed,) = found.weekend
    assert listed.state == "reached"
    assert listed.window_from == local(17, day=1)


def test_beyond_the_forecast_the_weekend_is_unknown_and_not_dry():
    (listed,) = report(job(DUG, BACKFILL), series=sky(60)).weekend
    assert listed.state == "unknown"
