"""Which days of which crews somebody was told of, and whose owners would get their pool later than promised."""

from collections.abc import Mapping
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from jobs.domain.facts import JobFacts
from jobs.models import Branch
from planner.dayplans.models import DayLink, DayTold, Seen
from planner.plans.domain.world import Stay, World


def told_days(*, branch: Branch, from_on: date) -> frozenset[tuple[str, date]]:
    """Crew and date of every day plan from ``from_on`` on that was sent, that a live link opens, or that was seen."""
    found: set[tuple[str, date]] = set()
    links = DayLink.objects.filter(branch=branch, last_on__gte=from_on, revoked=False)
    for key, first_on, last_on in links.values_list("crew__key", "first_on", "last_on"):
        first = max(first_on, from_on)
        found.update((key, first + timedelta(days=at)) for at in range((last_on - first).days + 1))
    seen = Seen.objects.filter(link__branch=branch, on__gte=from_on)
    found.update(seen.values_list("link__crew__key", "on"))
    sent = DayTold.objects.filter(crew__branch=branch, on__gte=from_on)
    found.update(sent.values_list("crew__key", "on"))
    return frozenset(found)


def later_owners(world: World, before: Mapping[int, Stay], after: Mapping[int, Stay]) -> tuple[str, ...]:
    """Pools whose hand-over moves past the date their owners were promised, or further past it."""
    zone = ZoneInfo(world.branch.zone)
    return tuple(
        job.name
        for job in world.jobs
        if job.promised_on is not None
        and (ends := _last_on(job, after, zone)) is not None
        and ends > job.promised_on
        and ends > (_last_on(job, before, zone) or job.promised_on)
    )


def _last_on(job: JobFacts, stays: Mapping[int, Stay], zone: ZoneInfo) -> date | None:
    ends = [stays[task.id].end_at for task in job.until_hand_over if task.id in stays and task.is_open]
    return (max(ends) - timedelta(microseconds=1)).astimezone(zone).date() if ends else None
