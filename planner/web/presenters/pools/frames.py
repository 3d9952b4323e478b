"""One picture of the film of a pool: its section as built up to a day, the new part hatched, the sky falling on it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from planner.web.presenters.canvas import points, px
from planner.web.presenters.long_section import ABOVE, Built, LongSection, Sheet, draw_long_section
from planner.web.presenters.pools.places import Place, areas_of
from planner.web.presenters.skies.half_sky import FROST_C, HOT_C, WINDY_M_S, HalfDay, Reach, chance_words, reach_of

WORK_WIDTH = 212.0
GATE_WIDTH = 128.0
STILL_DAY, STILL_LEAST, STILL_MOST = 13.0, 56.0, 132.0
SKY = 74.0
FOOT = 16.0
TAIL = 11.0
NIGHT_SHARE = 0.12
# Without a design the ground is flat, and as deep as this [px].
FLAT = 44.0
GATE_HALF, GATE_STEP, GATE_OVER, GATE_UNDER = 22.0, 9.0, 34.0, 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A part being worked on, hatched by trade."""

    hatch: str
    points: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyFall:
    """One day of sky over a picture: how far the chance of rain falls, of a height of ``SKY``."""

    x: float
    width: float
    middle: float
    reach: Reach
    rest: bool
    curtain: float
    chance: str
    frost: bool
    hot: bool
    windy: bool
    night_x: float
    night_width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """From when to when something poured gains the strength that others wait for."""

    from_at: datetime
    until_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Context ``picture`` of ``planner/drawings/frame.html``. The section is drawn ``lift`` lower than it says."""

    width: float
    height: float
    ground: float
    lift: float
    section: LongSection | None
    patches: tuple[Patch, ...]
    sky: tuple[SkyFall, ...]
    tail: str
    gate: Literal["", "open", "shut"]
    posts: str
    bars: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What is new in a picture: a place, its trade's hatch, and the water before and after it [m]."""

    place: Place
    hatch: str
    from_m: float | None = None
    until_m: float | None = None


class Easel:
    """Draws every picture of one pool at one scale, on one ground line."""

    def __init__(self, sheet: Sheet | None) -> None:
        self.sheet = sheet
        self.lift = SKY - ABOVE
        self.ground = sheet.ground + self.lift if sheet is not None else SKY
        self.height = (sheet.height + self.lift if sheet is not None else SKY + FLAT) + FOOT

    def work(
        self, built: Built | None, works: Sequence[Work], halves: Sequence[HalfDay], cures: Sequence[Cure], said: str
    ) -> Picture:
        """A day, or days alike, on which somebody works here."""
        sheet = self.sheet
        patches: tuple[Patch, ...] = ()
        section = None
        if sheet is not None and built is not None:
            section = draw_long_section(sheet.shape, built, px_per_m=sheet.px_per_m, words=False)
            patches = tuple(
                Patch(hatch=one.hatch, points=sheet.line(area))
                for one in works
                for area in areas_of(sheet, one.place, from_m=one.from_m, until_m=one.until_m)
            )
        return self._picture(WORK_WIDTH, halves, cures, said, section=section, patches=patches)

    def still(self, halves: Sequence[HalfDay], cures: Sequence[Cure], said: str) -> Picture:
        """Days on which nobody works here: a stretch of sky over bare ground."""
        days = sum(not half.night for half in halves)
        return self._picture(min(max(days * STILL_DAY, STILL_LEAST), STILL_MOST), halves, cures, said)

    def gate(
        self, *, passed: bool, failed: bool, halves: Sequence[HalfDay], cures: Sequence[Cure], said: str
    ) -> Picture:
        """A hold across the way: bars from post to post, or a leaf swung aside."""
        left, right = GATE_WIDTH / 2 - GATE_HALF, GATE_WIDTH / 2 + GATE_HALF
        top, low = self.ground - GATE_OVER, self.ground + GATE_UNDER
        posts = f"M{px(left):g} {px(top - 4):g}V{px(low):g}M{px(right):g} {px(top - 4):g}V{px(low):g}"
        if passed:
            bars = (
                f"M{px(right):g} {px(top + 2):g}l16 -8v{px(GATE_OVER - 4):g}l-16 6M{px(right):g} {px(top + 14):g}l16 -8"
            )
        else:
            steps = int(GATE_OVER // GATE_STEP)
            bars = "".join(f"M{px(left):g} {px(top + 3 + at * GATE_STEP):g}H{px(right):g}" for at in range(steps))
            bars += f"M{px(left):g} {px(top + 3 + (steps - 1) * GATE_STEP):g}L{px(right):g} {px(top + 3):g}"
            if failed:
                bars += f"M{px(left):g} {px(top + 3):g}L{px(right):g} {px(top + 3 + (steps - 1) * GATE_STEP):g}"
        return self._picture(GATE_WIDTH, halves, cures, said, gate="open" if passed else "shut", posts=posts, bars=bars)

    def _picture(
        self,
        width: float,
        halves: Sequence[HalfDay],
        cures: Sequence[Cure],
        said: str,
        *,
        section: LongSection | None = None,
        patches: tuple[Patch, ...] = (),
        gate: Literal["", "open", "shut"] = "",
        posts: str = "",
        bars: str = "",
    ) -> Picture:
        return Picture(
            width=px(width),
            height=px(self.height),
            ground=px(self.ground),
            lift=px(self.lift),
            section=section,
            patches=patches,
            sky=tuple(_sky(halves, width, self.ground)),
            tail=self._tail(width, halves, cures),
            gate=gate,
            posts=posts,
            bars=bars,
            said=said,
        )

    def _tail(self, width: float, halves: Sequence[HalfDay], cures: Sequence[Cure]) -> str:
        """The wedge of the cure that lasts longest here, thinner towards its end; empty where none goes on."""
        if not halves:
            return ""
        from_at, until_at = halves[0].from_at, halves[-1].until_at
        here = [one for one in cures if one.from_at < until_at and from_at < one.until_at]
        if not here:
            return ""
        one = max(here, key=lambda cure: cure.until_at)
        start, end = max(one.from_at, from_at), min(one.until_at, until_at)
        low = self.height - 2
        left, right = width * _share(start, from_at, until_at), width * _share(end, from_at, until_at)
        thick = [TAIL * (1 - _share(at, one.from_at, one.until_at)) for at in (start, end)]
        return points(((left, low - thick[0]), (right, low - thick[1]), (right, low), (left, low)))


def _share(moment: datetime, from_at: datetime, until_at: datetime) -> float:
    return (moment - from_at) / (until_at - from_at)


def _sky(halves: Sequence[HalfDay], width: float, ground: float) -> Iterator[SkyFall]:
    """One column a day, its night a sliver at the right edge; a frost in the night marks the day before it."""
    days = [half for half in halves if not half.night]
    nights = {half.from_at: half for half in halves if half.night}
    step = width / max(len(days), 1)
    for at, half in enumerate(days):
        lows = [one.low_c for one in (half, nights.get(half.until_at)) if one is not None and one.low_c is not None]
        x = at * step
        reach = reach_of(half)
        said = chance_words(half)
        yield SkyFall(
            x=px(x),
            width=px(step),
            middle=px(x + step / 2),
            reach=reach,
            rest=half.from_at.weekday() >= 5,
            curtain=px(ground * (half.rain_chance or 0.0)),
            chance=said if step >= 34 else "",
            frost=min(lows, default=FROST_C + 1) <= FROST_C,
            hot=half.high_c is not None and half.high_c >= HOT_C,
            windy=half.wind_m_s is not None and half.wind_m_s >= WINDY_M_S,
            night_x=px(x + step * (1 - NIGHT_SHARE)),
            night_width=px(step * NIGHT_SHARE),
        )
