"""What an office buys and in which sizes; every number is a starting point to be replaced by its own."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from jobs.domain.errors import CannotDo
from jobs.domain.order.bars import bar_of
from jobs.domain.shapes.entered import check_not_negative, check_positive
from jobs.domain.units import KG_PER_LB, M3_PER_YD3, M_PER_FT, M_PER_IN

MAY_BE_NOTHING = frozenset(
    {"lap_diameters", "pour_loss", "pour_spread", "form_waste", "sheet_lap", "liner_lap", "pipe_waste"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """Sizes, laps and prices. Defaults: common practice, no source, unless said otherwise.

    Sizes are those sold in the United States, in whole inches and feet. Concrete is sold by the quarter yard,
    stone by the ton of 2000 lb, spoil hauled by twelve yards.

    Attributes
    ----------
    bar, bar_spacing_m : size and spacing of the floor mat [m].
    wall_bar, wall_bar_spacing_m : size and spacing of upright wall bars [m]; level ones lie in each course.
    stock_bar_m : length of a bar as sold [m]. ``lap_diameters`` : lap in bar diameters.
    course_m, form_piece_m, corner_leg_m : insulated forms [m]. ``form_waste`` : share lost in cuts.
    brace_every_m, brace_set_m : between braces, and wall that one set braces [m].
    liner_lap, sheet_lap : share over the area for seams and trimming.
    sheet_roll_m2, foam_sheet_m2, tile_box_m : as sold [m2, m2, m].
    coping_piece_m, pipe_piece_m : length of a coping unit and of a pipe [m]. ``pipe_waste`` : share lost in cuts.
    stone_compacts, stone_t_m3, stone_load_t : loose over placed, density, least load.
    spoil_truck_m3 : loose soil a truck carries [m3].
    pour_step_m3, truck_m3 : as the plant sells and carries [m3].
    pour_loss, pour_spread : share over the net that is usually used, and its standard deviation; NRMCA CIP 8 asks
        for 4 to 10 % over.
    chemical_bag_kg : salt and stabiliser as sold [kg].
    short_dollars_m3, waste_dollars_m3 : price of a m3 short and of a m3 too many [dollars]: 600 and 160 a cubic yard.
    """

    bar: str = "#3"
    bar_spacing_m: float = 12 * M_PER_IN
    wall_bar: str = "#4"
    wall_bar_spacing_m: float = 16 * M_PER_IN
    stock_bar_m: float = 20 * M_PER_FT
    lap_diameters: float = 40.0
    course_m: float = 16 * M_PER_IN
    form_piece_m: float = 4 * M_PER_FT
    corner_leg_m: float = 20 * M_PER_IN
    form_waste: float = 0.05
    brace_every_m: float = 6 * M_PER_FT
    brace_set_m: float = 130 * M_PER_FT
    liner_lap: float = 0.08
    sheet_lap: float = 0.05
    sheet_roll_m2: float = 400 * M_PER_FT**2
    foam_sheet_m2: float = 32 * M_PER_FT**2
    tile_box_m: float = 10 * M_PER_FT
    coping_piece_m: float = 24 * M_PER_IN
    pipe_piece_m: float = 20 * M_PER_FT
    pipe_waste: float = 0.05
    stone_compacts: float = 1.15
    stone_t_m3: float = 1.6
    stone_load_t: float = 2000 * KG_PER_LB / 1000
    spoil_truck_m3: float = 12 * M3_PER_YD3
    pour_step_m3: float = M3_PER_YD3 / 4
    truck_m3: float = 7.6
    pour_loss: float = 0.05
    pour_spread: float = 0.03
    chemical_bag_kg: float = 40 * KG_PER_LB
    short_dollars_m3: float = 785.0
    waste_dollars_m3: float = 209.0

    def __post_init__(self) -> None:
        for name in (field.name for field in fields(self)):
            if name in ("bar", "wall_bar"):
                bar_of(getattr(self, name))
            elif name in MAY_BE_NOTHING:
                check_not_negative(name, getattr(self, name))
            else:
                check_positive(name, getattr(self, name))

    def lap_m(self, size: str) -> float:
        """Lap of a bar [m]."""
        return self.lap_diameters * bar_of(size).diameter_m


USUAL_BUYING = Buying()


def buying_from(own: Mapping[str, Any]) -> Buying:
    """The usual sizes and prices with an office's own in place of them.

    Parameters
    ----------
    own : Mapping[str, Any]
        Values by the names of ``Buying``.

    Raises
    ------
    CannotDo
        ``order.bad_buying`` for a name it does not have or a text that is no number; as ``Buying`` says for the rest.

    Examples
    --------
    >>> buying_from({"short_dollars_m3": 900}).short_dollars_m3
    900
    """
    known = [field.name for field in fields(Buying)]
    if not isinstance(own, Mapping):
        raise CannotDo("order.bad_buying", field="buying", name=own, known=", ".join(known))
    for name in own:
        if name not in known:
            raise CannotDo("order.bad_buying", field="buying", name=name, known=", ".join(known))
    return Buying(**own)
