"""The Celery application: ``celery -A planner.celery worker``, ``celery -A planner.celery beat``.

Messages only carry and hurry: what is due stands in rows, so a lost or late message costs one tick and a repeated
one changes nothing. A branch's work goes to a queue by its number, so that workers can share out the branches.
"""

import os
from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import Any
from urllib.parse import quote, unquote, urlsplit

from celery import Celery
from kombu import Exchange, Queue

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "planner.settings.local")

from django.conf import settings

SHARED_QUEUE = "shared"
# Longer than any task may run (tasks.py), so that Redis never hands out a message that is still being worked on.
VISIBLE_AGAIN_AFTER = timedelta(hours=1)
SOFT_LIMIT = timedelta(minutes=4)
HARD_LIMIT = timedelta(minutes=5)


def branch_queue(branch_id: int) -> str:
    """The queue of a branch's work."""
    return f"branch-{branch_id % settings.PLANNER_BRANCH_QUEUES}"


def route(
    name: str, args: Sequence[Any], kwargs: Mapping[str, Any], options: Mapping[str, Any], **_: Any
) -> dict[str, str]:
    """Send a task that names a branch to the branch's queue, any other to the shared one."""
    branch_id = (kwargs or {}).get("branch_id")
    return {"queue": SHARED_QUEUE if branch_id is None else branch_queue(branch_id)}


def broker_address(redis_url: str) -> str:
    """A Redis address as the broker writes it.

    >>> broker_address("unix:///srv/dry window/redis.sock")
    'redis+socket:///srv/dry%20window/redis.sock'
    >>> broker_address("redis://localhost:6379/3")
    'redis://localhost:6379/3'
    """
    if not redis_url.startswith("unix://"):
        return redis_url
    found = urlsplit(redis_url)
    return f"redis+socket://{quote(unquote(found.path))}" + (f"?{found.query}" if found.query else "")


def queues() -> tuple[str, ...]:
    """Every queue there is."""
    return (SHARED_QUEUE, *(branch_queue(at) for at in range(settings.PLANNER_BRANCH_QUEUES)))


app = Celery("planner")
app.conf.update(
    broker_url=broker_address(settings.PLANNER_REDIS_URL),
    broker_connection_retry_on_startup=True,
    broker_connection_max_retries=None,
    broker_transport_options={
        "visibility_timeout": int(VISIBLE_AGAIN_AFTER.total_seconds()),
        "socket_timeout": 30,
        "socket_connect_timeout": 5,
        "retry_on_timeout": True,
    },
    accept_content=["json"],
    task_serializer="json",
    result_serializer="json",
    task_ignore_result=True,
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    task_soft_time_limit=SOFT_LIMIT.total_seconds(),
    task_time_limit=HARD_LIMIT.total_seconds(),
    task_queues=tuple(Queue(name, Exchange(name), routing_key=name) for name in queues()),
    task_default_queue=SHARED_QUEUE,
    task_create_missing_queues=False,
    task_routes=(route,),
    # A sender must not stand waiting for a Redis that is away: the rows wait instead.
    task_publish_retry_policy={"max_retries": 1, "interval_start": 0.0, "interval_step": 0.2, "interval_max": 0.2},
    worker_prefetch_multiplier=1,
    worker_max_tasks_per_child=200,
    worker_send_task_events=False,
    worker_cancel_long_running_tasks_on_connection_loss=False,
    enable_utc=True,
    timezone="UTC",
    imports=("planner.serving.tasks", "planner.serving.leash"),
    beat_schedule={
        "tick": {
            "task": "planner.tick",
            "schedule": timedelta(seconds=settings.PLANNER_TICK_SECONDS),
            "options": {"expires": settings.PLANNER_TICK_SECONDS},
        }
    },
)
