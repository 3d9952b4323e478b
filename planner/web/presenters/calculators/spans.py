"""Stretches of one scale under each other, each with its words over it."""

from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import Span, Spans
from planner.web.presenters.calculators.scale import SIZE, WIDTH, Scale, Tick, Words, ticks
from planner.web.presenters.canvas import fit_words, points, px, words_width

SIDE, TOP, ROW, FOOT = 12.0, 24.0, 40.0, 44.0
BAR = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSpan:
    """A bar and the words over it."""

    x: float
    y: float
    width: float
    label: Words


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSpans:
    """Context ``drawn`` of ``planner/calculate/spans.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    left: float
    right: float
    foot: float
    bar: float
    rows_drawn: tuple[DrawnSpan, ...]
    x_ticks: tuple[Tick, ...]
    x_label: str
    mark: str
    mark_says: Words | None
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_spans(spans: Spans) -> DrawnSpans:
    """Place the stretches on paper; the table says what each means."""
    scale = Scale(low=0.0, high=spans.high, start=SIDE, end=WIDTH - SIDE)
    foot = TOP + ROW * len(spans.spans)
    return DrawnSpans(
        template="planner/calculate/spans.html",
        title=spans.title,
        summary=_summary(spans),
        width=WIDTH,
        height=px(foot + FOOT),
        left=SIDE,
        right=px(WIDTH - SIDE),
        foot=px(foot),
        bar=BAR,
        rows_drawn=tuple(_row(number, one, scale) for number, one in enumerate(spans.spans)),
        x_ticks=ticks(scale),
        x_label=f"{spans.label}, {spans.unit}",
        mark="" if spans.mark is None else points(((scale.at(spans.mark), TOP - 4), (scale.at(spans.mark), foot))),
        mark_says=None if spans.mark is None else _mark_words(spans.mark_says, scale.at(spans.mark)),
        heads=("What", f"From, {spans.unit}", "In words"),
        rows=tuple((one.label, amount(one.low), one.says) for one in spans.spans),
    )


def _row(number: int, one: Span, scale: Scale) -> DrawnSpan:
    y = TOP + ROW * number
    return DrawnSpan(
        x=scale.at(one.low),
        y=px(y + 20),
        width=px(scale.at(one.high) - scale.at(one.low)),
        label=Words(x=SIDE, y=px(y + 15), anchor="start", words=fit_words(one.label, WIDTH - 2 * SIDE, SIZE)),
    )


def _mark_words(words: str, x: float) -> Words:
    half = words_width(words, SIZE) / 2
    return Words(x=px(min(max(x, half), WIDTH - half)), y=13.0, anchor="middle", words=words)


def _summary(spans: Spans) -> str:
    said = "; ".join(f"{one.label}: {one.says}" for one in spans.spans)
    mark = f" Held against: {spans.mark_says}." if spans.mark is not None else ""
    return f"{spans.title}. {said}.{mark}"
