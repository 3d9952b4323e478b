"""Nights in which nobody is disturbed, over both changes of the clocks.

The clocks of the United States change on the second Sunday of March and the first Sunday of November at two in the
morning, 15 U.S.C. 260a.
"""

from datetime import UTC, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crews.domain.quiet_hours import QuietHours, after_quiet

ZONE = "America/New_York"
NEW_YEAR = datetime(2026, 1, 1, tzinfo=UTC)


@pytest.mark.parametrize(
    ("moment", "loud"),
    [
        # Nights without a change: quiet at nine, no longer at six.
        ("2026-06-09T20:59:59-04:00", "2026-06-09T20:59:59-04:00"),
        ("2026-06-09T21:00:00-04:00", "2026-06-10T06:00:00-04:00"),
        ("2026-06-10T05:59:59-04:00", "2026-06-10T06:00:00-04:00"),
        ("2026-06-10T06:00:00-04:00", "2026-06-10T06:00:00-04:00"),
        ("2026-06-10T12:00:00-04:00", "2026-06-10T12:00:00-04:00"),
        # 8 March 2026: the night is eight hours long.
        ("2026-03-07T21:00:00-05:00", "2026-03-08T06:00:00-04:00"),
        ("2026-03-08T01:59:00-05:00", "2026-03-08T06:00:00-04:00"),
        ("2026-03-08T03:00:00-04:00", "2026-03-08T06:00:00-04:00"),
        # 1 November 2026: ten hours; half past one comes twice, and both are quiet.
        ("2026-10-31T22:00:00-04:00", "2026-11-01T06:00:00-05:00"),
        ("2026-11-01T01:30:00-04:00", "2026-11-01T06:00:00-05:00"),
        ("2026-11-01T01:30:00-05:00", "2026-11-01T06:00:00-05:00"),
        ("2026-11-01T06:00:00-05:00", "2026-11-01T06:00:00-05:00"),
    ],
)
def test_the_end_of_the_night_on_the_branchs_clock(moment: str, loud: str) -> None:
    found = after_quiet(datetime.fromisoformat(moment), QuietHours(), ZONE)
    assert found == datetime.fromisoformat(loud)


def test_quiet_hours_that_begin_in_the_hour_the_clocks_skip_begin_at_the_jump() -> None:
    quiet = QuietHours(from_time=time(2, 30), until_time=time(5))
    jump = datetime(2026, 3, 8, 7, tzinfo=UTC)
    assert after_quiet(jump - timedelta(seconds=1), quiet, ZONE) == jump - timedelta(seconds=1)
    assert after_quiet(jump, quiet, ZONE) == datetime(2026, 3, 8, 9, tzinfo=UTC)


def test_equal_times_mean_never() -> None:
    midnight = datetime(2026, 6, 9, 4, tzinfo=UTC)
    assert after_quiet(midnight, QuietHours(from_time=time(0), until_time=time(0)), ZONE) == midnight


@given(
    moment=st.integers(0, 2 * 365 * 24 * 60).map(lambda minutes: NEW_YEAR + timedelta(minutes=minutes)),
    begins=st.times(),
    ends=st.times(),
    zone=st.sampled_from((ZONE, "Europe/Oslo", "Pacific/Auckland", "America/Phoenix", "Australia/Lord_Howe")),
)
def test_never_earlier_never_more_than_a_day_and_loud_then(
    moment: datetime, begins: time, ends: time, zone: str
) -> None:
    quiet = QuietHours(from_time=begins, until_time=ends)
    found = after_quiet(moment, quiet, zone)
    assert moment <= found <= moment + timedelta(hours=26)
    assert after_quiet(found, quiet, zone) == found
