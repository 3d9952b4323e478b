"""A start is looked at again 48, 24, 12 and 3 hours before it, whatever the forecast does."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from planner.watch.domain.telling.ladder import RUNGS_H, next_rung_at, rung_of

START_AT = datetime(2026, 6, 9, 11, tzinfo=UTC)


def test_every_rung_is_a_moment_to_look() -> None:
    at, seen = START_AT - timedelta(hours=100), []
    while (following := next_rung_at([START_AT], at)) is not None:
        at = following
        seen.append((START_AT - at) / timedelta(hours=1))
    assert seen == [72, *RUNGS_H]


@given(st.floats(min_value=-5, max_value=71), st.floats(min_value=0, max_value=10))
def test_a_start_never_climbs_back_up(hours_left: float, later: float) -> None:
    now = START_AT - timedelta(hours=hours_left)
    assert rung_of(START_AT, now + timedelta(hours=later)) <= rung_of(START_AT, now)


@given(st.lists(st.integers(min_value=-100, max_value=200), max_size=5))
def test_the_next_look_is_the_soonest_of_all_starts(hours: list[int]) -> None:
    starts = [START_AT + timedelta(hours=one) for one in hours]
    each = [at for at in (next_rung_at([one], START_AT) for one in starts) if at is not None]
    assert next_rung_at(starts, START_AT) == min(each, default=None)
    assert all(at > START_AT for at in each)
