"""Turns come round: taken once, due again after a lease, an interval or a pause, and not lost between."""

from datetime import UTC, datetime, timedelta

import pytest

from planner.serving.models import Turn
from planner.serving.turns import JITTER, arrange, end_badly, end_well, is_held, make_due, take_due

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 3, 8, 6, 30, tzinfo=UTC)
LEASE = timedelta(minutes=2)
HOUR = timedelta(hours=1)
MOST = 1 + JITTER


def one(key: str = "a") -> Turn:
    return Turn.objects.get(kind="forecast", key=key)


def take(now: datetime = NOW, limit: int = 10) -> list[str]:
    return [turn.key for turn in take_due(now=now, lease=LEASE, limit=limit)]


def test_a_new_turn_is_due_at_once_and_taken_once() -> None:
    arrange(kind="forecast", keys=["b", "a"], now=NOW)
    assert take() == ["a", "b"]
    assert take() == []


def test_whatever_else_is_due_goes_out_before_a_spread() -> None:
    arrange(kind="spread", keys=["1"], now=NOW - HOUR)
    arrange(kind="forecast", keys=["a", "b"], now=NOW)
    assert take(limit=2) == ["a", "b"]
    assert take() == ["1"]


def test_a_turn_nobody_ends_is_due_again_after_its_lease() -> None:
    arrange(kind="forecast", keys=["a"], now=NOW)
    take()
    assert take(NOW + LEASE * (1 - JITTER) - timedelta(seconds=1)) == []
    assert take(NOW + LEASE * MOST) == ["a"]


def test_a_lease_is_over_when_its_turn_has_ended_or_is_taken_again() -> None:
    arrange(kind="forecast", keys=["a"], now=NOW)
    (first,) = take_due(now=NOW, lease=LEASE, limit=1)
    assert is_held(turn_id=first.id, until=first.until)
    (again,) = take_due(now=NOW + LEASE * MOST, lease=LEASE, limit=1)
    assert not is_held(turn_id=first.id, until=first.until)
    assert is_held(turn_id=again.id, until=datetime.fromisoformat(again.until.isoformat()))
    end_well(turn=one(), now=NOW, after=HOUR)
    assert not is_held(turn_id=again.id, until=again.until)


def test_a_turn_that_ended_well_waits_its_interval() -> None:
    arrange(kind="forecast", keys=["a"], now=NOW)
    take()
    end_well(turn=one(), now=NOW, after=HOUR, handed_on="3")
    assert take(NOW + HOUR * (1 - JITTER) - timedelta(seconds=1)) == []
    assert take(NOW + HOUR * MOST) == ["a"]
    assert one().handed_on == "3"


def test_arranging_again_keeps_what_is_there_and_drops_what_is_gone() -> None:
    arrange(kind="forecast", keys=["a", "b"], now=NOW)
    Turn.objects.create(kind="warnings", key="b", next_due_at=NOW)
    take(limit=1)
    due = one().next_due_at
    arrange(kind="forecast", keys=["a", "c"], now=NOW + HOUR)
    assert one().next_due_at == due
    assert set(Turn.objects.values_list("kind", "key")) == {("forecast", "a"), ("forecast", "c"), ("warnings", "b")}


def test_the_longest_due_go_first_when_there_are_too_many() -> None:
    arrange(kind="forecast", keys=["late"], now=NOW)
    arrange(kind="forecast", keys=["late", "later"], now=NOW - HOUR)
    assert take(limit=1) == ["later"]
    assert take(limit=1) == ["late"]


def test_failures_in_a_row_are_counted_wait_longer_and_remember_the_first() -> None:
    arrange(kind="forecast", keys=["a"], now=NOW)
    waits = []
    for times in range(1, 8):
        now = NOW + times * HOUR
        end_badly(turn=one(), now=now, problem="no answer", longest=timedelta(minutes=30))
        due = one().next_due_at
        assert due is not None
        waits.append((due - now) / timedelta(minutes=1))
    for wait, usual in zip(waits, (2, 4, 8, 16, 30, 30, 30), strict=True):
        assert usual * (1 - JITTER) <= wait <= usual * MOST
    assert (one().failures, one().failing_since, one().problem) == (7, NOW + HOUR, "no answer")
    end_well(turn=one(), now=NOW + 9 * HOUR, after=HOUR)
    assert (one().failures, one().failing_since, one().problem) == (0, None, "")


def test_trouble_that_was_got_over_is_told_with_its_beginning() -> None:
    arrange(kind="forecast", keys=["a"], now=NOW)
    for times in (1, 2):
        end_well(turn=one(), now=NOW + times * HOUR, after=HOUR, problem="another service stood in")
    assert (one().failing_since, one().well_at) == (NOW + HOUR, NOW + 2 * HOUR)


def test_what_was_made_due_while_somebody_worked_is_not_lost() -> None:
    make_due(kind="reading", keys=["7"], at=NOW)
    held = Turn.objects.get(kind="reading")
    take()
    held.refresh_from_db()
    make_due(kind="reading", keys=["7"], at=NOW + timedelta(seconds=5))
    end_well(turn=held, now=NOW + timedelta(seconds=9), after=None)
    assert take(NOW + timedelta(seconds=10)) == ["7"]
    held.refresh_from_db()
    end_well(turn=held, now=NOW + timedelta(seconds=20), after=None)
    assert take(NOW + 100 * HOUR) == []


def test_what_was_made_due_while_somebody_failed_is_not_lost() -> None:
    arrange(kind="forecast", keys=["a"], now=NOW)
    take()
    held = one()
    make_due(kind="forecast", keys=["a"], at=NOW + timedelta(seconds=5))
    end_badly(turn=held, now=NOW + timedelta(seconds=9), problem="no answer", longest=HOUR)
    assert (one().failures, one().problem) == (1, "no answer")
    assert take(NOW + timedelta(seconds=10)) == ["a"]


@pytest.mark.parametrize("change", [datetime(2026, 3, 8, 6, 59, tzinfo=UTC), datetime(2026, 11, 1, 5, 59, tzinfo=UTC)])
def test_intervals_are_real_time_over_both_changes_of_the_clock(change: datetime) -> None:
    """Source: New York changes at 07:00 UTC on 8 March and at 06:00 UTC on 1 November 2026 (IANA tz database)."""
    arrange(kind="forecast", keys=["a"], now=change)
    end_well(turn=one(), now=change, after=HOUR)
    due = one().next_due_at
    assert due is not None
    assert HOUR * (1 - JITTER) <= due - change <= HOUR * MOST
