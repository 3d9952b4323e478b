"""Which queue a task goes to, and what every task promises."""

from typing import Any

import pytest

from planner import celery
from planner.celery import HARD_LIMIT, VISIBLE_AGAIN_AFTER, app, branch_queue, broker_address, queues, route
from planner.serving import tasks


def test_a_branch_always_has_the_same_queue_and_branches_spread() -> None:
    assert route("planner.replan", (), {"branch_id": 5}, {}) == {"queue": branch_queue(5)}
    assert {branch_queue(branch) for branch in range(100)} == set(queues()) - {"shared"}
    assert route("planner.pull", (), {"turn_id": 5}, {}) == {"queue": "shared"}


def test_the_number_of_queues_is_a_setting(settings: Any) -> None:
    settings.PLANNER_BRANCH_QUEUES = 2
    assert queues() == ("shared", "branch-0", "branch-1")


@pytest.mark.parametrize(
    ("url", "address"),
    [
        ("unix:///var/lib/dry window/redis.sock", "redis+socket:///var/lib/dry%20window/redis.sock"),
        ("unix:///var/lib/dry%20window/redis.sock", "redis+socket:///var/lib/dry%20window/redis.sock"),
        ("rediss://:secret@cache.example.org:6380/2", "rediss://:secret@cache.example.org:6380/2"),
    ],
)
def test_the_broker_is_the_redis_of_the_settings(url: str, address: str) -> None:
    assert broker_address(url) == address


def ours() -> list[Any]:
    return [task for name, task in app.tasks.items() if name.startswith("planner.")]


def test_every_task_is_acknowledged_late_and_ends_before_redis_gives_it_out_again() -> None:
    assert len(ours()) >= 3
    for task in ours():
        assert (task.acks_late, task.reject_on_worker_lost, task.ignore_result) == (True, True, True), task.name
        soft, hard = task.soft_time_limit or app.conf.task_soft_time_limit, task.time_limit or app.conf.task_time_limit
        assert 0 < soft < hard < VISIBLE_AGAIN_AFTER.total_seconds(), task.name
    assert tasks.PLAN_HARD_LIMIT < VISIBLE_AGAIN_AFTER
    assert HARD_LIMIT < VISIBLE_AGAIN_AFTER


def test_only_json_is_read_and_one_message_at_a_time() -> None:
    assert app.conf.accept_content == ["json"]
    assert app.conf.task_serializer == "json"
    assert app.conf.worker_prefetch_multiplier == 1


def test_the_timer_has_one_entry_that_never_piles_up(settings: Any) -> None:
    (entry,) = celery.app.conf.beat_schedule.values()
    assert entry["task"] == tasks.tick.name
    assert entry["options"]["expires"] <= settings.PLANNER_TICK_SECONDS
