"""One pool: its section, its tasks in order with what holds each, quantities, holds, bookings."""

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.domain.design import PoolDesign
from jobs.domain.facts import JobFacts
from planner.dayplans.presenters.measures import Gettext
from planner.plans.domain.world import Stay, World
from planner.web.presenters.long_section import LongSection, draw_long_section, feet_words
from planner.web.presenters.pages.pools import days_to_draw, draw_pool_strips
from planner.web.presenters.pools.amounts import Amount, amounts_of
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
from planner.web.presenters.strips import Strips

PX_PER_M = 46.0
PX_PER_DAY = 44.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolPage:
    """Context ``page`` of ``planner/pool.html``; ``section`` is ``None`` where no design is stored.

    ``over`` are the tasks finished or dropped before the first that is still open, ``tasks`` the rest.
    """

    head: PoolHead
    owner: str
    next_where: str
    section: LongSection | None
    fittings: tuple[Amount, ...]
    strips: Strips
    over: tuple[TaskLine, ...]
    tasks: tuple[TaskLine, ...]
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
    return PoolPage(
        head=head,
        owner=owner,
        next_where=f"#task-{head.next.key}" if head.next is not None else "",
        section=section,
        fittings=fittings,
        strips=draw_pool_strips(reader, job, links, days=days_to_draw(reader, job), px_per_day=PX_PER_DAY),
        over=lines[:first_open],
        tasks=lines[first_open:],
        holds=hold_lines(reader, job),
        bookings=booking_lines(reader, job),
        amounts=amounts_of(design, gettext) if design is not None else (),
    )


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
