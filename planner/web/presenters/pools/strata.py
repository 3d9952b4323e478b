"""Layers of work in the ground: soft ends like laid earth, side by side where they lie in the same days."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.web.presenters.canvas import points, px

NARROW = 7.0
SOFT = 6.0
SWELL = 2.5
TAIL = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From where to where work lies on the calendar [px]."""

    from_x: float
    until_x: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """A closed path and the box it lies in."""

    path: str
    x: float
    width: float
    top: float
    bottom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TailShape:
    """A wedge from the end of a pour to the moment it is strong enough."""

    points: str
    tip: float


def layers_of(spans: Sequence[Span], *, top: float, thick: float) -> tuple[Layer, ...]:
    """One layer for each span, given in order of their starts; those that share days share the thickness."""
    slots, shares = _slots(spans)
    return tuple(
        _layer(span, top + thick * slot / share, thick / share)
        for span, slot, share in zip(spans, slots, shares, strict=True)
    )


def tail_of(end_x: float, tip_x: float, *, top: float) -> TailShape | None:
    """The wedge of a cure under its layer; ``None`` where it is shorter than a stroke."""
    if tip_x <= end_x + 1:
        return None
    return TailShape(points=points(((end_x, top), (tip_x, top + TAIL / 2), (end_x, top + TAIL))), tip=px(tip_x))


def _until(span: Span) -> float:
    return max(span.until_x, span.from_x + NARROW)


def _slots(spans: Sequence[Span]) -> tuple[list[int], list[int]]:
    """For each span its slot, and how many slots its run of overlapping spans needs."""
    slots: list[int] = []
    shares: list[int] = []
    run: list[int] = []
    ends: list[float] = []
    for at, span in enumerate(spans):
        if all(end <= span.from_x for end in ends):
            shares += [max(len(ends), 1)] * len(run)
            run, ends = [], []
        slot = next((one for one, end in enumerate(ends) if end <= span.from_x), len(ends))
        ends[slot : slot + 1] = [_until(span)]
        slots.append(slot)
        run.append(at)
    shares += [max(len(ends), 1)] * len(run)
    return slots, shares


def _layer(span: Span, top: float, thick: float) -> Layer:
    left, right = span.from_x, _until(span)
    return Layer(
        path=" ".join(_path(left, right, top, top + thick)),
        x=px(left),
        width=px(right - left),
        top=px(top),
        bottom=px(top + thick),
    )


def _path(left: float, right: float, top: float, bottom: float) -> Iterator[str]:
    """Ends lean and swing as a laid course does; the top swells a little."""
    soft, third = min(SOFT, (right - left) / 3), (bottom - top) / 3
    yield f"M{_at(left, bottom)}"
    yield f"C{_at(left + soft, bottom - third)} {_at(left, top + third)} {_at(left + soft, top)}"
    yield f"Q{_at((left + right) / 2, top + min(SWELL, third))} {_at(right, top)}"
    yield f"C{_at(right - soft, top + third)} {_at(right, bottom - third)} {_at(right - soft, bottom)}Z"


def _at(x: float, y: float) -> str:
    return f"{px(x):g} {px(y):g}"
