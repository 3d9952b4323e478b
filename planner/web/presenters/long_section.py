"""One pool as its own long section, to scale, filled in as far as it is built, with the water at its level."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.domain.units import feet_and_inches_from_m
from planner.dayplans.presenters.measures import Gettext, gettext_noop
from planner.web.presenters.canvas import points, px, words_width
from planner.web.presenters.profile import Point, Points, PoolShape

SIZE = 13.0
SIDE_M = 0.5
BELOW_M = 0.45
ABOVE = 26.0
LABEL_STEP = 17.0
LABEL_GAP = 14.0
BESIDE_M = 0.3
FAR_FITTINGS = frozenset({"light", "skimmer", "vacuum"})

PARTS = (
    ("dig", gettext_noop("Dig")),
    ("stone", gettext_noop("Stone under the floor")),
    ("floor", gettext_noop("Floor slab")),
    ("walls", gettext_noop("Walls")),
    ("backfill", gettext_noop("Backfill")),
    ("deck", gettext_noop("Deck")),
    ("liner", gettext_noop("Inner face")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FittingLevel:
    """A fitting at its level above the deepest floor [m]; ``note`` says e.g. when the water is there."""

    kind: str
    title: str
    level_m: float
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What stands already. ``forms`` are up but not poured; ``walls`` are poured."""

    marked: bool = False
    dig: bool = False
    stone: bool = False
    floor: bool = False
    forms: bool = False
    walls: bool = False
    backfill: bool = False
    deck: bool = False
    liner: bool = False
    water_level_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """A closed shape; ``kind`` names its fill and hatch."""

    kind: str
    points: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words with the leader line that ties them to their place."""

    x: float
    y: float
    anchor: str
    words: str
    leader: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    part: str
    state: str
    done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LongSection:
    """Context ``section`` of ``planner/drawings/long_section.html`` and its table; ``beyond`` stands behind the cut."""

    width: float
    height: float
    ground: str
    layers: tuple[Layer, ...]
    ahead: tuple[str, ...]
    beyond: tuple[str, ...]
    liner: str
    surface: str
    stakes: tuple[tuple[float, float], ...]
    depths: tuple[Label, ...]
    labels: tuple[Label, ...]
    rows: tuple[Row, ...]
    summary: str


def feet_words(metres: float) -> str:
    """A depth as a builder says it.

    >>> feet_words(1.067), feet_words(2.4384), feet_words(0.1)
    ('3 ft 6 in', '8 ft', '4 in')
    """
    feet, inches = feet_and_inches_from_m(metres)
    return " ".join(
        part for part in (f"{feet} ft" if feet else "", f"{inches} in" if inches or not feet else "") if part
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Metres of the section to places on the drawing."""

    shape: PoolShape
    px_per_m: float
    left_m: float

    def at(self, point: Point) -> Point:
        x, level = point
        return (x - self.left_m) * self.px_per_m, ABOVE + (self.shape.coping_level_m - level) * self.px_per_m

    def line(self, of: Points) -> str:
        return points(self.at(point) for point in of)

    @property
    def width(self) -> float:
        """From the left to the right edge of the ground [px]."""
        return (self.shape.start_m + self.shape.end_m - 2 * self.left_m) * self.px_per_m

    @property
    def ground(self) -> float:
        """How far down the line of the ground lies [px]."""
        return self.at((0.0, self.shape.ground_level_m))[1]

    @property
    def height(self) -> float:
        """From the top to the bottom of the ground [px]."""
        bottom_m = self.shape.slab_m + self.shape.stone_m + BELOW_M
        return ABOVE + (self.shape.coping_level_m + bottom_m) * self.px_per_m


def ground_m(shape: PoolShape) -> float:
    """How much ground a section shows from edge to edge [m]."""
    return shape.length_m + 2 * _reach_m(shape)


def sheet_of(shape: PoolShape, px_per_m: float) -> Sheet:
    """The sheet a section is drawn on at a scale."""
    return Sheet(shape=shape, px_per_m=px_per_m, left_m=shape.start_m - _reach_m(shape))


def _reach_m(shape: PoolShape) -> float:
    """Ground shown beyond each end of the pool [m]."""
    dig = shape.dig()
    return max(shape.wall_m + shape.deck_width_m, shape.start_m - dig[0][0], dig[-1][0] - shape.end_m) + SIDE_M


def draw_long_section(
    shape: PoolShape,
    built: Built,
    *,
    fittings: tuple[FittingLevel, ...] = (),
    px_per_m: float = 40.0,
    words: bool = True,
    gettext: Gettext = str,
) -> LongSection:
    """The drawing of one pool; with ``words`` it carries depths and fittings, without it is a small picture.

    Pools drawn with one ``px_per_m`` can be compared by eye.
    """
    sheet = sheet_of(shape, px_per_m)
    ground_width, height = sheet.width, sheet.height
    labels = tuple(_fitting_labels(sheet, fittings, ground_width)) if words else ()
    label_width = max((words_width(one.words, SIZE) for one in labels), default=0.0)
    lowest = max((one.y for one in labels), default=0.0)
    return LongSection(
        width=px(ground_width + (LABEL_GAP + label_width + 4 if labels else 0)),
        height=px(max(height, lowest + 6)),
        ground=_ground(sheet, built, ground_width),
        layers=tuple(_layers(sheet, built, ground_width, height)),
        ahead=tuple(_ahead(sheet, built)),
        beyond=tuple(sheet.line(one.outline()) for one in shape.built_in if built.walls and not one.cut),
        liner=sheet.line(shape.lining()) if built.liner else "",
        surface=_surface(sheet, built),
        stakes=_stakes(sheet) if built.marked and not built.dig else (),
        depths=tuple(_depths(sheet)) if words else (),
        labels=labels,
        rows=tuple(_rows(shape, built, gettext)),
        summary=_summary(shape, built, gettext),
    )


def _layers(sheet: Sheet, built: Built, width: float, height: float) -> Iterator[Layer]:
    shape = sheet.shape
    ground = sheet.at((0, shape.ground_level_m))[1]
    yield Layer(kind="soil", points=points(((0, ground), (width, ground), (width, height), (0, height))))
    if built.dig:
        yield Layer(kind="hollow", points=sheet.line(shape.dig()))
    under = shape.slab_m
    if built.stone:
        yield Layer(
            kind="stone",
            points=sheet.line(shape.band(top_m=under, bottom_m=under + shape.stone_m, beyond_m=shape.wall_m)),
        )
    if built.floor:
        yield Layer(kind="concrete", points=sheet.line(shape.band(top_m=0, bottom_m=under, beyond_m=shape.wall_m)))
    if built.backfill:
        for far in (False, True):
            yield Layer(kind="fill", points=sheet.line(shape.backfill(far=far)))
    if built.walls or built.forms:
        for far in (False, True):
            yield Layer(kind="concrete" if built.walls else "forms", points=sheet.line(shape.wall(far=far)))
    if built.deck:
        for far in (False, True):
            yield Layer(kind="deck", points=sheet.line(shape.deck(far=far)))
    if built.water_level_m is not None and (water := shape.water(built.water_level_m)):
        yield Layer(kind="water", points=sheet.line(water))
    if built.walls:
        for one in shape.built_in:
            if one.cut:
                yield Layer(kind="concrete", points=sheet.line(one.outline()))


def _ground(sheet: Sheet, built: Built, width: float) -> str:
    """The line between air and earth: along the dig while it is open, broken by the pool once it is filled around."""
    shape = sheet.shape
    y = sheet.at((0, shape.ground_level_m))[1]
    if not built.dig:
        return points(((0, y), (width, y)))
    return points(((0, y), *(sheet.at(point) for point in shape.dig()), (width, y)))


def _ahead(sheet: Sheet, built: Built) -> Iterator[str]:
    """Outlines of what is still to come, drawn as broken lines."""
    shape = sheet.shape
    if not built.dig:
        yield sheet.line(shape.dig())
    if not built.floor:
        yield sheet.line(shape.floor(beyond_m=shape.wall_m))
    if not built.walls:
        yield from (sheet.line(one.outline()) for one in shape.built_in)
    for far in (False, True):
        if not (built.walls or built.forms):
            yield sheet.line(shape.wall(far=far))
        if not built.deck:
            yield sheet.line(shape.deck(far=far))


def _surface(sheet: Sheet, built: Built) -> str:
    """The water line from wall to wall as a path of small waves; empty when dry."""
    water = sheet.shape.water(built.water_level_m or 0.0)
    if not water:
        return ""
    (left, y), (right, _) = sheet.at(water[0]), sheet.at(water[-1])
    waves = max(round((right - left) / 18), 1)
    step = (right - left) / waves / 2
    path = f"M{px(left):g} {px(y):g}"
    return path + "".join(f"q{px(step / 2):g} -3 {px(step):g} 0t{px(step):g} 0" for _ in range(waves))


def _stakes(sheet: Sheet) -> tuple[tuple[float, float], ...]:
    dig = sheet.shape.dig()
    return tuple((px(x), px(y)) for x, y in (sheet.at(dig[0]), sheet.at(dig[-1])))


def _depths(sheet: Sheet) -> Iterator[Label]:
    """Shallow and deep depth under design water, each with its dimension line; the deep one only if it differs."""
    shape = sheet.shape
    shallow_x, shallow = shape.stations[0]
    flat = [x for x, depth in shape.stations if depth == shape.design_level_m]
    marks = [(_clear_of_built_in(shape, shallow_x + min(0.9, shape.length_m / 8)), shallow)]
    if shape.design_level_m > shallow:
        marks.append(((flat[0] + flat[-1]) / 2, shape.design_level_m))
    for x, depth in marks:
        top, foot = sheet.at((x, shape.design_level_m)), sheet.at((x, shape.design_level_m - depth))
        yield Label(
            x=px(top[0] + 7),
            y=px((top[1] + foot[1]) / 2 + 5),
            anchor="start",
            words=feet_words(depth),
            leader=points((top, foot)),
        )


def _clear_of_built_in(shape: PoolShape, x: float) -> float:
    """Where the shallow depth is told: past ledges and stairs, if the floor is as shallow there."""
    past = max((one.until_m for one in shape.built_in), default=x - BESIDE_M) + BESIDE_M
    level_until = next((at for at, depth in reversed(shape.stations) if depth == shape.stations[0][1]), x)
    return past if x < past <= level_until else x


def _fitting_labels(sheet: Sheet, fittings: tuple[FittingLevel, ...], ground_width: float) -> Iterator[Label]:
    """Fittings beside the ground, highest first, each at its level or as near below as words allow."""
    shape = sheet.shape
    flat = [x for x, depth in shape.stations if depth == shape.design_level_m]
    lowest = ABOVE - LABEL_STEP + 4
    for fitting in sorted(fittings, key=lambda one: (-one.level_m, one.title)):
        if fitting.kind == "main_drain":
            place = ((flat[0] + flat[-1]) / 2, 0.0)
        else:
            place = (shape.end_m if fitting.kind in FAR_FITTINGS else shape.start_m, fitting.level_m)
        at = sheet.at(place)
        y = max(at[1], lowest + LABEL_STEP)
        lowest = y
        x = ground_width + LABEL_GAP
        said = f"{fitting.title} {feet_words(fitting.level_m)}"
        yield Label(
            x=px(x),
            y=px(y + 4),
            anchor="start",
            words=f"{said}, {fitting.note}" if fitting.note else said,
            leader=points((at, (ground_width - 2, at[1]), (x - 4, y))),
        )


def _state(built: Built, key: str, gettext: Gettext) -> tuple[str, bool]:
    if getattr(built, key):
        return gettext("done"), True
    if key == "walls" and built.forms:
        return gettext("forms up, not poured"), False
    if key == "dig" and built.marked:
        return gettext("marked, not dug"), False
    return gettext("to come"), False


def _rows(shape: PoolShape, built: Built, gettext: Gettext) -> Iterator[Row]:
    for key, part in PARTS:
        state, done = _state(built, key, gettext)
        yield Row(part=gettext(part), state=state, done=done)
        if key == "walls" and shape.built_in:
            yield Row(
                part=gettext("Ledges and stairs"),
                state=gettext("done") if built.walls else gettext("to come"),
                done=built.walls,
            )
    yield Row(part=gettext("Water"), state=_water_words(shape, built, gettext), done=_is_full(shape, built))


def _is_full(shape: PoolShape, built: Built) -> bool:
    return built.water_level_m is not None and built.water_level_m >= shape.design_level_m - 0.005


def _water_words(shape: PoolShape, built: Built, gettext: Gettext) -> str:
    if built.water_level_m is None or built.water_level_m <= 0:
        return gettext("none")
    if _is_full(shape, built):
        return gettext("at its level, {level} at the deepest").format(level=feet_words(built.water_level_m))
    return gettext("{level} at the deepest of {full}").format(
        level=feet_words(built.water_level_m), full=feet_words(shape.design_level_m)
    )


def _summary(shape: PoolShape, built: Built, gettext: Gettext) -> str:
    """One sentence of the whole drawing."""
    rows = tuple(_rows(shape, built, gettext))[:-1]
    done = ", ".join(row.part.lower() for row in rows if row.done) or gettext("nothing yet")
    return gettext("Long section, {length} long, {shallow} to {deep} deep. Built: {done}. Water: {water}.").format(
        length=feet_words(shape.length_m),
        shallow=feet_words(min(depth for _, depth in shape.stations)),
        deep=feet_words(shape.design_level_m),
        done=done,
        water=_water_words(shape, built, gettext),
    )
