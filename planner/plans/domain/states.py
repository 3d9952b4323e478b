"""The state a page shows for a task, from facts alone: nothing is ever taken as finished because its time is past."""

from collections.abc import Mapping
from datetime import datetime
from typing import Literal

from jobs.domain.facts import JobFacts, TaskFacts
from planner.plans.domain.assemble import bridged_links
from planner.plans.domain.world import Stay

TaskState = Literal["waiting", "clear", "started", "finished", "dropped", "unreported"]
Silence = Literal["began", "finished"]


def state_of(task: TaskFacts, stay: Stay | None, *, gates_open: bool, as_of: datetime) -> TaskState:
    """The state of one task.

    Parameters
    ----------
    task : TaskFacts
        What was reported of it.
    stay : Stay or None
        Where the plan in force has it; ``None`` where it has it nowhere.
    gates_open : bool
        Whether every gate of the task is open, holds passed and bookings confirmed among them.
    as_of : datetime
        The present moment.

    Returns
    -------
    TaskState
        What was reported wins: ``finished``, then ``dropped``. Once the planned end is past without a word of the
        end, started or not: ``unreported``. Else ``started``, ``clear`` or ``waiting``.
    """
    if task.finished_at is not None:
        return "finished"
    if task.dropped:
        return "dropped"
    if stay is not None and stay.end_at <= as_of:
        return "unreported"
    if task.started_at is not None:
        return "started"
    return "clear" if gates_open else "waiting"


def silence_of(task: TaskFacts, stay: Stay | None, *, as_of: datetime, today_from: datetime) -> Silence | None:
    """What the site has to be asked: whether the work ``finished``, or whether it ``began``; ``None``: nothing.

    Parameters
    ----------
    task, stay, as_of :
        As for ``state_of``.
    today_from : datetime
        Local midnight of today: a start earlier today may still be reported, one of an earlier day is asked for.
    """
    if not task.is_open or stay is None:
        return None
    if stay.end_at <= as_of:
        return "finished"
    if task.started_at is None and stay.start_at < today_from:
        return "began"
    return None


def work_before_is_done(job: JobFacts) -> Mapping[int, bool]:
    """By task id, whether everything that must come before it was reported finished; dropped work is passed over."""
    finished = {task.id for task in job.tasks if task.finished_at is not None}
    done = {task.id: True for task in job.tasks}
    for link in bridged_links(job):
        if link.before not in finished:
            done[link.after] = False
    return done
