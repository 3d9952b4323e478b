"""The water line of a pool from above, to scale, with its length and width."""

from dataclasses import dataclass

from jobs.domain.units import ft2_from_m2, ft_from_m
from planner.calculators.answering.answer import amount, feet_words
from planner.calculators.answering.pictures import PoolPlan
from planner.web.presenters.calculators.scale import WIDTH, Words
from planner.web.presenters.canvas import points, px

LEFT, RIGHT, TOP, FOOT = 12.0, 92.0, 12.0, 34.0
HIGHEST = 220.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPlan:
    """Context ``drawn`` of ``planner/calculate/plan.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    water: str
    along: str
    across: str
    length_says: Words
    width_says: Words
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_plan(picture: PoolPlan) -> DrawnPlan:
    """Place the water line on paper, one scale both ways."""
    outline = picture.basin.outline()
    xs, ys = (sorted(values) for values in zip(*outline, strict=True))
    length, width = xs[-1] - xs[0], ys[-1] - ys[0]
    scale = min((WIDTH - LEFT - RIGHT) / length, HIGHEST / width)
    right, foot = LEFT + scale * length, TOP + scale * width
    return DrawnPlan(
        template="planner/calculate/plan.html",
        title=picture.title,
        summary=f"{picture.title}: {feet_words(length)} long and {feet_words(width)} wide over all.",
        width=WIDTH,
        height=px(foot + FOOT),
        # Upwards on the drawing is to the left of somebody who looks from the shallow end.
        water=points((LEFT + scale * (x - xs[0]), foot - scale * (y - ys[0])) for x, y in outline),
        along=points(((LEFT, foot + 12), (right, foot + 12))),
        across=points(((right + 12, TOP), (right + 12, foot))),
        length_says=Words(x=px((LEFT + right) / 2), y=px(foot + 28), anchor="middle", words=feet_words(length)),
        width_says=Words(x=px(right + 18), y=px((TOP + foot) / 2 + 4), anchor="start", words=feet_words(width)),
        heads=("Water line", "Size"),
        rows=(
            ("Length over all", feet_words(length)),
            ("Width over all", feet_words(width)),
            ("Around", f"{amount(ft_from_m(picture.basin.perimeter_m), 1)} ft"),
            ("Water surface", f"{amount(ft2_from_m2(picture.basin.water_surface_m2))} ft²"),
        ),
    )
