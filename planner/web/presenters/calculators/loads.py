"""Trucks in a row, each filled as far as it is loaded."""

from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import Loads
from planner.web.presenters.calculators.scale import WIDTH, Words
from planner.web.presenters.canvas import px

A_ROW, ROW = 5, 74.0
STEP = WIDTH / A_ROW
DRUM_WIDTH, DRUM_HEIGHT = 40.0, 26.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Truck:
    """One truck: where it stands, how high its drum is filled, what it brings."""

    x: float
    y: float
    fill_y: float
    fill_height: float
    says: Words


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLoads:
    """Context ``drawn`` of ``planner/calculate/loads.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    drum_width: float
    drum_height: float
    trucks: tuple[Truck, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_loads(loads: Loads) -> DrawnLoads:
    """Place the trucks on paper, five in a row."""
    rows = max(1, -(-len(loads.loads) // A_ROW))
    return DrawnLoads(
        template="planner/calculate/loads.html",
        title=loads.title,
        summary=_summary(loads),
        width=WIDTH,
        height=px(ROW * rows),
        drum_width=DRUM_WIDTH,
        drum_height=DRUM_HEIGHT,
        trucks=tuple(_truck(number, load, loads) for number, load in enumerate(loads.loads)),
        heads=("Truck", f"Brings, {loads.unit}"),
        rows=tuple((str(number), amount(load, 2)) for number, load in enumerate(loads.loads, start=1)),
    )


def _truck(number: int, load: float, loads: Loads) -> Truck:
    row, column = divmod(number, A_ROW)
    x, y = column * STEP + 4, row * ROW + 8
    filled = DRUM_HEIGHT * load / loads.most
    return Truck(
        x=px(x),
        y=px(y),
        fill_y=px(y + DRUM_HEIGHT - filled),
        fill_height=px(filled),
        says=Words(x=px(x + 30), y=px(y + 58), anchor="middle", words=f"{amount(load, 2)} {loads.unit}"),
    )


def _summary(loads: Loads) -> str:
    count = len(loads.loads)
    said = f"{count} truck{'' if count == 1 else 's'} of at most {amount(loads.most, 2)} {loads.unit}"
    return (
        f"{loads.title}: {said}; the last brings {amount(loads.loads[-1], 2)} {loads.unit}."
        if count
        else f"{loads.title}."
    )
