"""One pool: its section, its tasks in order with what holds each, quantities, holds, bookings."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from jobs.domain.design import PoolDesign
from jobs.domain.facts import JobFacts
from planner.dayplans.presenters.measures import Gettext
from planner.plans.domain.world import Stay, World
from planner.web.presenters.long_section import LongSection, draw_long_section, feet_words
from planner.web.presenters.pools.amounts import Amount, amounts_of
from planner.web.presenters.pools.film import Film, film_of
from planner.web.presenters.pools.head import PoolHead, head_of
from planner.web.presenters.pools.lines import (
    BookingLine,
    HoldLine,
    TaskLine,
    booking_lines,
    hold_lines,
    task_lines,
)
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.shape import built_of, fitting_levels, shape_of

PX_PER_M = 46.0
# Tasks that begin later than this stand folded, unless they are few.
NEAR_DAYS, FEW = 9, 6


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolPage:
    """Context ``page`` of ``planner/pool.html``; ``section`` is ``None`` where no design is stored.

    ``over`` are the tasks finished or dropped before the first that is still open, ``tasks`` those up to the end of
    what begins within ``NEAR_DAYS``, ``later`` the rest.
    """

    head: PoolHead
    owner: str
    next_where: str
    section: LongSection | None
    fittings: tuple[Amount, ...]
    film: Film
    over: tuple[TaskLine, ...]
    tasks: tuple[TaskLine, ...]
    later: tuple[TaskLine, ...]
    later_from: str
    holds: tuple[HoldLine, ...]
    bookings: tuple[BookingLine, ...]
    amounts: tuple[Amount, ...]


def pool_page(
    world: World,
    stays: Sequence[Stay],
    job: JobFacts,
    *,
    design: PoolDesign | None,
    level_m: float | None,
    owner: str,
    links: Links,
    gettext: Gettext = str,
) -> PoolPage:
    """Everything of one job.

    Parameters
    ----------
    level_m : float, optional
        Water level the site read last [m].
    """
    reader = Reader(world, stays, gettext)
    head = head_of(reader, job)
    section, fittings = _section(reader, job, design, level_m)
    lines = task_lines(reader, job)
    first_open = next((at for at, line in enumerate(lines) if not line.over), len(lines))
    near = _near(reader, job, lines, first_open)
    later = lines[near:]
    return PoolPage(
        head=head,
        owner=owner,
        next_where=f"#task-{head.next.key}" if head.next is not None else "",
        section=section,
        fittings=fittings,
        film=film_of(reader, job, design, level_m, links),
        over=lines[:first_open],
        tasks=lines[first_open:near],
        later=later,
        later_from=min((line.iso, line.when) for line in later)[1] if later else "",
        holds=hold_lines(reader, job),
        bookings=booking_lines(reader, job),
        amounts=amounts_of(design, gettext) if design is not None else (),
    )


def _near(reader: Reader, job: JobFacts, lines: Sequence[TaskLine], first_open: int) -> int:
    """Up to where tasks are shown at once: past the last that begins soon or is not over; all where few are left."""
    until_on = reader.today + timedelta(days=NEAR_DAYS)
    by_key = {task.key: task for task in job.tasks}
    soon = first_open
    for at, line in enumerate(lines[first_open:], start=first_open + 1):
        starts_at = reader.from_at(by_key[line.key])
        if line.state in ("started", "unreported") or (starts_at is not None and reader.date_of(starts_at) <= until_on):
            soon = at
    return len(lines) if len(lines) - soon < FEW else max(soon, first_open + 1)


def _section(
    reader: Reader, job: JobFacts, design: PoolDesign | None, level_m: float | None
) -> tuple[LongSection | None, tuple[Amount, ...]]:
    if design is None:
        return None, ()
    ends = {task.id: end for task in job.tasks if (end := reader.until_at(task)) is not None}
    levels = fitting_levels(job, design, ends, reader.when, reader.gettext)
    section = draw_long_section(
        shape_of(design),
        built_of(job, design, level_m),
        fittings=levels,
        px_per_m=PX_PER_M,
        gettext=reader.gettext,
    )
    rows = tuple(
        Amount(label=one.title, words=f"{feet_words(one.level_m)}, {one.note}" if one.note else feet_words(one.level_m))
        for one in sorted(levels, key=lambda one: (-one.level_m, one.title))
    )
    return section, rows
