"""What a plastered face takes: waterproofing, water-line tile, plaster."""

from dataclasses import replace

from jobs.domain.order.buying import USUAL_BUYING
from jobs.domain.order.faces import plaster_lines
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.taken import taken_off
from jobs.domain.units import ft2_from_m2, ft_from_m, m_from_ft, m_from_in
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, line
from planner.calculators.answering.pictures import PoolPlan, PoolSection
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.designs import design_of
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.shapes import SHAPED_INPUTS, shaped_basin_of
from planner.calculators.asking.sizes import TILE, size
from planner.calculators.asking.units import LENGTH, THICKNESS
from planner.calculators.calculator import Calculator

COPING_UNITS = "Coping units"

INPUTS = (
    *SHAPED_INPUTS,
    size("tile_band", "Height of the tile band", THICKNESS, 0.0, m_from_in(36.0), default="6 in", group=TILE),
    size(
        "tile_extra",
        "More tile: raised walls, a spa",
        LENGTH,
        0.0,
        m_from_ft(500.0),
        default="0",
        help="Length of band beyond the water line.",
        group=TILE,
    ),
    size("tile_box", "A box of tile makes", LENGTH, m_from_ft(1.0), m_from_ft(100.0), default="10 ft", group=TILE),
)


def compute(values: Values) -> Answer:
    """Waterproofing, tile and plaster by area and length."""
    basin = shaped_basin_of(values)
    design = design_of(basin, tile_band_m=values.si("tile_band"), tile_extra_m=values.si("tile_extra"))
    buying = replace(USUAL_BUYING, tile_box_m=values.si("tile_box"))
    taken = taken_off(design, finish="plaster", buying=buying, say=sold_in_us)
    # Coping is asked with the deck, by its own unit and width.
    order = tuple(one for one in plaster_lines(taken) if one.item != COPING_UNITS)
    waterproofing, tile, plaster = order
    return Answer(
        says=(
            f"Plaster for {amount(ft2_from_m2(plaster.bought_quantity))} ft² and {tile.bought_quantity:.0f}"
            f" box{'' if tile.bought_quantity == 1 else 'es'} of tile."
        ),
        lines=(
            line("Plaster", ft2_from_m2(plaster.quantity), "ft²", also=f"{amount(plaster.quantity, 1)} m²"),
            line("Waterproofing, two coats", ft2_from_m2(waterproofing.bought_quantity), "ft²", also="both together"),
            line("Boxes of tile", tile.bought_quantity, "", also=f"for {amount(ft_from_m(tile.quantity), 1)} ft"),
            line("Inner face, floor and walls", ft2_from_m2(taken.amounts["inner_m2"]), "ft²"),
            line("Floor, on its slopes", ft2_from_m2(taken.amounts["floor_m2"]), "ft²"),
        ),
        formula=(
            "Inner face = floor with its slopes at true length + upright faces up to the coping, risers of ledges and"
            " stairs among them.",
            "Plaster = inner face − water line × height of the tile band. Waterproofing = inner face × 2 coats.",
            "Boxes of tile = (water line + more tile) / a box, rounded up.",
        ),
        sources=(
            f"Areas: {said_source('kern_pool_sizing')}",
            f"Coats, bands and boxes: {COMMON_PRACTICE}; the finish maker's card governs",
        ),
        cautions=(
            "Areas as drawn: a sprayed or rough shell takes more. Buy plaster by the maker's yield at your thickness.",
            "Plaster and thinset burn skin and eyes; dust of dry mix scars lungs.",
            DEFERS,
        ),
        pictures=(
            PoolSection(title="The face from the side", basin=basin, level_m=basin.design_level_m),
            PoolPlan(title="The water line from above", basin=basin),
        ),
        order=tuple(one for one in order if one.bought_quantity > 0),
    )


CALCULATOR = Calculator(
    name="plaster",
    title="Plaster, waterproofing and tile",
    question="How much plaster, waterproofing and tile?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
