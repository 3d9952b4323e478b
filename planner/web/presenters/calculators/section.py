"""A pool of a calculator as its long section, to the scale of the page."""

from dataclasses import dataclass

from jobs.domain.units import ft_from_m
from planner.calculators.answering.answer import amount, feet_words
from planner.calculators.answering.pictures import PoolSection
from planner.web.presenters.long_section import Built, FittingLevel, LongSection, draw_long_section
from planner.web.presenters.pools.shape import FITTINGS
from planner.web.presenters.profile import BuiltIn, PoolShape, built_into

# Wide enough to read a depth in, narrow enough for words beside it.
GROUND_WIDTH = 430.0
MOST_PX_PER_M = 40.0
BESIDE_M = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSection:
    """Context ``drawn`` of ``planner/calculate/section.html``."""

    template: str
    title: str
    summary: str
    section: LongSection
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_section(picture: PoolSection) -> DrawnSection:
    """The finished pool with its water, and its fittings with the hour the water is there."""
    stations = picture.basin.stations()
    shape = PoolShape(
        stations=stations,
        freeboard_m=max(picture.basin.freeboard_m, 0.12),
        deck_width_m=0.6,
        built_in=built_into(picture.basin),
    )
    built = Built(
        dig=True,
        stone=True,
        floor=True,
        walls=True,
        backfill=True,
        deck=True,
        liner=True,
        water_level_m=picture.level_m,
    )
    fittings = tuple(
        FittingLevel(
            kind=one.kind, title=FITTINGS.get(one.kind, one.kind.capitalize()), level_m=one.level_m, note=one.note
        )
        for one in picture.fittings
    )
    section = draw_long_section(
        shape, built, fittings=fittings, px_per_m=min(MOST_PX_PER_M, GROUND_WIDTH / (shape.length_m + BESIDE_M))
    )
    summary = (
        f"{feet_words(shape.length_m)} long, {feet_words(min(depth for _, depth in stations))} to"
        f" {feet_words(shape.design_level_m)} deep; water at {feet_words(picture.level_m)}."
    )
    return DrawnSection(
        template="planner/calculate/section.html",
        title=picture.title,
        summary=f"{picture.title}: {summary}",
        section=section,
        heads=("From the shallow end, ft", "Water depth, ft")
        if not fittings
        else ("Fitting", "Flange above the deepest floor", "Water there after"),
        rows=tuple((one.title, feet_words(one.level_m), one.note) for one in fittings)
        if fittings
        else (
            *((amount(ft_from_m(x), 1), amount(ft_from_m(depth), 2)) for x, depth in stations),
            *(_built(one, shape) for one in shape.built_in),
        ),
    )


def _built(one: BuiltIn, shape: PoolShape) -> tuple[str, str]:
    """Where a layer of a ledge or stair lies, and the water over it."""
    where = f"{amount(ft_from_m(one.from_m), 1)} to {amount(ft_from_m(one.until_m), 1)}"
    over = amount(ft_from_m(shape.design_level_m - one.top_m), 2)
    return (f"{where}, built in{'' if one.cut else ', beside the middle'}", over)
