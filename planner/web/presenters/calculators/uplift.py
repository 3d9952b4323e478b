"""Groundwater beside an empty floor slab, and the head that lifts it."""

from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import Uplift
from planner.web.presenters.calculators.scale import WIDTH, Scale, Words
from planner.web.presenters.canvas import points, px

HEIGHT = 236.0
TOP, FOOT = 28.0, 44.0
POOL_LEFT, POOL_RIGHT, WALL = 96.0, 264.0, 14.0
ARROWS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnUplift:
    """Context ``drawn`` of ``planner/calculate/uplift.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    soil: str
    hollow: str
    shell: str
    wet: tuple[str, ...]
    table_lines: tuple[str, ...]
    limit: str
    arrows: tuple[str, ...]
    head_says: Words
    limit_says: Words
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_uplift(picture: Uplift) -> DrawnUplift:
    """Place slab, water table and limit on paper, levels above the underside of the slab."""
    top_ft = 1.3 * max(picture.head_ft, picture.lifts_at_ft, 2 * picture.slab_ft)
    y = Scale(low=0.0, high=top_ft, start=HEIGHT - FOOT, end=TOP)
    under, over, head, limit = (y.at(one) for one in (0.0, picture.slab_ft, picture.head_ft, picture.lifts_at_ft))
    left, right = POOL_LEFT - WALL, POOL_RIGHT + WALL
    return DrawnUplift(
        template="planner/calculate/uplift.html",
        title=picture.title,
        summary=_summary(picture),
        width=WIDTH,
        height=HEIGHT,
        soil=points(((0, TOP), (WIDTH, TOP), (WIDTH, HEIGHT), (0, HEIGHT))),
        hollow=points(((POOL_LEFT, TOP), (POOL_RIGHT, TOP), (POOL_RIGHT, over), (POOL_LEFT, over))),
        shell=points(
            (
                (left, TOP),
                (POOL_LEFT, TOP),
                (POOL_LEFT, over),
                (POOL_RIGHT, over),
                (POOL_RIGHT, TOP),
                (right, TOP),
                (right, under),
                (left, under),
            )
        ),
        wet=(
            points(
                (
                    (0, head),
                    (left, head),
                    (left, under),
                    (right, under),
                    (right, head),
                    (WIDTH, head),
                    (WIDTH, HEIGHT),
                    (0, HEIGHT),
                )
            ),
        ),
        table_lines=(points(((0, head), (left, head))), points(((right, head), (WIDTH, head)))),
        limit=points(((left - 6, limit), (right + 6, limit))),
        arrows=tuple(_arrow(number, under, picture) for number in range(ARROWS)) if picture.head_ft > 0 else (),
        head_says=Words(x=4.0, y=px(head - 6), anchor="start", words=f"{amount(picture.head_ft, 2)} ft"),
        limit_says=Words(
            x=px(WIDTH / 2), y=px(limit - 6), anchor="middle", words=f"floats at {amount(picture.lifts_at_ft, 2)} ft"
        ),
        heads=("Level above the underside of the slab", "ft"),
        rows=(
            ("Groundwater", amount(picture.head_ft, 2)),
            ("Slab begins to float", amount(picture.lifts_at_ft, 2)),
            ("Top of the slab", amount(picture.slab_ft, 2)),
        ),
    )


def _arrow(number: int, under: float, picture: Uplift) -> str:
    """Longer as the pressure grows, half the room under the slab at the head that lifts it."""
    x = POOL_LEFT + (number + 0.5) * (POOL_RIGHT - POOL_LEFT) / ARROWS
    length = min(30.0, 8.0 + 16.0 * picture.head_ft / picture.lifts_at_ft)
    tip = under + 3
    return f"M{px(x):g} {px(tip + length):g}V{px(tip):g}m-4 6l4-6 4 6"


def _summary(picture: Uplift) -> str:
    where = "over" if picture.head_ft >= picture.lifts_at_ft else "under"
    return (
        f"{picture.title}: {amount(picture.head_ft, 2)} ft of it above the underside of an empty slab, {where} the"
        f" {amount(picture.lifts_at_ft, 2)} ft at which the slab alone floats."
    )
