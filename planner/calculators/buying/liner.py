"""The liner to order, and what lies under it: wall sheet and floor foam."""

from dataclasses import replace

from jobs.domain.order.buying import USUAL_BUYING
from jobs.domain.order.faces import liner_lines
from jobs.domain.order.sold import sold_in_us
from jobs.domain.order.taken import taken_off
from jobs.domain.units import M_PER_FT, ft2_from_m2, ft_from_m
from jobs.science.sources import COMMON_PRACTICE
from planner.calculators.answering.answer import DEFERS, Answer, amount, feet_words, line
from planner.calculators.answering.pictures import PoolPlan, PoolSection
from planner.calculators.answering.sources import said_source
from planner.calculators.asking.designs import design_of, wall_height_of
from planner.calculators.asking.inputs import Values
from planner.calculators.asking.shapes import SHAPED_INPUTS, shaped_basin_of
from planner.calculators.asking.sizes import SHEETS, WALL_HEIGHT, share, size
from planner.calculators.asking.units import AREA
from planner.calculators.calculator import Calculator

M2_PER_FT2 = M_PER_FT**2

INPUTS = (
    *SHAPED_INPUTS,
    WALL_HEIGHT,
    share("liner_lap", "Over the face, for the bead and seams", "8 %", group=SHEETS),
    share("sheet_lap", "Over sheet and foam, for trimming", "5 %", group=SHEETS),
    size("roll", "A roll of wall sheet covers", AREA, M2_PER_FT2, 2000 * M2_PER_FT2, default="400 ft²", group=SHEETS),
    size("foam", "A sheet of floor foam covers", AREA, M2_PER_FT2, 500 * M2_PER_FT2, default="32 ft²", group=SHEETS),
)


def compute(values: Values) -> Answer:
    """Liner, rolls of wall sheet, sheets of foam."""
    basin = shaped_basin_of(values)
    buying = replace(
        USUAL_BUYING,
        liner_lap=values.si("liner_lap") / 100,
        sheet_lap=values.si("sheet_lap") / 100,
        sheet_roll_m2=values.si("roll"),
        foam_sheet_m2=values.si("foam"),
    )
    taken = taken_off(
        design_of(basin, form_height_m=wall_height_of(values, basin)), finish="liner", buying=buying, say=sold_in_us
    )
    order, amounts = tuple(liner_lines(taken)), taken.amounts
    liner, sheet, foam = (one.bought_quantity for one in order)
    xs, ys = zip(*basin.outline(), strict=True)
    length, width = max(xs) - min(xs), max(ys) - min(ys)
    return Answer(
        says=(
            f"A liner of {amount(ft2_from_m2(liner))} ft² for {feet_words(length)} × {feet_words(width)},"
            f" {feet_words(basin.design_level_m)} deep."
        ),
        lines=(
            line("Liner to order", ft2_from_m2(liner), "ft²", also=f"{amount(liner, 1)} m²"),
            line("Inner face it covers", ft2_from_m2(amounts["liner_m2"]), "ft²"),
            line("Length of the water line", ft_from_m(length), "ft", 2),
            line("Width of the water line", ft_from_m(width), "ft", 2),
            line("Around, for the bead", ft_from_m(basin.perimeter_m), "ft", 1),
            line("Rolls of wall sheet", sheet, "", also=f"for {amount(ft2_from_m2(amounts['wall_m2']))} ft² of wall"),
            line("Sheets of floor foam", foam, "", also=f"for {amount(ft2_from_m2(amounts['floor_m2']))} ft² of floor"),
        ),
        formula=(
            "Inner face = floor with its slopes at true length + upright faces up to the coping; a top of a ledge or"
            " stair covers as much floor as it adds.",
            "Liner = face × (1 + lap). Wall sheet = (water line × height of the wall + upright deep walls) × (1 +"
            " trimming) / a roll; foam = floor × (1 + trimming) / a sheet; both rounded up.",
        ),
        sources=(
            f"Areas: {said_source('kern_pool_sizing')}",
            f"Laps, rolls and sheets: {COMMON_PRACTICE}; the maker's own sizes govern",
        ),
        cautions=(
            "For the quote only. A liner is made to the basin as measured, after shell, steps and floor are finished;"
            " nothing is ordered from the drawing.",
            "Say with the order: the kind of bead, every step, ledge and bench, each corner's radius, and where the"
            " fittings are.",
            DEFERS,
        ),
        pictures=(
            PoolSection(title="The face from the side", basin=basin, level_m=basin.design_level_m),
            PoolPlan(title="The liner from above", basin=basin),
        ),
        order=order,
    )


CALCULATOR = Calculator(
    name="liner",
    title="Liner, wall sheet and foam",
    question="What liner, how much wall sheet and floor foam?",
    inputs=INPUTS,
    compute=compute,
    orders=True,
)
