"""Moved work on one drawing: where it was as an empty outline, where it goes as a hatched strip, under the same sky."""

from dataclasses import dataclass
from datetime import datetime

from planner.dayplans.presenters.measures import Gettext, clock
from planner.web.presenters.canvas import fit_words, points, px, words_width
from planner.web.presenters.day_scale import DayColumn, DayScale, short_day
from planner.web.presenters.skies.half_sky import HalfDay, SkyCell, SkyLine, draw_half_days, list_half_days
from planner.web.presenters.trades import LegendEntry, hatch_of, legend

SIZE = 13.0
HEAD = 54.0
LANE = 60.0
WAS_AT, WAS_THICK = 20.0, 9.0
NOW_AT, NOW_THICK = 36.0, 15.0
FOOT = 22.0
LABEL_WIDEST = 260.0
BREATH = 14.0
TIP = 5.0

Span = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One task before and after; ``before`` is ``None`` where it is new. ``told``: somebody was told the old time."""

    key: str
    title: str
    trade: str
    trade_title: str
    before: Span | None
    after: Span
    told: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveShape:
    """``was_*`` is the outline, ``x`` and ``width`` the strip, each ``None`` outside the days shown.

    ``line`` and ``tip`` lead from one to the other.
    """

    key: str
    hatch: str
    told: bool
    label: str
    label_x: float
    label_y: float
    was_x: float | None
    was_y: float
    was_width: float
    x: float | None
    y: float
    width: float
    line: str
    tip: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Moves:
    """Context ``moves`` of ``planner/drawings/moves.html``; ``unseen`` moves lie outside its days."""

    name: str
    width: float
    height: float
    head: float
    floor: float
    work_height: float
    was_height: float
    now_height: float
    columns: tuple[DayColumn, ...]
    sky: tuple[SkyCell, ...]
    shapes: tuple[MoveShape, ...]
    now_x: float | None
    unseen: int
    sky_rows: tuple[SkyLine, ...]
    legend: tuple[LegendEntry, ...]
    summary: str


def draw_moves(
    moves: tuple[Move, ...],
    *,
    scale: DayScale,
    name: str,
    sky: tuple[HalfDay, ...] | None = None,
    now: datetime | None = None,
    gettext: Gettext = str,
) -> Moves:
    """The moves that touch the days of the scale, packed into lanes."""
    shown = sorted((one for one in moves if _reaches(one, scale)), key=lambda one: (_left(one, scale), one.key))
    lanes = _lanes(shown, scale)
    floor = HEAD + (max(lanes, default=0) + 1) * LANE + 10
    return Moves(
        name=name,
        width=px(scale.right),
        height=px(floor + FOOT),
        head=HEAD,
        floor=px(floor),
        work_height=px(floor - HEAD),
        was_height=WAS_THICK,
        now_height=NOW_THICK,
        columns=tuple(scale.columns(gettext)),
        sky=() if sky is None else tuple(draw_half_days(sky, scale, floor - HEAD)),
        shapes=tuple(_shape(one, scale, HEAD + lane * LANE, gettext) for one, lane in zip(shown, lanes, strict=True)),
        now_x=px(scale.x(now)) if now and scale.shows(now, now) else None,
        unseen=len(moves) - len(shown),
        sky_rows=() if sky is None else tuple(list_half_days(sky, scale, gettext)),
        legend=legend((one.trade, one.trade_title) for one in shown),
        summary=gettext("{count} moves in {days} days from {first}.").format(
            count=len(shown), days=scale.days, first=short_day(scale.from_on, gettext)
        ),
    )


def _reaches(one: Move, scale: DayScale) -> bool:
    return scale.shows(*one.after) or (one.before is not None and scale.shows(*one.before))


def _left(one: Move, scale: DayScale) -> float:
    starts = [scale.x(one.after[0])] + ([scale.x(one.before[0])] if one.before else [])
    return min(starts)


def _label(one: Move, scale: DayScale) -> str:
    return fit_words(one.title, min(LABEL_WIDEST, scale.width), SIZE)


def _label_x(one: Move, scale: DayScale) -> float:
    return max(scale.left, min(_left(one, scale), scale.right - words_width(_label(one, scale), SIZE) - 2))


def _lanes(shown: list[Move], scale: DayScale) -> list[int]:
    ends: list[float] = []
    lanes = []
    for one in shown:
        start = min(_label_x(one, scale), _left(one, scale))
        reach = [scale.x(one.after[1])] + ([scale.x(one.before[1])] if one.before else [])
        end = max(*reach, _label_x(one, scale) + words_width(_label(one, scale), SIZE)) + BREATH
        lane = next((at for at, taken in enumerate(ends) if taken <= start), len(ends))
        ends[lane : lane + 1] = [end]
        lanes.append(lane)
    return lanes


def _shape(one: Move, scale: DayScale, y: float, gettext: Gettext) -> MoveShape:
    x, end = scale.x(one.after[0]), scale.x(one.after[1])
    was_x = scale.x(one.before[0]) if one.before is not None and scale.shows(*one.before) else None
    was_end = scale.x(one.before[1]) if one.before else 0.0
    line, tip = "", ""
    if one.before is not None:
        was_left = scale.x(one.before[0])
        foot, top = y + WAS_AT + WAS_THICK, y + NOW_AT
        line = f"M{px(was_left + 2):g} {px(foot):g}L{px(x + 2):g} {px(top - 1):g}"
        tip = points(((x + 2 - TIP, top - TIP), (x + 2 + TIP, top - TIP), (x + 2, top)))
    return MoveShape(
        key=one.key,
        hatch=hatch_of(one.trade),
        told=one.told,
        label=_label(one, scale),
        label_x=px(_label_x(one, scale)),
        label_y=px(y + 14),
        was_x=None if was_x is None else px(was_x),
        was_y=px(y + WAS_AT),
        was_width=px(max(was_end - (was_x or 0.0), 3.0)),
        x=px(x) if scale.shows(*one.after) else None,
        y=px(y + NOW_AT),
        width=px(max(end - x, 3.0)),
        line=line,
        tip=tip,
        said=_said(one, scale, gettext),
    )


def _said(one: Move, scale: DayScale, gettext: Gettext) -> str:
    after = _when(one.after[0], scale, gettext)
    if one.before is None:
        return gettext("{title}: new, {after}").format(title=one.title, after=after)
    before = _when(one.before[0], scale, gettext)
    return gettext("{title}: from {before} to {after}").format(title=one.title, before=before, after=after)


def _when(moment: datetime, scale: DayScale, gettext: Gettext) -> str:
    on = moment.astimezone(scale.zone).date()
    return f"{short_day(on, gettext)} {clock(moment, scale.zone, gettext)}"
