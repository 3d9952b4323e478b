"""Hand-overs of one pool as layers in the ground: each reaches as far as its plan needs days, one under another."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.web.presenters.canvas import px, words_width
from planner.web.presenters.pools.reader import Reader
from planner.web.presenters.pools.strata import Span, layers_of

WIDTH, LEFT, ROOM = 720.0, 4.0, 236.0
SKY, THICK, GAP, FOOT = 34.0, 24.0, 6.0, 8.0
LABEL_PX = 14.0
# What the layers are drawn as, from the branch as it is down.
GROUNDS = ("soil", "stone", "fill", "concrete")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """How far one plan reaches: ``name`` is the plan's, ``words`` the day with the difference."""

    name: str
    on: date | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerShape:
    """One plan's layer; without a ``path`` the plan hands the pool over on no day."""

    ground: str
    path: str
    label: str
    label_x: float
    label_y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolLayers:
    """Context ``layers`` of ``planner/try/layers.html``."""

    pool: str
    width: float
    height: float
    sky: float
    shapes: tuple[LayerShape, ...]
    promised_x: float | None
    promised_label_x: float
    promised: str
    promised_end: bool
    summary: str


def draw_layers(
    reader: Reader, pool: str, reached: Sequence[Reached], *, until_on: date, promised_on: date | None
) -> PoolLayers:
    """The layers of one pool between today and the last day of the page, ``until_on``."""
    days = max((until_on - reader.today).days, 1)

    def x(on: date) -> float:
        return LEFT + min(max((on - reader.today).days / days, 0.0), 1.0) * (WIDTH - LEFT - ROOM)

    shapes = []
    for at, one in enumerate(reached):
        top = SKY + GAP + at * (THICK + GAP)
        layer = layers_of([Span(from_x=LEFT, until_x=x(one.on))], top=top, thick=THICK)[0] if one.on else None
        shapes.append(
            LayerShape(
                ground=GROUNDS[at % len(GROUNDS)],
                path=layer.path if layer is not None else "",
                label=f"{one.name}: {one.words}",
                label_x=px(layer.x + layer.width + 8 if layer is not None else LEFT),
                label_y=px(top + THICK / 2 + 5),
            )
        )
    words = reader.gettext("promised {day}").format(day=reader.day(promised_on)) if promised_on is not None else ""
    at_x = x(promised_on) if promised_on is not None else None
    fits = at_x is not None and at_x + 8 + words_width(words, LABEL_PX) < WIDTH
    return PoolLayers(
        pool=pool,
        width=WIDTH,
        height=px(SKY + GAP + len(reached) * (THICK + GAP) + FOOT),
        sky=SKY,
        shapes=tuple(shapes),
        promised_x=px(at_x) if at_x is not None else None,
        promised_label_x=px((at_x or 0.0) + (8 if fits else -8)),
        promised=words,
        promised_end=not fits,
        summary="; ".join(shape.label for shape in shapes),
    )
