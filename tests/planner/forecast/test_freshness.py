"""Ages at which a forecast stops being trusted."""

from datetime import UTC, datetime, timedelta

import pytest

from planner.forecast.domain.freshness import Freshness, freshness_of

NOW = datetime(2026, 6, 1, 10, tzinfo=UTC)


@pytest.mark.parametrize(
    ("age_h", "expected"),
    [
        (0.1, Freshness.FRESH),
        (9.1, Freshness.FRESH),  # the oldest of 64 healthy recorded replies
        (9.99, Freshness.FRESH),
        (10, Freshness.AGEING),
        (18, Freshness.AGEING),
        (18.01, Freshness.STALE),
        (23, Freshness.STALE),
        (-0.5, Freshness.FRESH),
        (-2, Freshness.STALE),
    ],
)
def test_age_by_issue_time(age_h: float, expected: Freshness) -> None:
    issued_at = NOW - timedelta(hours=age_h)
    ends_at = NOW + timedelta(days=6)
    assert freshness_of(issued_at=issued_at, checked_at=NOW, horizon_end_at=ends_at, now=NOW) is expected


def test_a_run_just_fetched_may_still_be_old() -> None:
    ends_at = NOW + timedelta(days=3)
    run = {"issued_at": NOW - timedelta(days=5), "horizon_end_at": ends_at}
    assert freshness_of(checked_at=NOW, now=NOW, **run) is Freshness.STALE


def test_no_future_hour_is_stale_however_young() -> None:
    assert freshness_of(issued_at=NOW, checked_at=NOW, horizon_end_at=NOW, now=NOW) is Freshness.STALE


def test_no_success_for_a_day_is_down() -> None:
    ends_at = NOW + timedelta(days=3)
    issued_at = NOW - timedelta(hours=25)
    for checked_h, expected in ((24, Freshness.STALE), (24.01, Freshness.DOWN)):
        checked_at = NOW - timedelta(hours=checked_h)
        found = freshness_of(issued_at=issued_at, checked_at=checked_at, horizon_end_at=ends_at, now=NOW)
        assert found is expected
    assert freshness_of(issued_at=None, checked_at=None, horizon_end_at=None, now=NOW) is Freshness.DOWN
