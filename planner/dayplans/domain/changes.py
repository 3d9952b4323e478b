"""What changed for a crew since it was last told, in words, over the day and the working days after it."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from planner.dayplans.domain.day import Day, place_of
from planner.plans.domain.world import Stay


def changed_since(day: Day, told: Sequence[Stay], until_on: date) -> tuple[str, ...]:
    """One sentence for each task of the crew that came, went or moved between ``day.on`` and ``until_on``.

    Nothing where the crew was never told a plan; finished work is no change.
    """
    if day.plan.told_number is None:
        return ()
    before = {stay.task: stay for stay in told}
    concerned = [
        task
        for task in {**before, **day.stays}
        if any(_is_near(day, stays.get(task), until_on) for stays in (before, day.stays))
    ]
    concerned.sort(key=lambda task: ((day.stays.get(task) or before[task]).start_at, task))
    return tuple(words for task in concerned for words in _said(day, task, before))


def _is_near(day: Day, stay: Stay | None, until_on: date) -> bool:
    if stay is None or day.crew.key not in stay.crews:
        return False
    return day.date_of(stay.start_at) <= until_on and day.date_of(stay.end_at) >= day.on


def _said(day: Day, task_id: int, before: Mapping[int, Stay]) -> Iterator[str]:
    if task_id not in day.tasks:
        return
    job, task = day.tasks[task_id]
    if task.finished_at is not None:
        return
    what = f"{place_of(job, task)}, {task.title}"
    told, now = before.get(task_id), day.stays.get(task_id)
    was_ours = told is not None and day.crew.key in told.crews
    if now is None or task.dropped:
        yield f"{what}: no longer planned."
    elif day.crew.key not in now.crews:
        others = " and ".join(day.crew_names(now.crews)) or "nobody"
        yield f"{what}: not yours any more; {others} does it from {day.said(now.start_at)}."
    elif told is None or not was_ours:
        yield f"{what}: new for you, {day.said(now.start_at)} to {day.said(now.end_at)}."
    elif now.start_at != told.start_at:
        yield f"{what}: starts {day.said(now.start_at)}, not {day.said(told.start_at)}."
    elif now.end_at != told.end_at:
        yield f"{what}: ends {day.said(now.end_at)}, not {day.said(told.end_at)}."
    elif set(now.crews) != set(told.crews):
        with_whom = " and ".join(day.crew_names([key for key in now.crews if key != day.crew.key]))
        yield f"{what}: now together with {with_whom}." if with_whom else f"{what}: now by your crew alone."
    if told is not None and now is not None and was_ours and day.crew.key in now.crews and task.started_at is None:
        yield from _prepared_said(what, told, now)


def _prepared_said(what: str, told: Stay, now: Stay) -> Iterator[str]:
    """What is to be prepared where it was something else before, or nothing."""
    before, after = (one.prepared.title if one.prepared is not None else "" for one in (told, now))
    if after and after != before:
        yield f"{what}: prepare {after}" + (f", not {before}." if before else ".")
    elif before and not after:
        yield f"{what}: not needed any more: {before}."
