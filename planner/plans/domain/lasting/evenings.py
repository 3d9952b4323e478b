"""Work that follows a pour the same evening: whether the hours of office and site leave time for it at all."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta

from jobs.domain.facts import JobFacts, LinkFacts, TaskFacts
from jobs.domain.method import LinkRule
from jobs.words import sentence_for
from planner.plans.domain.timeline import EVENING_UNTIL
from planner.plans.domain.world import World

# Any day: only its hours count.
SOME_DAY = date(2026, 1, 1)


def with_evenings(world: World) -> World:
    """The world with longest waits that its days can hold.

    A wait that only a cold day makes longer sends its work into the evening of a warm one. Where the earliest pour
    leaves no time for that, the longer wait counts on every day, and a note says what to do instead.
    """
    notes: list[str] = []
    jobs = tuple(replace(job, links=tuple(_links(world, job, notes))) for job in world.jobs)
    return replace(world, jobs=jobs, notes=(*world.notes, *notes))


def _links(world: World, job: JobFacts, notes: list[str]) -> Iterator[LinkFacts]:
    by_id = {task.id: task for task in job.tasks}
    for link in job.links:
        before, after = by_id[link.before], by_id[link.after]
        rule = link.rule
        if rule.cold_below_c is None or not (before.is_open and after.is_open) or _fits(world, before, after, rule):
            yield link
            continue
        assert rule.max_hours is not None
        longest = rule.max_hours + rule.cold_hours_more
        yield replace(link, rule=replace(rule, max_hours=longest, cold_below_c=None, cold_hours_more=0.0))
        facts = {
            "job": job.name,
            "before": before.title.lower(),
            "after": after.title,
            "least": rule.min_hours,
            "most": rule.max_hours,
            "longest": longest,
            "until": f"{_until(after):%H:%M}",
        }
        notes.append(" ".join(sentence_for("waits.no_evening", facts)))


def _fits(world: World, before: TaskFacts, after: TaskFacts, rule: LinkRule) -> bool:
    opens = max(world.branch.opens, before.site.work_from or world.branch.opens)
    minutes = (before.remaining_minutes or before.work_minutes) + 60 * rule.min_hours + after.work_minutes
    return datetime.combine(SOME_DAY, opens) + timedelta(minutes=minutes) <= _until(after)


def _until(after: TaskFacts) -> datetime:
    return datetime.combine(SOME_DAY, min(EVENING_UNTIL, after.site.work_until or EVENING_UNTIL))
