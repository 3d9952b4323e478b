"""What the inner face is made of, and what goes round it: liner or plaster, coping, deck."""

from collections.abc import Iterator

from jobs.domain.order.lines import OrderLine
from jobs.domain.order.taken import Taken, area_line, length_line, pour_line


def liner_lines(pool: Taken) -> Iterator[OrderLine]:
    """Liner, wall sheet, floor foam."""
    basin, amounts, buying, say = pool.design.basin, pool.amounts, pool.buying, pool.say
    xs, ys = zip(*basin.outline(), strict=True)
    size = (
        f"{say(max(xs) - min(xs), 'size')} x {say(max(ys) - min(ys), 'size')}, {say(basin.design_level_m, 'size')} "
        "deep, for the quote only: it is made to the measured basin"
    )
    face = amounts["liner_m2"]
    yield area_line("Liner", face, face * (1 + buying.liner_lap), 0.1, None, f"{buying.liner_lap:.0%} lap; {size}")
    yield area_line(
        "Wall sheet",
        amounts["wall_m2"],
        amounts["wall_m2"] * (1 + buying.sheet_lap),
        buying.sheet_roll_m2,
        ("roll", "rolls", say(buying.sheet_roll_m2, "m2")),
        f"wall and {buying.sheet_lap:.0%} for trimming",
    )
    yield area_line(
        "Floor foam",
        amounts["floor_m2"],
        amounts["floor_m2"] * (1 + buying.sheet_lap),
        buying.foam_sheet_m2,
        ("sheet", "sheets", say(buying.foam_sheet_m2, "m2")),
        f"floor along its slopes and {buying.sheet_lap:.0%} for trimming",
    )


def plaster_lines(pool: Taken) -> Iterator[OrderLine]:
    """Waterproofing, tile, coping units, plaster."""
    amounts, buying, say = pool.amounts, pool.buying, pool.say
    inner = amounts["inner_m2"]
    yield area_line("Waterproofing, two coats", inner, 2 * inner, 0.1, None, "inner face, twice")
    tile = ("box", "boxes", say(buying.tile_box_m, "m"))
    yield length_line("Water-line tile", amounts["tile_m"], buying.tile_box_m, tile, "water line and raised walls")
    yield coping_line(pool)
    yield area_line("Plaster", amounts["plaster_m2"], amounts["plaster_m2"], 0.1, None, "inner face less the tile band")


def coping_line(pool: Taken) -> OrderLine:
    """Coping laid in units."""
    return length_line(
        "Coping units",
        pool.amounts["coping_m"],
        pool.buying.coping_piece_m,
        ("piece", "pieces", pool.say(pool.buying.coping_piece_m, "m")),
        "middle of the coping all round; corners are cut from them",
    )


def deck_lines(pool: Taken) -> Iterator[OrderLine]:
    """Concrete for the deck."""
    if pool.nets.deck_m3:
        yield pour_line(pool, "Concrete for the deck", pool.nets.deck_m3)
