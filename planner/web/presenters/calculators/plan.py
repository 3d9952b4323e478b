"""The water line of a pool from above, to scale, with its length and width."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jobs.domain.shapes.ring import ring_of
from jobs.domain.shapes.standing import standing
from jobs.domain.units import ft2_from_m2, ft_from_m, gallons_from_m3
from planner.calculators.answering.answer import amount, built_words, feet_words
from planner.calculators.answering.pictures import PoolPlan
from planner.web.presenters.calculators.scale import WIDTH, Words
from planner.web.presenters.canvas import points, px

LEFT, RIGHT, TOP, FOOT = 12.0, 92.0, 12.0, 34.0
HIGHEST = 220.0
CORNER = 9.0
# A corner sharper than this is cut off where the line is moved outwards: nobody builds its point.
LONGEST_MITRE = 2.0
KINDS = ("deck", "coping")

Place = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnRing:
    """A ring round the water: ``kind`` names its fill."""

    kind: str
    points: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPlan:
    """Context ``drawn`` of ``planner/calculate/plan.html``.

    ``solids`` are the layers of ledges and stairs, ``corners`` squares over corners that are formed.
    """

    template: str
    title: str
    summary: str
    width: float
    height: float
    rings: tuple[DrawnRing, ...]
    water: str
    solids: tuple[str, ...]
    corners: tuple[str, ...]
    along: str
    across: str
    length_says: Words
    width_says: Words
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Metres of the plan to places on the drawing."""

    x_m: float
    y_m: float
    scale: float
    foot: float

    def at(self, place: Place) -> Place:
        # Upwards on the drawing is to the left of somebody who looks from the shallow end.
        return LEFT + self.scale * (place[0] - self.x_m), self.foot - self.scale * (place[1] - self.y_m)

    def line(self, of: Sequence[Place]) -> str:
        return points(self.at(place) for place in of)


def draw_plan(picture: PoolPlan) -> DrawnPlan:
    """Place the water line on paper, one scale both ways, with what goes round it."""
    outline = picture.basin.outline()
    xs, ys = zip(*outline, strict=True)
    length, width = max(xs) - min(xs), max(ys) - min(ys)
    beyond = max((by for _, by in picture.rings), default=0.0)
    scale = min((WIDTH - LEFT - RIGHT) / (length + 2 * beyond), HIGHEST / (width + 2 * beyond))
    foot = TOP + scale * (width + 2 * beyond)
    paper = Paper(x_m=min(xs) - beyond, y_m=min(ys) - beyond, scale=scale, foot=foot)
    (left, low), (right, high) = paper.at((min(xs), min(ys))), paper.at((max(xs), max(ys)))
    edge = LEFT + scale * (length + 2 * beyond)
    return DrawnPlan(
        template="planner/calculate/plan.html",
        title=picture.title,
        summary=f"{picture.title}: {feet_words(length)} long and {feet_words(width)} wide over all.",
        width=WIDTH,
        height=px(foot + FOOT),
        rings=tuple(_rings(picture, outline, paper)),
        water=paper.line(outline),
        solids=tuple(paper.line(plan) for one in standing(picture.basin) for plan in one.plans),
        corners=tuple(_corners(outline, paper)) if picture.corners else (),
        along=points(((left, foot + 12), (right, foot + 12))),
        across=points(((edge + 12, high), (edge + 12, low))),
        length_says=Words(x=px((left + right) / 2), y=px(foot + 28), anchor="middle", words=feet_words(length)),
        width_says=Words(x=px(edge + 18), y=px((low + high) / 2 + 4), anchor="start", words=feet_words(width)),
        heads=("Water line", "Size"),
        rows=tuple(_rows(picture, length, width)),
    )


def _rows(picture: PoolPlan, length: float, width: float) -> Iterator[tuple[str, ...]]:
    yield ("Length over all", feet_words(length))
    yield ("Width over all", feet_words(width))
    yield ("Around", f"{amount(ft_from_m(picture.basin.perimeter_m), 1)} ft")
    yield ("Water surface", f"{amount(ft2_from_m2(picture.basin.water_surface_m2))} ft²")
    for one in standing(picture.basin):
        yield (built_words(one), f"takes {amount(gallons_from_m3(one.volume_m3))} gal")
    for label, by in picture.rings:
        yield (f"Outer edge of the {label.lower()}", f"{amount(ft_from_m(picture.basin.offset_length_m(by)), 1)} ft")
    if picture.corners:
        turns = [one.turn for one in ring_of([(x, y, 0.0) for x, y in picture.basin.outline()]) if one.formed]
        yield ("Corners out", str(sum(turn > 0 for turn in turns)))
        yield ("Corners in", str(sum(turn < 0 for turn in turns)))


def _rings(picture: PoolPlan, outline: Sequence[Place], paper: Paper) -> Iterator[DrawnRing]:
    """The farthest first, so that the nearer ones lie over it."""
    for at, (label, by) in sorted(enumerate(picture.rings), key=lambda one: -one[1][1]):
        yield DrawnRing(
            kind=KINDS[-1 - min(at, len(KINDS) - 1)], points=paper.line(tuple(grown(outline, by))), label=label
        )


def _corners(outline: Sequence[Place], paper: Paper) -> Iterator[str]:
    for one in ring_of([(x, y, 0.0) for x, y in outline]):
        if one.formed:
            x, y = paper.at((one.x_m, one.y_m))
            half = CORNER / 2
            yield points(((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)))


def grown(outline: Sequence[Place], by_m: float) -> Iterator[Place]:
    """A ring moved outwards with square corners, as it is drawn; the ring runs counter-clockwise.

    >>> list(grown(((0, 0), (4, 0), (4, 2), (0, 2)), 1.0))
    [(-1.0, -1.0), (5.0, -1.0), (5.0, 3.0), (-1.0, 3.0)]
    """
    kept = [place for at, place in enumerate(outline) if math.dist(place, outline[at - 1]) > 1e-9]
    for at, (x, y) in enumerate(kept):
        (x0, y0), (x1, y1) = kept[at - 1], kept[(at + 1) % len(kept)]
        before, after = math.dist((x, y), (x0, y0)), math.dist((x, y), (x1, y1))
        # The outer sides of both edges, and the way to where they meet.
        out_x, out_y = (y - y0) / before + (y1 - y) / after, (x0 - x) / before + (x - x1) / after
        reach = by_m * min(2 / max(out_x**2 + out_y**2, 1e-9), LONGEST_MITRE)
        yield round(x + reach * out_x, 9), round(y + reach * out_y, 9)
