"""How sure a pool's hand-over is: dates by share of the weathers, what drives it, and whose promise it puts at risk."""

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.domain.facts import JobFacts
from planner.plans.outcomes.spread import HandOver
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader

SHARES = (0.1, 0.5, 0.8, 0.9)
# A promise that fewer weathers keep is named on Today.
SAFE_SHARE = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadRow:
    """One share of the weathers, the date by which they have the pool handed over, and that date beside the plan's."""

    share: str
    by: str
    beside: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadView:
    """Context ``spread`` of ``planner/spread/pool.html``."""

    line: str
    promise: str
    rows: tuple[SpreadRow, ...]
    waits: tuple[tuple[str, str], ...]
    weathers: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsure:
    """A pool whose promise fewer than four weathers in five keep."""

    name: str
    where: str
    words: str


def spread_view(reader: Reader, job: JobFacts, found: Sequence[HandOver]) -> SpreadView | None:
    """The spread of one pool; ``None`` where none was reckoned."""
    gettext = reader.gettext
    mine = next((one for one in found if one.job_id == job.id), None)
    if mine is None:
        return None
    rows = tuple(_row(reader, mine, share) for share in SHARES)
    said = ", ".join(gettext("{share} by {day}").format(share=row.share, day=row.by) for row in rows)
    driver = gettext(", driven by: {task}").format(task=mine.driver) if mine.driver else ""
    return SpreadView(
        line=gettext("Hand-over: {said}{driver}.").format(said=said, driver=driver),
        promise=_promise(reader, job, mine),
        rows=rows,
        waits=tuple(
            (title, gettext("{days:.1f} days").format(days=days / len(mine.days))) for title, days in mine.waits[:5]
        ),
        weathers=len(mine.days),
    )


def unsure_pools(reader: Reader, found: Sequence[HandOver], links: Links) -> tuple[Unsure, ...]:
    """Pools planned in time whose promise fewer than four weathers in five keep, the least sure first."""
    by_job = {one.job_id: one for one in found}
    unsure = []
    for job in reader.world.jobs:
        mine = by_job.get(job.id)
        if mine is None or job.promised_on is None or mine.planned_on > job.promised_on:
            continue
        share = mine.share_by(job.promised_on)
        if share < SAFE_SHARE:
            unsure.append((share, Unsure(name=job.name, where=links.pool(job.id), words=_promise(reader, job, mine))))
    return tuple(one for _, one in sorted(unsure, key=lambda one: (one[0], one[1].name)))


def _row(reader: Reader, mine: HandOver, share: float) -> SpreadRow:
    gettext = reader.gettext
    on = mine.by(share)
    days = (on - mine.planned_on).days if on is not None else None
    if days is None:
        beside = gettext("beyond the days looked at")
    elif days == 0:
        beside = gettext("as planned")
    elif days < 0:
        beside = gettext("{days} days before the plan's date").format(days=-days)
    else:
        beside = gettext("{days} days after the plan's date").format(days=days)
    return SpreadRow(
        share=f"{share:.0%}".replace("%", " %"),
        by=reader.date_words(on) if on is not None else gettext("later still"),
        beside=beside,
    )


def _promise(reader: Reader, job: JobFacts, mine: HandOver) -> str:
    """How many of the weathers keep the promise; empty where no date is promised."""
    if job.promised_on is None:
        return ""
    said = reader.gettext("{share} of the weathers keep the promised {day}, {safe} of them have it by {by}")
    by = mine.by(SAFE_SHARE)
    return said.format(
        share=f"{mine.share_by(job.promised_on):.0%}".replace("%", " %"),
        day=reader.date_words(job.promised_on),
        safe="80 %",
        by=reader.date_words(by) if by is not None else reader.gettext("no day looked at"),
    )
