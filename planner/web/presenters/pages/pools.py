"""Pools: every pool's long section built up to today, and the weeks ahead as strips under the sky."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from jobs.domain.design import PoolDesign
from jobs.domain.facts import JobFacts
from planner.dayplans.presenters.measures import Gettext
from planner.plans.domain.world import Stay, World
from planner.web.presenters.day_scale import DayScale
from planner.web.presenters.long_section import LongSection, draw_long_section, sheet_of
from planner.web.presenters.pools.half_days import half_days
from planner.web.presenters.pools.head import PoolHead, head_of
from planner.web.presenters.pools.links import Links
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.shape import built_of, shape_of
from planner.web.presenters.pools.work import holds_of, strips_of
from planner.web.presenters.strips import Strips, draw_strips
from planner.web.presenters.trades import LegendEntry, legend

WEEKS = (2, 3, 6)
USUAL_WEEKS = 3
PX_PER_DAY = {2: 58.0, 3: 39.0, 6: 39.0}
# One scale for every pool of the page, so that they compare by eye.
PX_PER_M = 19.0
# Room at the left for the word that marks the present moment.
MARGIN = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolCard:
    """One pool of the page; ``section`` is ``None`` where no design is stored."""

    id: int
    where: str
    head: PoolHead
    next_where: str
    section: LongSection | None
    strips: Strips


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolsPage:
    """Context ``page`` of ``planner/pools.html``."""

    weeks: int
    choices: tuple[int, ...]
    pools: tuple[PoolCard, ...]
    legend: tuple[LegendEntry, ...]
    late: int


def weeks_of(asked: str) -> int:
    """The number of weeks a visitor asked for, else the usual one.

    >>> weeks_of("6"), weeks_of("1000"), weeks_of("")
    (6, 3, 3)
    """
    return next((weeks for weeks in WEEKS if str(weeks) == asked), USUAL_WEEKS)


def pools_page(
    world: World,
    stays: Sequence[Stay],
    *,
    designs: Mapping[int, PoolDesign],
    levels_m: Mapping[int, float],
    weeks: int,
    links: Links,
    gettext: Gettext = str,
) -> PoolsPage:
    """Every open pool, the one whose next event is nearest first.

    Parameters
    ----------
    designs, levels_m : mapping
        Design and last reported water level [m] by job id.
    """
    reader = Reader(world, stays, gettext)
    jobs = [job for job in world.jobs if job.id]
    sections = {job.id: _section(reader, job, designs.get(job.id), levels_m.get(job.id)) for job in jobs}
    # One left edge for every calendar, so that a day stands under the same day.
    left = MARGIN + max((section.width for section, _ in filter(None, sections.values())), default=0.0)
    cards = [_card(reader, job, sections[job.id], weeks, left, links) for job in jobs]
    far = max((card.head.next.at for card in cards if card.head.next is not None), default=world.as_of)
    ordered = sorted(cards, key=lambda card: (card.head.next.at if card.head.next else far, card.head.name))
    drawn = [(entry.hatch, entry.title) for card in ordered for entry in card.strips.legend]
    return PoolsPage(
        weeks=weeks,
        choices=WEEKS,
        pools=tuple(ordered),
        legend=legend(drawn),
        late=sum(card.head.promise_state == "late" for card in cards),
    )


def _card(
    reader: Reader, job: JobFacts, section: tuple[LongSection, float] | None, weeks: int, left: float, links: Links
) -> PoolCard:
    head = head_of(reader, job)
    return PoolCard(
        id=job.id,
        where=links.pool(job.id),
        head=head,
        next_where=links.task(job.id, head.next.key) if head.next is not None else "",
        section=section[0] if section is not None else None,
        strips=_strips(reader, job, links, section, weeks, left),
    )


def _section(
    reader: Reader, job: JobFacts, design: PoolDesign | None, level_m: float | None
) -> tuple[LongSection, float] | None:
    """The drawing of a pool as built up to today, and how far down it the ground line lies."""
    if design is None:
        return None
    built, shape = built_of(job, design, level_m), shape_of(design)
    drawn = draw_long_section(shape, built, px_per_m=PX_PER_M, words=False, gettext=reader.gettext)
    return drawn, sheet_of(shape, PX_PER_M).ground


def _strips(
    reader: Reader, job: JobFacts, links: Links, section: tuple[LongSection, float] | None, weeks: int, left: float
) -> Strips:
    """The section, and right of it on the same ground the work from today on under the sky of its site."""
    last_at = reader.closing(reader.today + timedelta(days=7 * weeks))
    sky = half_days(
        reader.world.skies.get(job.site.id),
        reader.world.climate,
        zone=reader.zone,
        from_on=reader.today,
        days=7 * weeks,
    )
    return draw_strips(
        strips_of(reader, job, lambda task: links.task(job.id, task.key), before=last_at),
        scale=DayScale(from_on=reader.today, days=7 * weeks, zone=reader.zone, px_per_day=PX_PER_DAY[weeks], left=left),
        name=job.name,
        section=section,
        holds=holds_of(reader, job),
        sky=sky,
        now=reader.world.as_of,
        promised_at=reader.closing(job.promised_on) if job.promised_on is not None else None,
        gettext=reader.gettext,
    )
