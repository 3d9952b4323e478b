"""The forms a shell is poured in: straight pieces and corners by course, and the braces that hold them."""

from collections.abc import Iterator

from jobs.domain.design import PoolDesign
from jobs.domain.order.bars import bars_round
from jobs.domain.order.buying import Buying
from jobs.domain.order.forms import FormPieces, corners_of, form_pieces
from jobs.domain.order.lines import OrderLine, pieces
from jobs.domain.order.taken import PRACTICE, Taken, counted_line


def wall_forms(design: PoolDesign, *, buying: Buying) -> FormPieces:
    """Pieces of insulated form for the walls of a pool, along the middle of the form."""
    basin = design.basin
    return form_pieces(
        length_m=basin.offset_length_m(design.form_thickness_m / 2),
        height_m=design.wall_height_m,
        deep_m2=basin.deep_wall_m2,
        corners=corners_of(basin.outline()),
        course_m=buying.course_m,
        piece_m=buying.form_piece_m,
        corner_leg_m=buying.corner_leg_m,
        waste=buying.form_waste,
    )


def form_lines(pool: Taken) -> Iterator[OrderLine]:
    """Forms, corners and braces."""
    design, buying, say = pool.design, pool.buying, pool.say
    length = design.basin.offset_length_m(design.form_thickness_m / 2)
    found = wall_forms(design, buying=buying)
    how = f"{found.courses} courses of {say(buying.course_m, 'cm')} round {say(length, 'm')}"
    yield counted_line("Straight forms", found.straight, f"{how}, {buying.form_waste:.0%} lost in cuts", PRACTICE)
    yield counted_line("Corner forms, outside", found.corners_out, how, PRACTICE)
    yield counted_line("Corner forms, inside", found.corners_in, how, PRACTICE)
    perimeter = design.basin.perimeter_m
    sets = pieces(perimeter, buying.brace_set_m)
    yield OrderLine(
        item="Braces",
        quantity=perimeter,
        unit="m",
        bought_quantity=sets,
        bought_unit="set" if sets == 1 else "sets",
        how=(
            f"{bars_round(perimeter, buying.brace_every_m)} braces, one every {say(buying.brace_every_m, 'm')} "
            f"of wall; a set stands along {say(buying.brace_set_m, 'm')}"
        ),
        source=PRACTICE,
    )
