"""A pool's work ahead as one strip in the ground: layers hatched by trade under their sky, holds as gates across it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from planner.dayplans.presenters.measures import Gettext, clock
from planner.dayplans.presenters.words import STATE_WORDS
from planner.web.presenters.canvas import fit_words, px, words_width
from planner.web.presenters.day_scale import DayColumn, DayScale, short_day
from planner.web.presenters.long_section import LongSection
from planner.web.presenters.pools.strata import Layer, Span, TailShape, layers_of, tail_of
from planner.web.presenters.skies.half_sky import HalfDay, SkyCell, SkyLine, draw_half_days, list_half_days
from planner.web.presenters.trades import LegendEntry, hatch_of, legend

SIZE = 13.0
HEAD = 54.0
SKY = 92.0
# Layers begin this far below the ground line, and are this thick in all.
COVER, THICK = 5.0, 34.0
TAIL_ROOM = 12.0
LABEL_STEP = 18.0
LABEL_WIDEST = 190.0
BREATH = 12.0
# A leader runs down a little inside the edge of its layer.
LEADER_IN = 3.0
FOOT = 24.0
GATE_HALF, GATE_OVER, GATE_STEP = 12.0, 22.0, 6.0

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
    """A hold where it stands in time; only ``passed`` lets work through. ``visit`` says how sure the visit is."""

    title: str
    at: datetime
    result: HoldResult
    visit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripShape:
    """One layer; ``label`` is empty where its words found no room, ``leader`` ties them to it."""

    key: str
    hatch: str
    state: str
    layer: Layer
    tail: TailShape | None
    label: str
    label_x: float
    label_y: float
    leader: str
    where: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateShape:
    """A field gate seen from the front, on the ground over the moment it bars; open, its leaf is swung aside."""

    state: str
    posts: str
    bars: str
    leader: str
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
    """Context ``strips`` of ``planner/drawings/strips.html`` and ``strips_table.html``.

    The section stands left of the calendar on the same ground line, drawn ``lift`` lower than it says.
    """

    name: str
    width: float
    height: float
    left: float
    head: float
    floor: float
    work_height: float
    bottom: float
    section: LongSection | None
    lift: float
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
    section: tuple[LongSection, float] | None = None,
    holds: tuple[HoldAt, ...] = (),
    sky: tuple[HalfDay, ...] | None = None,
    now: datetime | None = None,
    promised_at: datetime | None = None,
    gettext: Gettext = str,
) -> Strips:
    """The drawing and its table; only what lies on the scale is drawn and listed. Without ``sky`` no sky is drawn.

    Parameters
    ----------
    section : (drawing, y of its ground line), optional
        Drawn left of the calendar; ``scale.left`` must leave room for its width.
    name : str
        Tells several pools of one page apart.
    """
    shown = sorted((one for one in strips if _reaches(one, scale)), key=lambda one: (one.from_at, one.key))
    gates = sorted((one for one in holds if scale.shows(one.at, one.at)), key=lambda one: (one.at, one.title))
    lanes = _gate_lanes(gates, scale, gettext)
    floor = HEAD + max(SKY, GATE_OVER + 14 + (max(lanes, default=0) + 1) * LABEL_STEP)
    deep = floor + COVER + THICK + TAIL_ROOM + 2 * LABEL_STEP + FOOT
    lift = floor - section[1] if section is not None else 0.0
    bottom = max(deep, section[0].height + lift) if section is not None else deep
    return Strips(
        name=name,
        width=px(scale.right),
        height=px(bottom),
        left=px(scale.left),
        head=HEAD,
        floor=px(floor),
        work_height=px(floor - HEAD),
        bottom=px(bottom),
        section=section[0] if section is not None else None,
        lift=px(lift),
        columns=tuple(scale.columns(gettext)),
        sky=() if sky is None else tuple(draw_half_days(sky, scale, floor - HEAD)),
        strips=tuple(_shapes(shown, scale, floor, gettext)),
        gates=tuple(
            _gate(one, scale, HEAD + 2 + (lane + 1) * LABEL_STEP, floor, gettext)
            for one, lane in zip(gates, lanes, strict=True)
        ),
        now_x=px(scale.x(now)) if now and scale.shows(now, now) else None,
        promised_x=px(scale.x(promised_at)) if promised_at and scale.shows(promised_at, promised_at) else None,
        promised_anchor="end" if promised_at and scale.x(promised_at) > scale.left + scale.width / 2 else "start",
        promised=_promised(promised_at, scale, gettext),
        rows=strip_rows(shown, scale.zone, gettext),
        gate_rows=gate_rows(gates, scale.zone, gettext),
        sky_rows=() if sky is None else tuple(list_half_days(sky, scale, gettext)),
        legend=legend((one.trade, one.trade_title) for one in shown),
        summary=_summary(shown, gates, scale, gettext),
    )


def _reaches(one: Strip, scale: DayScale) -> bool:
    end = max(one.until_at, one.cures_until or one.until_at)
    return scale.shows(one.from_at, end)


def _shapes(shown: Sequence[Strip], scale: DayScale, floor: float, gettext: Gettext) -> Iterator[StripShape]:
    spans = [Span(from_x=scale.x(one.from_at), until_x=scale.x(one.until_at)) for one in shown]
    layers = layers_of(spans, top=floor + COVER, thick=THICK)
    labels_at = floor + COVER + THICK + TAIL_ROOM
    for one, layer, (row, label) in zip(shown, layers, _labels(shown, scale), strict=True):
        x = _label_x(scale.x(one.from_at), label, scale)
        y = labels_at + (row + 1) * LABEL_STEP - 5
        tail = None
        if one.cures_until is not None:
            tail = tail_of(scale.x(one.until_at), scale.x(one.cures_until), top=floor + COVER + THICK + 2)
        yield StripShape(
            key=one.key,
            hatch=hatch_of(one.trade),
            state=one.state,
            layer=layer,
            tail=tail,
            label=label,
            label_x=px(x),
            label_y=px(y),
            leader=f"M{px(layer.x + LEADER_IN):g} {px(layer.bottom - 2):g}V{px(y - SIZE + 2):g}" if label else "",
            where=one.where,
            said=_said(one, scale, gettext),
        )


def _label_x(x: float, label: str, scale: DayScale) -> float:
    """Words start where the layer starts, or earlier so that they end inside the drawing."""
    return max(scale.left, min(x, scale.right - words_width(label, SIZE) - 2))


def _labels(shown: Sequence[Strip], scale: DayScale) -> Iterator[tuple[int, str]]:
    """For each strip a row and its words, or none where two rows have no room.

    The lower row is taken first: its leader then passes left of whatever stands in the upper one.
    """
    ends = [scale.left - 1, scale.left - 1]
    leader_x = scale.left - 1
    for one in shown:
        label = fit_words(one.title, min(LABEL_WIDEST, scale.width), SIZE)
        at = scale.x(one.from_at)
        x = _label_x(at, label, scale)
        row = 1 if ends[1] <= x else 0
        if not label or ends[0] > x or (row == 0 and leader_x > x - 2):
            yield 0, ""
            continue
        if row == 1:
            leader_x = at + LEADER_IN
        ends[row] = x + words_width(label, SIZE) + BREATH
        yield row, label


def _hold_word(one: HoldAt, gettext: Gettext) -> str:
    return gettext(HOLD_WORDS[one.result])


def _gate_label(one: HoldAt, gettext: Gettext) -> str:
    said = f"{one.title}: {_hold_word(one, gettext)}"
    return f"{said}, {one.visit}" if one.visit else said


def _gate_span(one: HoldAt, scale: DayScale, gettext: Gettext) -> tuple[float, float, bool]:
    """Where the words of a gate run, and whether they stand to its left."""
    x, run = scale.x(one.at), words_width(_gate_label(one, gettext), SIZE) + GATE_HALF + 6
    flips = x + run > scale.right and x - run >= scale.left
    return (x - run, x + GATE_HALF, True) if flips else (x - GATE_HALF, x + run, False)


def _gate_lanes(gates: Sequence[HoldAt], scale: DayScale, gettext: Gettext) -> list[int]:
    """Each gate's words lower than those that run over it, so that no leader crosses them."""
    spans = [_gate_span(one, scale, gettext)[:2] for one in gates]
    lanes: list[int] = []
    for at, (start, end) in enumerate(spans):
        over = [lanes[before] for before in range(at) if spans[before][1] + 4 > start and spans[before][0] - 4 < end]
        lanes.append(max(over, default=-1) + 1)
    return lanes


def _said(one: Strip, scale: DayScale, gettext: Gettext) -> str:
    said = gettext("{title}, {crew}, {start} to {end}, {state}").format(
        title=one.title,
        crew=one.crew or one.trade_title,
        start=_when(one.from_at, scale.zone, gettext),
        end=_when(one.until_at, scale.zone, gettext),
        state=gettext(STATE_WORDS[one.state]),
    )
    if one.cures_until is None:
        return said
    return said + "; " + gettext("strong enough {when}").format(when=_when(one.cures_until, scale.zone, gettext))


def _gate(one: HoldAt, scale: DayScale, label_y: float, floor: float, gettext: Gettext) -> GateShape:
    x = scale.x(one.at)
    left, right = px(x - GATE_HALF), px(x + GATE_HALF)
    top, low = px(floor - GATE_OVER), px(floor + COVER + THICK + 2)
    ground = px(floor)
    # The stake runs on down through the work that waits behind the gate.
    posts = f"M{left:g} {top:g}V{ground:g}M{right:g} {top:g}V{ground:g}M{px(x):g} {ground:g}V{low:g}"
    if one.result == "passed":
        bars = f"M{right:g} {px(top + 3):g}l9 -6v{px(GATE_OVER - 6):g}l-9 5M{right:g} {px(top + 12):g}l9 -5"
    else:
        rails = [px(top + 4 + at * GATE_STEP) for at in range(3)]
        bars = "".join(f"M{left:g} {rail:g}H{right:g}" for rail in rails)
        bars += f"M{left:g} {rails[-1]:g}L{right:g} {rails[0]:g}"
        if one.result == "failed":
            bars += f"M{left:g} {top:g}L{right:g} {ground:g}M{right:g} {top:g}L{left:g} {ground:g}"
    _, _, flips = _gate_span(one, scale, gettext)
    return GateShape(
        state={"passed": "open"}.get(one.result, "shut"),
        posts=posts,
        bars=bars,
        leader=f"M{px(x):g} {px(label_y + 2):g}V{top:g}",
        label=_gate_label(one, gettext),
        label_x=px(x - GATE_HALF - 5 if flips else x + GATE_HALF + 5),
        label_y=px(label_y),
        anchor="end" if flips else "start",
        said=f"{_gate_label(one, gettext)}, {_when(one.at, scale.zone, gettext)}",
    )


def _when(moment: datetime, zone: ZoneInfo, gettext: Gettext) -> str:
    return f"{short_day(moment.astimezone(zone).date(), gettext)} {clock(moment, zone, gettext)}"


def _promised(promised_at: datetime | None, scale: DayScale, gettext: Gettext) -> str:
    if promised_at is None:
        return ""
    return gettext("promised {day}").format(day=short_day(promised_at.astimezone(scale.zone).date(), gettext))


def strip_rows(strips: Iterable[Strip], zone: ZoneInfo, gettext: Gettext) -> tuple[StripRow, ...]:
    """Tasks as rows of a table."""
    return tuple(
        StripRow(
            title=one.title,
            where=one.where,
            trade=one.trade_title,
            crew=one.crew,
            starts=_when(one.from_at, zone, gettext),
            ends=_when(one.until_at, zone, gettext),
            state=one.state,
            state_word=gettext(STATE_WORDS[one.state]),
            cures=_when(one.cures_until, zone, gettext) if one.cures_until else "",
        )
        for one in strips
    )


def gate_rows(holds: Iterable[HoldAt], zone: ZoneInfo, gettext: Gettext) -> tuple[GateRow, ...]:
    """Holds as rows of a table."""
    return tuple(
        GateRow(
            title=one.title,
            at=_when(one.at, zone, gettext),
            state=one.result,
            word=", ".join(filter(None, (_hold_word(one, gettext), one.visit))),
        )
        for one in holds
    )


def _summary(shown: Sequence[Strip], gates: Sequence[HoldAt], scale: DayScale, gettext: Gettext) -> str:
    shut = sum(one.result != "passed" for one in gates)
    return gettext("{tasks} tasks from {first}, {days} days; {shut} of {all} holds shut.").format(
        tasks=len(shown), first=short_day(scale.from_on, gettext), days=scale.days, shut=shut, all=len(gates)
    )
