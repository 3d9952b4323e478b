"""Every Celery task: thin ways in. What is due stands in rows; a message that is lost waits for the next tick.

The tick is the one entry of the timer. Nothing is queued for later than the next ticks, and every message expires
before its like could pile up, so an outage leaves no backlog. Turns wait in real time, plans and weather have the time
of ``planner.clock.now``; see ``turns``.
"""

import logging
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from celery import Task
from celery.exceptions import SoftTimeLimitExceeded
from celery.signals import worker_ready
from django.conf import settings
from kombu.exceptions import OperationalError as BrokerAwayError
from redis.exceptions import RedisError

from crews.services.delivery import deliver_due
from planner import clock
from planner.celery import HARD_LIMIT, SOFT_LIMIT, app
from planner.serving import rounds
from planner.serving.locks import held
from planner.serving.models import Turn
from planner.serving.pulls import pull_turn
from planner.serving.turns import is_held

log = logging.getLogger(__name__)
# Cells of a branch come in together: one reading then serves them all.
SETTLE = timedelta(seconds=3)
PLAN_SOFT_LIMIT = timedelta(minutes=20)
PLAN_HARD_LIMIT = timedelta(minutes=25)
AFTER_THE_LIMIT = timedelta(minutes=1)
LEAST_LEASE = timedelta(seconds=20)
LEAST_WAIT = timedelta(seconds=10)

Message = tuple["Task[Any, Any]", timedelta, Mapping[str, int | str]]


def tick_span() -> timedelta:
    return timedelta(seconds=settings.PLANNER_TICK_SECONDS)


def lease() -> timedelta:
    """How long a taken turn waits for its end before it is due again, and its message for a worker."""
    return max(2 * tick_span(), LEAST_LEASE)


def soon() -> timedelta:
    """How long a message waits for a worker, where the next tick would find again what it is for."""
    return max(tick_span(), LEAST_WAIT)


def send(task: "Task[Any, Any]", expires: timedelta, kwargs: Mapping[str, int | str], *, after_s: float = 0.0) -> bool:
    """Queue a task; false where Redis is away: what it was for still stands in its rows."""
    try:
        task.apply_async(kwargs=dict(kwargs), countdown=after_s or None, expires=after_s + expires.total_seconds())
    except (BrokerAwayError, RedisError, OSError) as away:
        log.warning("Redis is away (%s): %s waits for a later tick.", away, task.name)
        return False
    return True


@app.task(name="planner.tick", soft_time_limit=30, time_limit=45)
def tick() -> None:
    """Look for what is due and queue it."""
    due = rounds.look(now=clock.now(), running=clock.running(), passing=clock.passing(), lease=lease())
    for task, expires, kwargs in _messages(due):
        if not send(task, expires, kwargs):
            # Where one message cannot be queued, none can.
            break


def _messages(due: rounds.Due) -> Iterator[Message]:
    by_kind = {Turn.Kind.HOURLY.value: hourly, Turn.Kind.UPKEEP.value: upkeep, Turn.Kind.SPREAD.value: spread}
    for turn in due.turns:
        if turn.kind == Turn.Kind.READING:
            yield read_forecast, lease(), {"branch_id": int(turn.key)}
        elif turn.kind in by_kind:
            yield by_kind[turn.kind], lease(), {"turn_id": turn.id}
        else:
            yield pull, lease(), {"turn_id": turn.id, "until": turn.until.isoformat()}
    for branch_id in due.to_plan:
        yield replan, soon(), {"branch_id": branch_id}
    for branch_id in due.to_judge:
        yield judge, soon(), {"branch_id": branch_id}
    if due.to_send:
        yield deliver, soon(), {}


@app.task(name="planner.pull")
def pull(*, turn_id: int, until: str) -> None:
    """Pull one map cell, and let every branch with sites in it read what is new.

    A message that waited longer than its turn was held for is too late: the turn was taken again, or ended.
    """
    with held(f"turn:{turn_id}", lasts=HARD_LIMIT + AFTER_THE_LIMIT) as mine:
        if not mine or not is_held(turn_id=turn_id, until=datetime.fromisoformat(until)):
            return
        try:
            branches = pull_turn(turn_id=turn_id, now=clock.now(), running=clock.running())
        except SoftTimeLimitExceeded:
            rounds.put_off(turn_id=turn_id, running=clock.running(), took=SOFT_LIMIT)
            return
        for branch_id in sorted(branches):
            send(read_forecast, lease(), {"branch_id": branch_id}, after_s=SETTLE.total_seconds())


@app.task(name="planner.read_forecast")
def read_forecast(*, branch_id: int) -> None:
    """Compare a branch's plan with what is new in the sky over it; then plan and judge."""
    with held(f"reading:{branch_id}", lasts=HARD_LIMIT + AFTER_THE_LIMIT) as mine:
        if mine and rounds.read_new_forecast(branch_id=branch_id, now=clock.now(), running=clock.running()):
            send(replan, soon(), {"branch_id": branch_id})
            send(judge, soon(), {"branch_id": branch_id})


@app.task(
    name="planner.replan",
    soft_time_limit=PLAN_SOFT_LIMIT.total_seconds(),
    time_limit=PLAN_HARD_LIMIT.total_seconds(),
)
def replan(*, branch_id: int) -> None:
    """Answer what asks for another plan of a branch."""
    with held(f"plan:{branch_id}", lasts=PLAN_HARD_LIMIT + AFTER_THE_LIMIT) as mine:
        try:
            done = rounds.plan_again(branch_id=branch_id, now=clock.now()) if mine else None
        except SoftTimeLimitExceeded:
            log.warning(
                "Branch %s: planning took longer than %s. What asked for it stays open.", branch_id, PLAN_SOFT_LIMIT
            )
            return
    if done is not None:
        log.info("Branch %s: %s. %s", branch_id, done.outcome, done.says)
        send(judge, soon(), {"branch_id": branch_id})


@app.task(name="planner.judge")
def judge(*, branch_id: int) -> None:
    """Judge what the sky means for a branch, and warn."""
    with held(f"watch:{branch_id}", lasts=HARD_LIMIT + AFTER_THE_LIMIT) as mine:
        if mine:
            rounds.judge_again(branch_id=branch_id, now=clock.now())
            send(deliver, soon(), {})


@app.task(name="planner.deliver")
def deliver() -> None:
    """Send what the outbox holds; each message is claimed by its row, so any number may send at once."""
    deliver_due(now=clock.passing())


@app.task(name="planner.hourly")
def hourly(*, turn_id: int) -> None:
    """What time alone makes due in a branch."""
    rounds.hourly_round(turn_id=turn_id, now=clock.now(), running=clock.running())


@app.task(name="planner.upkeep")
def upkeep(*, turn_id: int) -> None:
    """Once a day: let go of what nobody can ask about any more."""
    rounds.daily_upkeep(turn_id=turn_id, now=clock.now(), running=clock.running())


@app.task(name="planner.spread")
def spread(*, turn_id: int) -> None:
    """Reckon at the spread of a branch's hand-overs for a short while; what is left comes round with a later tick.

    One branch at a time, so that pulls have the other workers. The lock is that of all branches; a branch that finds
    it taken is due again when its lease ends.
    """
    with held("spread", lasts=HARD_LIMIT + AFTER_THE_LIMIT) as mine:
        if not mine:
            return
        try:
            rounds.spread_again(turn_id=turn_id, now=clock.now(), running=clock.running())
        except SoftTimeLimitExceeded:
            rounds.put_off(turn_id=turn_id, running=clock.running(), took=SOFT_LIMIT)


@worker_ready.connect
def _look_at_once(**_: Any) -> None:
    send(tick, tick_span(), {})
