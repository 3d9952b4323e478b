"""One pool's work as strips under its sky: hatched by trade, a pour with its curing tail, a hold as a gate."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from planner.dayplans.presenters.day_plan import STATE_WORDS
from planner.dayplans.presenters.measures import Gettext, clock
from planner.web.presenters.canvas import fit_words, points, px, words_width
from planner.web.presenters.day_scale import DayColumn, DayScale, short_day
from planner.web.presenters.half_sky import HalfDay, SkyCell, SkyLine, draw_half_days, list_half_days
from planner.web.presenters.trades import LegendEntry, hatch_of, legend

SIZE = 13.0
HEAD = 54.0
LANE = 38.0
THICK = 15.0
LABEL_AT = 14.0
LABEL_WIDEST = 210.0
BREATH = 12.0
GATE_HALF = 6.0
GATE_BAR_STEP = 13.0
MARKS = 24.0
FOOT = 22.0

HoldResult = Literal["open", "passed", "failed"]
HOLD_WORDS = {"open": "shut", "passed": "open", "failed": "failed, shut"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One task on the calendar. ``cures_until`` is when strength is reached; ``where`` links to its page."""

    key: str
    title: str
    trade: str
    trade_title: str
    from_at: datetime
    until_at: datetime
    state: str
    crew: str = ""
    exposed: bool = False
    cures_until: datetime | None = None
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldAt:
    """A hold where it stands in time; only ``passed`` lets work through."""

    title: str
    at: datetime
    result: HoldResult


@dataclass(frozen=True, slots=True, kw_only=True)
class StripShape:
    key: str
    hatch: str
    state: str
    exposed: bool
    x: float
    y: float
    width: float
    height: float
    label: str
    label_x: float
    label_y: float
    tail: str
    where: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateShape:
    """Posts and bars over the height of the work; an open gate has its leaf swung aside."""

    state: str
    posts: str
    bars: str
    label: str
    label_x: float
    label_y: float
    anchor: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StripRow:
    title: str
    where: str
    trade: str
    crew: str
    starts: str
    ends: str
    state: str
    state_word: str
    cures: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateRow:
    title: str
    at: str
    state: str
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """Context ``strips`` of ``planner/drawings/strips.html`` and ``strips_table.html``."""

    name: str
    width: float
    height: float
    head: float
    floor: float
    work_height: float
    columns: tuple[DayColumn, ...]
    sky: tuple[SkyCell, ...]
    strips: tuple[StripShape, ...]
    gates: tuple[GateShape, ...]
    now_x: float | None
    promised_x: float | None
    promised_anchor: str
    promised: str
    rows: tuple[StripRow, ...]
    gate_rows: tuple[GateRow, ...]
    sky_rows: tuple[SkyLine, ...]
    legend: tuple[LegendEntry, ...]
    summary: str


def draw_strips(
    strips: tuple[Strip, ...],
    *,
    scale: DayScale,
    name: str = "",
    holds: tuple[HoldAt, ...] = (),
    sky: tuple[HalfDay, ...] | None = None,
    now: datetime | None = None,
    promised_at: datetime | None = None,
    gettext: Gettext = str,
) -> Strips:
    """The drawing and its table; only what lies on the scale is drawn and listed. Without ``sky`` no sky is drawn.

    ``name`` tells several pools of one page apart.
    """
    shown = sorted((one for one in strips if _reaches(one, scale)), key=lambda one: (one.from_at, one.key))
    gates = sorted((one for one in holds if scale.shows(one.at, one.at)), key=lambda one: (one.at, one.title))
    lanes = _lanes(shown, scale)
    gate_lanes = _gate_lanes(gates, scale, gettext)
    gate_room = (max(gate_lanes, default=-1) + 1) * (SIZE + 5)
    top = HEAD + gate_room
    floor = top + (max(lanes, default=0) + 1) * LANE + MARKS
    return Strips(
        name=name,
        width=px(scale.right),
        height=px(floor + FOOT),
        head=HEAD,
        floor=px(floor),
        work_height=px(floor - HEAD),
        columns=tuple(scale.columns(gettext)),
        sky=() if sky is None else tuple(draw_half_days(sky, scale, floor - HEAD)),
        strips=tuple(_strip(one, scale, top + lane * LANE, gettext) for one, lane in zip(shown, lanes, strict=True)),
        gates=tuple(
            _gate(one, scale, HEAD + lane * (SIZE + 5), top, floor, gettext)
            for one, lane in zip(gates, gate_lanes, strict=True)
        ),
        now_x=px(scale.x(now)) if now and scale.shows(now, now) else None,
        promised_x=px(scale.x(promised_at)) if promised_at and scale.shows(promised_at, promised_at) else None,
        promised_anchor="end" if promised_at and scale.x(promised_at) > scale.right / 2 else "start",
        promised=_promised(promised_at, scale, gettext),
        rows=tuple(_row(one, scale, gettext) for one in shown),
        gate_rows=tuple(
            GateRow(title=one.title, at=_when(one.at, scale, gettext), state=one.result, word=_hold_word(one, gettext))
            for one in gates
        ),
        sky_rows=() if sky is None else tuple(list_half_days(sky, scale, gettext)),
        legend=legend((one.trade, one.trade_title) for one in shown),
        summary=_summary(shown, gates, scale, gettext),
    )


def _reaches(one: Strip, scale: DayScale) -> bool:
    end = max(one.until_at, one.cures_until or one.until_at)
    return scale.shows(one.from_at, end)


def _label(one: Strip, scale: DayScale) -> str:
    return fit_words(one.title, min(LABEL_WIDEST, scale.width), SIZE)


def _label_x(one: Strip, scale: DayScale) -> float:
    """Words start where the strip starts, or earlier so that they end inside the drawing."""
    return max(scale.left, min(scale.x(one.from_at), scale.right - words_width(_label(one, scale), SIZE) - 2))


def _lanes(shown: list[Strip], scale: DayScale) -> list[int]:
    """The first lane in which strip, tail and words run into nothing before them."""
    ends: list[float] = []
    lanes = []
    for one in shown:
        start = _label_x(one, scale)
        end = max(scale.x(one.cures_until or one.until_at), start + words_width(_label(one, scale), SIZE)) + BREATH
        lane = next((at for at, taken in enumerate(ends) if taken <= start), len(ends))
        ends[lane : lane + 1] = [end]
        lanes.append(lane)
    return lanes


def _hold_word(one: HoldAt, gettext: Gettext) -> str:
    return gettext(HOLD_WORDS[one.result])


def _gate_label(one: HoldAt, gettext: Gettext) -> str:
    return f"{one.title}: {_hold_word(one, gettext)}"


def _gate_span(one: HoldAt, scale: DayScale, gettext: Gettext) -> tuple[float, float, bool]:
    """Where the words of a gate run, and whether they stand to its left."""
    x, run = scale.x(one.at), words_width(_gate_label(one, gettext), SIZE) + GATE_HALF + 6
    flips = x + run > scale.right and x - run >= scale.left
    return (x - run, x + GATE_HALF, True) if flips else (x - GATE_HALF, x + run, False)


def _gate_lanes(gates: list[HoldAt], scale: DayScale, gettext: Gettext) -> list[int]:
    taken: list[list[tuple[float, float]]] = []
    lanes = []
    for one in gates:
        start, end, _ = _gate_span(one, scale, gettext)
        lane = next((at for at, spans in enumerate(taken) if all(end < a or start > b for a, b in spans)), len(taken))
        taken[lane : lane + 1] = [[*(taken[lane] if lane < len(taken) else []), (start, end + 4)]]
        lanes.append(lane)
    return lanes


def _strip(one: Strip, scale: DayScale, y: float, gettext: Gettext) -> StripShape:
    x, end = scale.x(one.from_at), scale.x(one.until_at)
    end = max(end, x + 3)
    top = y + LABEL_AT + 4
    tail = ""
    if one.cures_until is not None and (tip := scale.x(one.cures_until)) > end:
        tail = points(((end, top), (tip, top + THICK / 2), (end, top + THICK)))
    return StripShape(
        key=one.key,
        hatch=hatch_of(one.trade),
        state=one.state,
        exposed=one.exposed,
        x=px(x),
        y=px(top),
        width=px(end - x),
        height=THICK,
        label=_label(one, scale),
        label_x=px(_label_x(one, scale)),
        label_y=px(y + LABEL_AT),
        tail=tail,
        where=one.where,
        said=_said(one, scale, gettext),
    )


def _said(one: Strip, scale: DayScale, gettext: Gettext) -> str:
    said = gettext("{title}, {crew}, {start} to {end}, {state}").format(
        title=one.title,
        crew=one.crew or one.trade_title,
        start=_when(one.from_at, scale, gettext),
        end=_when(one.until_at, scale, gettext),
        state=gettext(STATE_WORDS[one.state]),
    )
    if one.cures_until is None:
        return said
    return said + "; " + gettext("strong enough {when}").format(when=_when(one.cures_until, scale, gettext))


def _gate(one: HoldAt, scale: DayScale, label_y: float, top: float, floor: float, gettext: Gettext) -> GateShape:
    x = scale.x(one.at)
    left, right = px(x - GATE_HALF), px(x + GATE_HALF)
    low, high = px(floor), px(label_y + 3)
    if one.result == "passed":
        posts = f"M{left:g} {high:g}V{px(high + 16):g}M{left:g} {low:g}V{px(low - 16):g}"
        posts += f"M{right:g} {high:g}V{px(high + 16):g}M{right:g} {low:g}V{px(low - 16):g}"
        bars = f"M{right:g} {px(low - 15):g}l8 -5v15l-8 4zM{right:g} {px(low - 9):g}l8 -3"
    else:
        posts = f"M{left:g} {high:g}V{low:g}M{right:g} {high:g}V{low:g}"
        steps = int((low - top) // GATE_BAR_STEP)
        bars = "".join(f"M{left:g} {px(top + 4 + at * GATE_BAR_STEP):g}H{right:g}" for at in range(max(steps, 1)))
        if one.result == "failed":
            bars += f"M{left:g} {px(top):g}L{right:g} {low:g}M{right:g} {px(top):g}L{left:g} {low:g}"
    _, _, flips = _gate_span(one, scale, gettext)
    return GateShape(
        state={"passed": "open"}.get(one.result, "shut"),
        posts=posts,
        bars=bars,
        label=_gate_label(one, gettext),
        label_x=px(x - GATE_HALF - 5 if flips else x + GATE_HALF + 5),
        label_y=px(label_y + SIZE),
        anchor="end" if flips else "start",
        said=f"{_gate_label(one, gettext)}, {_when(one.at, scale, gettext)}",
    )


def _when(moment: datetime, scale: DayScale, gettext: Gettext) -> str:
    on = moment.astimezone(scale.zone).date()
    return f"{short_day(on, gettext)} {clock(moment, scale.zone, gettext)}"


def _promised(promised_at: datetime | None, scale: DayScale, gettext: Gettext) -> str:
    if promised_at is None:
        return ""
    return gettext("promised {day}").format(day=short_day(promised_at.astimezone(scale.zone).date(), gettext))


def _row(one: Strip, scale: DayScale, gettext: Gettext) -> StripRow:
    return StripRow(
        title=one.title,
        where=one.where,
        trade=one.trade_title,
        crew=one.crew,
        starts=_when(one.from_at, scale, gettext),
        ends=_when(one.until_at, scale, gettext),
        state=one.state,
        state_word=gettext(STATE_WORDS[one.state]),
        cures=_when(one.cures_until, scale, gettext) if one.cures_until else "",
    )


def _summary(shown: list[Strip], gates: list[HoldAt], scale: DayScale, gettext: Gettext) -> str:
    shut = sum(one.result != "passed" for one in gates)
    return gettext("{tasks} tasks from {first}, {days} days; {shut} of {all} holds shut.").format(
        tasks=len(shown), first=short_day(scale.from_on, gettext), days=scale.days, shut=shut, all=len(gates)
    )
