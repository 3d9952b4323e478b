"""A pool as the take-off wants it, from what a calculator asks."""

from dataclasses import replace
from typing import Any

from jobs.domain.basin import Basin
from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.order.buying import USUAL_BUYING, Buying
from jobs.domain.units import M3_PER_YD3
from planner.calculators.answering.answer import feet_words
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.shapes import LEDGES, SHAPED_INPUTS, STAIRS
from planner.calculators.asking.sizes import WALL_HEIGHT

# What is built into a pool does not change its forms, its coping or its deck.
SHELL_SHAPE = tuple(one for one in SHAPED_INPUTS if one not in (LEDGES, STAIRS))

# What a core leaves of the form it stands in, at most: common practice, no source.
CORE_OF_FORM = 0.75
USUAL_CORE_M = 0.152


def design_of(basin: Basin, **known: Any) -> PoolDesign:
    """A design of which nothing is counted but what is known; the rest is usual.

    Raises
    ------
    CannotDo
        As ``PoolDesign``.
    """
    counted = ("fence_m", "pipe_m", "floor_pipe_m", "floor_steel_kg", "bond_points_each", "deck_joint_m")
    nothing: dict[str, Any] = {
        "soil": "loam",
        "deck_width_m": 0.0,
        "equipment_each": 0.0,
        **dict.fromkeys(counted, 0.0),
    }
    form = known.get("form_thickness_m")
    core = {} if form is None else {"core_m": min(USUAL_CORE_M, CORE_OF_FORM * form)}
    return PoolDesign(basin=basin, **{**nothing, **core, **known})


def wall_height_of(values: Values, basin: Basin) -> float | None:
    """The height of the wall that was given [m]; ``None`` is up to the coping.

    Raises
    ------
    CannotDo
        ``calculator.wall_below_water``.
    """
    given, water = values.maybe(WALL_HEIGHT.name), basin.design_level_m - basin.wall_foot_level_m
    if given is not None and given < water - 1e-9:
        raise CannotDo(
            "calculator.wall_below_water", field=WALL_HEIGHT.name, wall=feet_words(given), water=feet_words(water)
        )
    return given


def pour_buying(values: Values, buying: Buying = USUAL_BUYING) -> Buying:
    """The same buying with the prices and the waste of pours that were given."""
    return replace(
        buying,
        short_dollars_m3=values.si("short") / M3_PER_YD3,
        waste_dollars_m3=values.si("waste") / M3_PER_YD3,
        pour_loss=values.si("loss") / 100,
        pour_spread=values.si("spread") / 100,
    )
