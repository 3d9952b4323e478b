"""Bars both ways over a rectangle, from above and to scale."""

from collections.abc import Iterator
from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import Mesh
from planner.web.presenters.calculators.scale import WIDTH, Words
from planner.web.presenters.canvas import points, px

LEFT, RIGHT, TOP, FOOT = 12.0, 92.0, 12.0, 30.0
HIGHEST = 200.0
# Closer than this bars run into each other on paper.
LEAST_APART = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnMesh:
    """Context ``drawn`` of ``planner/calculate/mesh.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    face: str
    bars: tuple[str, ...]
    along_says: Words
    across_says: Words
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_mesh(picture: Mesh) -> DrawnMesh:
    """Place the mat on paper; where bars would run into each other, fewer are drawn and the words say how many."""
    scale = min((WIDTH - LEFT - RIGHT) / picture.length_ft, HIGHEST / picture.width_ft)
    right, foot = LEFT + scale * picture.length_ft, TOP + scale * picture.width_ft
    along = tuple(points(((LEFT, y), (right, y))) for y in _places(TOP, foot, picture.along))
    across = tuple(points(((x, TOP), (x, foot))) for x in _places(LEFT, right, picture.across))
    return DrawnMesh(
        template="planner/calculate/mesh.html",
        title=picture.title,
        summary=f"{picture.title}: {picture.along} bars along and {picture.across} across.",
        width=WIDTH,
        height=px(foot + FOOT),
        face=points(((LEFT, TOP), (right, TOP), (right, foot), (LEFT, foot))),
        bars=(*along, *across),
        along_says=Words(x=px(right + 8), y=px((TOP + foot) / 2 + 4), anchor="start", words=f"{picture.along} along"),
        across_says=Words(x=LEFT, y=px(foot + 20), anchor="start", words=f"{picture.across} across"),
        heads=("Bars", "How many"),
        rows=(
            (f"Along {amount(picture.length_ft, 1)} ft", str(picture.along)),
            (f"Across {amount(picture.width_ft, 1)} ft", str(picture.across)),
        ),
    )


def _places(start: float, end: float, count: int) -> Iterator[float]:
    shown = min(count, int((end - start) / LEAST_APART) + 1)
    for number in range(shown):
        yield start + (end - start) * number / max(shown - 1, 1)
