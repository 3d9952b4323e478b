"""A quantity against another, with what must be reached and when it is."""

from collections.abc import Iterator
from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import Curve, Mark, Series
from planner.web.presenters.calculators.scale import WIDTH, Scale, Tick, Words, ticks
from planner.web.presenters.canvas import points, px, words_width

HEIGHT = 268.0
LEFT, RIGHT, TOP, FOOT = 46.0, 14.0, 26.0, 46.0
LABEL_STEP = 15.0
# Bold words of 13 px run about as wide as plain ones of this.
BOLD = 14.0
STROKES = ("answer", "beside")


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLine:
    """A line, its words for the key under the picture, and how it is stroked."""

    label: str
    points: str
    stroke: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnMark:
    """A named point with the line down to its axis."""

    x: float
    y: float
    drop: str
    label: Words


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnCurve:
    """Context ``drawn`` of ``planner/calculate/curve.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    left: float
    right: float
    top: float
    foot: float
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    x_label: str
    y_label: str
    lines: tuple[DrawnLine, ...]
    threshold_y: float | None
    threshold: Words | None
    marks: tuple[DrawnMark, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_curve(curve: Curve) -> DrawnCurve:
    """Place a curve on paper; its table holds the named points and some of every line."""
    x = Scale(low=curve.x.low, high=curve.x.high, start=LEFT, end=WIDTH - RIGHT)
    y = Scale(low=curve.y.low, high=curve.y.high, start=HEIGHT - FOOT, end=TOP)
    threshold = curve.threshold
    return DrawnCurve(
        template="planner/calculate/curve.html",
        title=curve.title,
        summary=_summary(curve),
        width=WIDTH,
        height=HEIGHT,
        left=LEFT,
        right=px(WIDTH - RIGHT),
        top=TOP,
        foot=px(HEIGHT - FOOT),
        x_ticks=ticks(x),
        y_ticks=ticks(y),
        x_label=_axis_words(curve.x.label, curve.x.unit),
        y_label=_axis_words(curve.y.label, curve.y.unit),
        lines=tuple(
            DrawnLine(
                label=one.label,
                points=points((x.at(a), y.at(b)) for a, b in _inside(one, curve)),
                stroke=STROKES[min(number, len(STROKES) - 1)],
            )
            for number, one in enumerate(curve.series)
        ),
        threshold_y=y.at(threshold.at) if threshold else None,
        threshold=Words(x=px(LEFT + 6), y=px(y.at(threshold.at) - 6), anchor="start", words=threshold.label)
        if threshold
        else None,
        marks=tuple(_marks(curve, x, y)),
        heads=(_axis_words(curve.x.label, curve.x.unit), *(f"{one.label}, {curve.y.unit}" for one in curve.series)),
        rows=tuple(_rows(curve)),
    )


def _axis_words(label: str, unit: str) -> str:
    return label if not unit or (unit == "h" and "ours" in label) or unit == "d" else f"{label}, {unit}"


def _inside(one: Series, curve: Curve) -> Iterator[tuple[float, float]]:
    for a, b in one.points:
        if curve.x.low <= a <= curve.x.high:
            yield a, min(max(b, curve.y.low), curve.y.high)


def _marks(curve: Curve, x: Scale, y: Scale) -> Iterator[DrawnMark]:
    """Named points from the lowest up; a label never stands on the one below it."""
    taken = HEIGHT
    for mark in sorted(curve.marks, key=lambda one: one.at[1]):
        place_x, place_y = x.at(mark.at[0]), y.at(mark.at[1])
        label = _label(curve, mark, place_x, place_y, taken)
        taken = label.y
        yield DrawnMark(x=place_x, y=place_y, drop=points(((place_x, place_y), (place_x, HEIGHT - FOOT))), label=label)


def _label(curve: Curve, mark: Mark, x: float, y: float, below: float) -> Words:
    """Words where the picture is empty: above a rising line to the left, above a falling one to the right.

    Where a level must be reached they stand half way down to the axis, beside the line that says when.
    """
    width = words_width(mark.label, BOLD)
    fits_left, fits_right = x - 9 - width > LEFT + 4, x + 9 + width < WIDTH
    line = curve.series[0].points
    rises = line[-1][1] > line[0][1]
    left = fits_left if rises and curve.threshold is None else not fits_right
    if curve.threshold is not None:
        wanted = (y + HEIGHT - FOOT) / 2
    else:
        wanted = y + 4 if left and rises else y - 9
    return Words(
        x=px(x - 9 if left else x + 9),
        y=px(max(min(wanted, below - LABEL_STEP), TOP - 4)),
        anchor="end" if left else "start",
        words=mark.label,
    )


def _rows(curve: Curve) -> Iterator[tuple[str, ...]]:
    decimals = 0 if curve.y.high >= 50 else 2
    for place in curve.table:
        yield (_x_words(place, curve), *(_y_words(one, place, decimals) for one in curve.series))


def _x_words(value: float, curve: Curve) -> str:
    return amount(value, 0 if float(value).is_integer() or curve.x.high >= 100 else 1)


def _y_words(one: Series, place: float, decimals: int) -> str:
    for (a, b), (c, d) in zip(one.points, one.points[1:], strict=False):
        if a <= place <= c:
            return amount(b if c == a else b + (d - b) * (place - a) / (c - a), decimals)
    return ""


def _summary(curve: Curve) -> str:
    named = "; ".join(_mark_words(mark) for mark in curve.marks)
    return f"{curve.title}: {named}." if named else f"{curve.title}."


def _mark_words(mark: Mark) -> str:
    return mark.says if mark.label in mark.says else f"{mark.label} {mark.says}"
