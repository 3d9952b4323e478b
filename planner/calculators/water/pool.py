"""How much water a pool holds, and how much face it has."""

from collections.abc import Callable

from jobs.domain.basin import Basin
from jobs.domain.errors import CannotDo
from jobs.domain.shapes.solids import solid_m3
from jobs.domain.shapes.standing import standing
from jobs.domain.units import ft2_from_m2, ft3_from_m3, ft_from_m, gallons_from_m3, gpm_from_m3_h, m_from_ft
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, Line, amount, built_words, feet_words, line
from planner.calculators.answering.pictures import Axis, Curve, Mark, PoolPlan, PoolSection, Series
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.inputs import Ask, Values
from planner.calculators.asking.pools import DEEPEST_M, SHAPE
from planner.calculators.asking.shapes import SHAPED_INPUTS, shaped_basin_of
from planner.calculators.asking.units import LENGTH
from planner.calculators.calculator import Calculator

# Residential pools turn their water over in twelve hours (phta_5).
TURNOVER_H = 12.0
# A curve is drawn from as many points.
CURVE_POINTS = 60

LEVEL = Ask(
    name="level",
    label="Water level now",
    kind=LENGTH,
    low=0.0,
    high=DEEPEST_M,
    source=COMMON_PRACTICE,
    optional=True,
    help="Above the deepest point of the floor; leave empty for the full pool.",
    group="Water",
)

SHAPE_FORMULAS = {
    "l-shape": ("The main part and its leg, each by itself; a step between their floors is an upright face.",),
    "oval": ("Cut into narrow strips with their true areas; an oval is π / 4 × length × width.",),
    "round-ends": ("Cut into narrow strips with their true areas; W (L − W) + π W² / 4.",),
    "kidney": ("Cut into narrow strips; where no waist is given, the area is 0.45 × (wide + narrow) × length.",),
    "stations": ("Between two stations the prismoidal rule, L (A1 + 4 Am + A2) / 6: widths and depth change evenly.",),
}


def compute(values: Values) -> Answer:
    """Water, areas and the long section of a pool."""
    basin = shaped_basin_of(values)
    level = values.maybe("level")
    if level is not None and level > basin.max_level_m:
        raise CannotDo(
            "calculator.level_above_coping",
            field=LEVEL.name,
            level=feet_words(level),
            coping=feet_words(basin.max_level_m),
        )
    gallons = gallons_from_m3(basin.water_volume_m3)
    shown = basin.design_level_m if level is None else level
    return Answer(
        says=f"The pool holds {amount(gallons)} gallons.",
        lines=(*_lines(basin), *(() if level is None else _at_level(basin, level))),
        formula=(
            "Water above the shallow floor: length × width × height.",
            "Below it the exact prismatoid: V = h / 6 × (A1 + 4 Am + A2), with the areas of its top, middle and foot.",
            "Floor: flat parts, and slopes at their true length √(run² + rise²). Walls: upright faces to the coping.",
            *SHAPE_FORMULAS.get(values.choice(SHAPE.name), ()),
            "1 ft³ = 7.480519 US gallons.",
        ),
        sources=(
            said_source("kern_pool_sizing"),
            *((f"Area of a kidney: {COMMON_PRACTICE}",) if values.choice(SHAPE.name) == "kidney" else ()),
            f"Twelve hours: {said_source('phta_5')}",
        ),
        cautions=(
            "Sharp corners and plane slopes: rounded corners hold a little less. The drawing governs; a metered fill"
            " tells the true volume.",
            DEFERS,
        ),
        pictures=(
            PoolSection(title="The pool from the side", basin=basin, level_m=shown),
            PoolPlan(title="Its water line from above", basin=basin),
            _curve(basin, "Water by level", "gal", lambda at: gallons_from_m3(basin.volume_at_m3(at)), shown),
            _curve(basin, "Surface by level", "ft²", lambda at: ft2_from_m2(basin.surface_at_m2(at)), shown),
        ),
    )


def _lines(basin: Basin) -> tuple[Line, ...]:
    water, surface = basin.water_volume_m3, basin.water_surface_m2
    walls = basin.wetted_wall_m2(basin.max_level_m)
    return (
        line(
            "Water when full",
            gallons_from_m3(water),
            "gal",
            also=f"{amount(ft3_from_m3(water))} ft³, {amount(water, 1)} m³",
        ),
        line("Water surface", ft2_from_m2(surface), "ft²", also=f"{amount(surface, 1)} m²"),
        *_displaced(basin),
        line("Average depth", ft_from_m(water / surface), "ft", 2),
        line("Water line around", ft_from_m(basin.perimeter_m), "ft", 1),
        line(
            "Floor, on its slopes", ft2_from_m2(basin.floor_area_m2), "ft²", also=f"{amount(basin.floor_area_m2, 1)} m²"
        ),
        line("Walls up to the coping", ft2_from_m2(walls), "ft²", also=f"{amount(walls, 1)} m²"),
        line("Inner face, floor and walls", ft2_from_m2(basin.floor_area_m2 + walls), "ft²"),
        line("Inch of water", gallons_from_m3(surface * 0.0254), "gal"),
        line("Flow that turns it over in 12 h", gpm_from_m3_h(water / TURNOVER_H), "gpm", 1),
    )


def _displaced(basin: Basin) -> tuple[Line, ...]:
    """Together, and each by itself where there is more than one."""
    taken, found = solid_m3(basin), standing(basin)
    if not found:
        return ()
    each = ((built_words(one), one.volume_m3) for one in found) if len(found) > 1 else ()
    return (
        line("Taken by ledges and stairs", gallons_from_m3(taken), "gal", also=f"{amount(ft3_from_m3(taken), 1)} ft³"),
        *(line(f"– {words}", gallons_from_m3(volume), "gal") for words, volume in each),
    )


def _at_level(basin: Basin, level_m: float) -> tuple[Line, ...]:
    water, walls = basin.volume_at_m3(level_m), basin.wetted_wall_m2(level_m)
    at = feet_words(level_m)
    return (
        line(f"Water at {at}", gallons_from_m3(water), "gal", also=f"{amount(ft3_from_m3(water), 1)} ft³"),
        line(f"Water surface at {at}", ft2_from_m2(basin.surface_at_m2(level_m)), "ft²"),
        line(f"Walls under water at {at}", ft2_from_m2(walls), "ft²", also=f"{amount(walls, 1)} m²"),
    )


def _curve(basin: Basin, title: str, unit: str, at: Callable[[float], float], level_m: float) -> Curve:
    """Something that grows with the level, up to the design water."""
    full = ft_from_m(basin.design_level_m)
    places = [full * part / CURVE_POINTS for part in range(CURVE_POINTS + 1)]
    values = [at(m_from_ft(place)) for place in places]
    step = 1.0 if full > 2 else 0.25
    now = at(level_m)
    return Curve(
        title=title,
        x=Axis(label="Level above the deepest floor", unit="ft", low=0.0, high=full),
        y=Axis(label=title.partition(" ")[0], unit=unit, low=0.0, high=1.1 * max(values)),
        series=(Series(label=title, points=tuple(zip(places, values, strict=True))),),
        marks=(
            Mark(
                at=(ft_from_m(level_m), now),
                label=f"{amount(now)} {unit}",
                says=f"{amount(now)} {unit} at {feet_words(level_m)}",
            ),
        )
        if level_m <= basin.design_level_m
        else (),
        table=tuple(step * number for number in range(int(full / step) + 1)),
    )


CALCULATOR = Calculator(
    name="pool",
    title="Pool",
    question="How much water does it hold, and how much face does it have?",
    inputs=(*SHAPED_INPUTS, LEVEL),
    compute=compute,
)
