"""A value on a scale of bands, with where the true value may lie."""

from dataclasses import dataclass

from planner.calculators.answering.answer import amount
from planner.calculators.answering.pictures import Gauge
from planner.web.presenters.calculators.scale import SIZE, WIDTH, Scale, Tick, Words
from planner.web.presenters.canvas import points, px, words_width

HEIGHT = 138.0
SIDE = 12.0
BAR_TOP, BAR_FOOT = 62.0, 96.0
TIP = 7.0
# Bold words of 16 px run about as wide as plain ones of this.
LOUD = 17.5


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnBand:
    """A stretch of the bar."""

    x: float
    width: float
    tone: str
    label: Words


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnGauge:
    """Context ``drawn`` of ``planner/calculate/gauge.html``."""

    template: str
    title: str
    summary: str
    width: float
    height: float
    bar_top: float
    bar_height: float
    bands: tuple[DrawnBand, ...]
    ticks: tuple[Tick, ...]
    tick_y: float
    pointer: str
    pointer_x: float
    says: Words
    span: str
    span_says: Words | None
    was: str
    was_says: Words | None
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def draw_gauge(gauge: Gauge) -> DrawnGauge:
    """Place a gauge on paper; its table holds every band and every value."""
    scale = Scale(low=gauge.low, high=gauge.high, start=SIDE, end=WIDTH - SIDE)
    x = scale.at(gauge.value)
    return DrawnGauge(
        template="planner/calculate/gauge.html",
        title=gauge.title,
        summary=_summary(gauge),
        width=WIDTH,
        height=HEIGHT,
        bar_top=BAR_TOP,
        bar_height=px(BAR_FOOT - BAR_TOP),
        bands=tuple(_bands(gauge, scale)),
        ticks=tuple(_ticks(gauge, scale)),
        tick_y=px(BAR_FOOT + 16),
        pointer=points(((x, BAR_TOP + 2), (x - TIP, BAR_TOP - 11), (x + TIP, BAR_TOP - 11))),
        pointer_x=x,
        says=_said(gauge.says, x, BAR_TOP - 18, size=LOUD),
        span=_span(gauge, scale),
        span_says=_said(gauge.span_says, scale.at(sum(gauge.span) / 2), HEIGHT - 4) if gauge.span else None,
        was=""
        if gauge.was is None
        else points(((scale.at(gauge.was), BAR_TOP - 8), (scale.at(gauge.was), BAR_FOOT + 4))),
        was_says=None if gauge.was is None else _said(gauge.was_says, scale.at(gauge.was), HEIGHT - 4),
        heads=("What", f"Value, {gauge.unit}" if gauge.unit else "Value"),
        rows=tuple(_rows(gauge)),
    )


def _said(words: str, x: float, y: float, *, size: float = SIZE) -> Words:
    """Words over their place, moved inside the paper."""
    half = words_width(words, size) / 2
    middle = min(max(x, SIDE + half), WIDTH - SIDE - half) if 2 * half < WIDTH - 2 * SIDE else WIDTH / 2
    return Words(x=px(middle), y=px(y), anchor="middle", words=words)


def _bands(gauge: Gauge, scale: Scale) -> list[DrawnBand]:
    drawn, start = [], gauge.low
    for band in gauge.bands:
        left, right = scale.at(start), scale.at(band.until)
        # A band too narrow for its words has them in the table only.
        words = band.label if words_width(band.label, SIZE) <= right - left - 2 else ""
        drawn.append(
            DrawnBand(
                x=left,
                width=px(right - left),
                tone=band.tone,
                label=Words(x=px((left + right) / 2), y=px((BAR_TOP + BAR_FOOT) / 2 + 5), anchor="middle", words=words),
            )
        )
        start = band.until
    return drawn


def _ticks(gauge: Gauge, scale: Scale) -> list[Tick]:
    """The bounds of the bands, without those that would run into the one before."""
    kept: list[Tick] = []
    free = 0.0
    for bound in (gauge.low, *(band.until for band in gauge.bands)):
        words = amount(bound, gauge.decimals).replace("-", "−")
        half = words_width(words, SIZE) / 2
        place = min(max(scale.at(bound), half), WIDTH - half)
        if place - half >= free:
            kept.append(Tick(place=px(place), words=words))
            free = place + half + 4
    return kept


def _span(gauge: Gauge, scale: Scale) -> str:
    if gauge.span is None:
        return ""
    low, high = (scale.at(min(max(one, gauge.low), gauge.high)) for one in gauge.span)
    y = BAR_FOOT + 24
    return points(((low, y - 5), (low, y), (high, y), (high, y - 5)))


def _rows(gauge: Gauge) -> list[tuple[str, ...]]:
    def number(value: float) -> str:
        return amount(value, gauge.decimals or (0 if abs(value) >= 10 else 2)).replace("-", "−")

    rows = [(f"Result: {gauge.says}", number(gauge.value))]
    if gauge.span is not None:
        rows.append((gauge.span_says.capitalize(), " to ".join(number(one) for one in gauge.span)))
    if gauge.was is not None:
        rows.append((gauge.was_says.capitalize(), number(gauge.was)))
    start = gauge.low
    for band in gauge.bands:
        if len(gauge.bands) > 1:
            rows.append((band.label.capitalize(), f"{number(start)} to {number(band.until)}"))
        start = band.until
    return [tuple(row) for row in rows]


def _summary(gauge: Gauge) -> str:
    band = next((one.label for one in gauge.bands if gauge.value <= one.until), gauge.bands[-1].label)
    parts = [gauge.says, *([gauge.was_says] if gauge.was_says else []), *([gauge.span_says] if gauge.span_says else [])]
    in_band = f", in the band '{band}'" if len(gauge.bands) > 1 else ""
    return f"{gauge.title}: {'; '.join(parts)}{in_band}."
