"""A rectangular pool as a crew gives it: water line, depths, and the parts of the floor."""

from jobs.domain.basin import RectangularBasin
from jobs.domain.errors import CannotDo
from jobs.domain.units import m_from_ft
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import feet_words
from planner.calculators.asking.inputs import Ask, Choose, Input, Values, When
from planner.calculators.asking.units import LENGTH, WATER

OUTLINE, FLOOR = "Water line and depths", "Floor (leave empty for one even slope)"
# No pool of this trade is smaller, longer or deeper: common practice, no source.
SHORTEST_M, LONGEST_M, DEEPEST_M = m_from_ft(1.0), m_from_ft(300.0), m_from_ft(26.0)
HIGHEST_COPING_M = m_from_ft(3.0)
# A tape is read to a sixteenth of an inch.
TAPE_M = 0.0016


SHAPE = Choose(
    name="shape",
    label="Water line",
    options=(
        ("rectangle", "Rectangle"),
        ("l-shape", "L: a leg at one side"),
        ("oval", "Oval; round where length and width are the same"),
        ("round-ends", "Straight sides, half-round ends"),
        ("kidney", "Kidney"),
        ("stations", "Free form, measured at stations"),
    ),
    default="rectangle",
    group=OUTLINE,
)
BY_LENGTH_AND_WIDTH = When(choice=SHAPE.name, values=tuple(value for value, _ in SHAPE.options if value != "stations"))


def _across(name: str, label: str, example: str, longest_m: float, help: str = "") -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=LENGTH,
        low=SHORTEST_M,
        high=longest_m,
        source=COMMON_PRACTICE,
        example=example,
        help=help,
        group=OUTLINE,
        when=BY_LENGTH_AND_WIDTH,
    )


def _part(name: str, label: str, example: str, help: str) -> Ask:
    return Ask(
        name=name,
        label=label,
        kind=LENGTH,
        low=0.0,
        high=LONGEST_M,
        source=COMMON_PRACTICE,
        default="0",
        example=example,
        help=help,
        group=FLOOR,
        when=BY_LENGTH_AND_WIDTH,
    )


WATER_IN_POOL = Ask(
    name="volume",
    label="Water in the pool",
    kind=WATER,
    low=0.1,
    high=5000.0,
    source="dose_chart",
    example="20,000 gal",
    formula_names=("volume_m3",),
)
POOL_INPUTS: tuple[Input, ...] = (
    _across("length", "Length of the water line", "40 ft", LONGEST_M),
    _across("width", "Width of the water line", "20 ft", LONGEST_M, "Of a kidney: across its wide lobe."),
    _across("shallow_depth", "Water depth, shallow end", "3 ft 6 in", DEEPEST_M),
    _across("deep_depth", "Water depth, deepest", "8 ft", DEEPEST_M),
    Ask(
        name="freeboard",
        label="Coping above the water",
        kind=LENGTH,
        low=0.0,
        high=HIGHEST_COPING_M,
        source=COMMON_PRACTICE,
        default="6 in",
        group=OUTLINE,
    ),
    _part("shallow_length", "Level shallow floor", "14 ft", "Along the length, from the shallow end."),
    _part("deep_length", "Level deep floor", "8 ft", "Along the length; the main slope takes what is left."),
    _part("back_slope", "Back slope", "8 ft", "In plan, from the deep floor up to the deep end wall."),
    _part("side_slope", "Side slope, each side", "6 ft", "In plan, beside the deep floor."),
)


def basin_of(values: Values) -> RectangularBasin:
    """The pool that was given; the main slope is what its other parts leave of the length.

    Raises
    ------
    CannotDo
        ``calculator.deep_above_shallow``, ``calculator.parts_too_long``, ``calculator.no_main_slope``,
        ``calculator.side_slopes_too_wide``, ``calculator.slopes_without_drop``.
    """
    length, width = values.si("length"), values.si("width")
    shallow, deep = values.si("shallow_depth"), values.si("deep_depth")
    parts = {name: values.si(name) for name in ("shallow_length", "deep_length", "back_slope")}
    slope = length - sum(parts.values())
    if deep < shallow:
        raise CannotDo(
            "calculator.deep_above_shallow", field="deep_depth", deep=feet_words(deep), shallow=feet_words(shallow)
        )
    if slope < -TAPE_M:
        raise CannotDo(
            "calculator.parts_too_long",
            field="deep_length",
            parts=feet_words(sum(parts.values())),
            length=feet_words(length),
        )
    if deep == shallow:
        return _level(values, length, width)
    if slope < TAPE_M:
        raise CannotDo(
            "calculator.no_main_slope", field="deep_length", shallow=feet_words(shallow), deep=feet_words(deep)
        )
    side = values.si("side_slope")
    if 2 * side >= width:
        raise CannotDo(
            "calculator.side_slopes_too_wide", field="side_slope", side=feet_words(side), width=feet_words(width)
        )
    return RectangularBasin(
        length_m=length,
        width_m=width,
        shallow_depth_m=shallow,
        deep_depth_m=deep,
        shallow_length_m=parts["shallow_length"],
        slope_length_m=slope,
        deep_length_m=parts["deep_length"],
        back_slope_length_m=parts["back_slope"],
        side_slope_width_m=side,
        freeboard_m=values.si("freeboard"),
    )


def _level(values: Values, length: float, width: float) -> RectangularBasin:
    for name, label in (("back_slope", "back slope"), ("side_slope", "side slope")):
        if values.si(name) > 0:
            raise CannotDo("calculator.slopes_without_drop", field=name, label=label, slope=feet_words(values.si(name)))
    depth = values.si("deep_depth")
    return RectangularBasin(
        length_m=length,
        width_m=width,
        shallow_depth_m=depth,
        deep_depth_m=depth,
        shallow_length_m=0.0,
        slope_length_m=0.0,
        deep_length_m=length,
        freeboard_m=values.si("freeboard"),
    )
