"""What the promise to the owner is about."""

from dataclasses import replace

import pytest

from tests.planner.dayplans.domain.worlds import job, task

KEYS = ("start_up", "hand_over", "care_week_1")


def test_care_after_the_hand_over_keeps_no_owner_waiting() -> None:
    pool = job(*(task(key, number) for number, key in enumerate(KEYS, start=1)))
    assert [one.key for one in pool.until_hand_over] == ["hand_over"]


@pytest.mark.parametrize("dropped", [False, True])
def test_without_a_hand_over_every_task_counts_but_a_dropped_one(dropped: bool) -> None:
    first, second = task("start_up", 1), replace(task("care_week_1", 2), dropped=dropped)
    pool = job(first, second)
    assert [one.key for one in pool.until_hand_over] == ["start_up", *(() if dropped else ("care_week_1",))]
