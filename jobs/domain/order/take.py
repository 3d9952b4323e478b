"""The order list of one pool: everything that is bought for it, rounded up to what is sold."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import get_args

from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.order.bars import Runs, bar_of, bars_across, bars_round, closed, mat, straight
from jobs.domain.order.buying import USUAL_BUYING, Buying
from jobs.domain.order.concrete import concrete_order_m3
from jobs.domain.order.finish import Finish
from jobs.domain.order.forms import corners_of, courses_of, form_pieces
from jobs.domain.order.lines import OrderLine, Say, bought, in_si, pieces
from jobs.domain.order.water import start_doses
from jobs.domain.takeoff import SPRAY_LOSS, SWELL, PourNets, Quantities, pour_nets, quantities, trucks

# One, many, and the size of one in words.
Sold = tuple[str, str, str]

PRACTICE = "common practice, no source"
DRAWING = "counted on the drawing"
GEOMETRY = "computed from the shape"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pool:
    """What every part of the list is made from."""

    design: PoolDesign
    finish: Finish
    amounts: Quantities
    nets: PourNets
    buying: Buying
    say: Say


def order_list(
    design: PoolDesign, *, finish: Finish, buying: Buying = USUAL_BUYING, say: Say = in_si
) -> tuple[OrderLine, ...]:
    """Everything bought for a pool.

    Parameters
    ----------
    design : PoolDesign
        A checked design.
    finish : Finish
        How the shell is made.
    buying : Buying
        Sizes, laps and prices of the office.
    say : callable
        Words for a number and its unit, in the units the reader buys in.

    Returns
    -------
    tuple of OrderLine
        In build order: dig, stone, steel, forms, concrete, pipe, fittings, finish, deck. A list to check against the
        engineer's drawing and the maker's tables, which govern.

    Raises
    ------
    CannotDo
        ``order.unknown_finish``, or what the take-off refuses.
    """
    if finish not in get_args(Finish):
        raise CannotDo("order.unknown_finish", field="finish", finish=finish, known=", ".join(get_args(Finish)))
    pool = _Pool(
        design=design,
        finish=finish,
        amounts=quantities(design, cut_on_the_way=finish == "liner", buying=buying),
        nets=pour_nets(design),
        buying=buying,
        say=say,
    )
    lines = [
        *_ground(pool),
        *_steel(pool),
        *(() if finish == "sprayed" else _forms(pool)),
        *_concrete(pool),
        *_runs_and_fittings(pool),
        *(_liner(pool) if finish == "liner" else _plaster(pool)),
        *_deck(pool),
        *_water(pool),
    ]
    return tuple(line for line in lines if line.bought_quantity > 0)


def _ground(pool: _Pool) -> Iterator[OrderLine]:
    amounts, buying, say = pool.amounts, pool.buying, pool.say
    spoil, soil = amounts["spoil_m3"], pool.design.soil
    yield OrderLine(
        item="Spoil to haul, loose",
        quantity=spoil,
        unit="m3",
        bought_quantity=pieces(spoil, buying.spoil_truck_m3),
        bought_unit="truck loads",
        how=f"dig less what is used again, swollen {SWELL[soil]:g} times; {say(buying.spoil_truck_m3, 'm3')} a truck",
        source="earthmoving handbook range, from memory",
    )
    stone = amounts["base_m3"] * buying.stone_compacts * buying.stone_t_m3
    yield OrderLine(
        item="Stone under the floor",
        quantity=amounts["base_m3"],
        unit="m3",
        bought_quantity=bought(stone, buying.stone_load_t),
        bought_unit="t",
        how=f"placed volume, {buying.stone_compacts:g} times as much loose, {say(buying.stone_t_m3, 't_m3')}",
        source=PRACTICE,
    )


def _steel(pool: _Pool) -> Iterator[OrderLine]:
    design, floor, walls = pool.design, _floor_runs(pool), _wall_runs(pool)
    if pool.finish == "sprayed" and design.steel_kg:
        yield _bars(pool, "Bars of the cage", floor.plus(walls), pool.buying.bar, counted_kg=design.steel_kg)
        return
    counted = 0.0 if pool.finish == "sprayed" else design.floor_steel_kg
    yield _bars(pool, "Floor bars, both ways", floor, pool.buying.bar, counted_kg=counted)
    yield _bars(pool, "Wall bars", walls, pool.buying.wall_bar)


def _floor_runs(pool: _Pool) -> Runs:
    basin, buying = pool.design.basin, pool.buying
    xs, ys = zip(*basin.outline(), strict=True)
    return mat(
        area_m2=basin.floor_area_m2,
        length_m=max(xs) - min(xs),
        width_m=max(ys) - min(ys),
        spacing_m=buying.bar_spacing_m,
        stock_m=buying.stock_bar_m,
        lap_m=buying.lap_m(buying.bar),
    )


def _wall_runs(pool: _Pool) -> Runs:
    design, buying = pool.design, pool.buying
    basin, height, sprayed = design.basin, design.wall_height_m, pool.finish == "sprayed"
    thick = design.spray_wall_m if sprayed else design.form_thickness_m
    length, lap = basin.offset_length_m(thick / 2), buying.lap_m(buying.wall_bar)
    # In forms one level bar lies in each course; in a sprayed wall they stand at the spacing of the upright ones.
    rows = bars_across(height, buying.wall_bar_spacing_m) if sprayed else courses_of(height, buying.course_m)
    level = closed(length, count=rows, stock_m=buying.stock_bar_m, lap_m=lap)
    # Each upright bar laps with a starter out of the floor.
    standing = bars_round(length, buying.wall_bar_spacing_m)
    upright = straight(height + lap, count=standing, stock_m=buying.stock_bar_m, lap_m=lap)
    deep = 2 * basin.deep_wall_m2 / buying.wall_bar_spacing_m
    return level.plus(upright).plus(Runs(count=0, net_m=deep, lapped_m=deep))


def _bars(pool: _Pool, item: str, runs: Runs, size: str, counted_kg: float = 0.0) -> OrderLine:
    """Bars by what the drawing counts, else by spacing and lap."""
    bar, buying, say = bar_of(size), pool.buying, pool.say
    kilograms = counted_kg or runs.lapped_m * bar.mass_kg_m
    count = pieces(kilograms / bar.mass_kg_m, buying.stock_bar_m)
    how = f"{say(runs.net_m, 'm')} of {size}, {say(runs.lapped_m, 'm')} with laps of {say(buying.lap_m(size), 'cm')}"
    if counted_kg:
        how = f"counted on the drawing, which governs; by the usual spacing it would be {how}"
    return OrderLine(
        item=item,
        quantity=kilograms,
        unit="kg",
        bought_quantity=count,
        bought_unit=_sold(count, "bar", "bars", say(buying.stock_bar_m, "m")),
        how=how,
        source="bar masses: ASTM A615, from memory; spacing and lap: the office's own",
    )


def _forms(pool: _Pool) -> Iterator[OrderLine]:
    design, buying, say = pool.design, pool.buying, pool.say
    basin = design.basin
    length = basin.offset_length_m(design.form_thickness_m / 2)
    found = form_pieces(
        length_m=length,
        height_m=design.wall_height_m,
        deep_m2=basin.deep_wall_m2,
        corners=corners_of(basin.outline()),
        course_m=buying.course_m,
        piece_m=buying.form_piece_m,
        corner_leg_m=buying.corner_leg_m,
        waste=buying.form_waste,
    )
    how = f"{found.courses} courses of {say(buying.course_m, 'cm')} round {say(length, 'm')}"
    yield _counted("Straight forms", found.straight, f"{how}, {buying.form_waste:.0%} lost in cuts", PRACTICE)
    yield _counted("Corner forms, outside", found.corners_out, how, PRACTICE)
    yield _counted("Corner forms, inside", found.corners_in, how, PRACTICE)
    sets = pieces(basin.perimeter_m, buying.brace_set_m)
    yield OrderLine(
        item="Braces",
        quantity=basin.perimeter_m,
        unit="m",
        bought_quantity=sets,
        bought_unit="set" if sets == 1 else "sets",
        how=(
            f"{bars_round(basin.perimeter_m, buying.brace_every_m)} braces, one every {say(buying.brace_every_m, 'm')} "
            f"of wall; a set stands along {say(buying.brace_set_m, 'm')}"
        ),
        source=PRACTICE,
    )


def _counted(item: str, count: int, how: str, source: str) -> OrderLine:
    return OrderLine(
        item=item,
        quantity=count,
        unit="each",
        bought_quantity=count,
        bought_unit="piece" if count == 1 else "pieces",
        how=how,
        source=source,
    )


def _concrete(pool: _Pool) -> Iterator[OrderLine]:
    nets = pool.nets
    if pool.finish == "liner":
        yield _pour(pool, "Concrete for the floor", nets.slab_m3)
        yield _pour(pool, "Concrete for walls and coping", nets.core_m3 + nets.coping_m3)
    elif pool.finish == "plaster":
        yield _pour(pool, "Concrete for the shell", nets.slab_m3 + nets.core_m3 + nets.solids_m3)
    else:
        # What rebounds and is trimmed is used as well.
        yield _pour(pool, "Concrete to spray", nets.sprayed_m3 * SPRAY_LOSS)


def _pour(pool: _Pool, item: str, net_m3: float) -> OrderLine:
    buying, say = pool.buying, pool.say
    order = concrete_order_m3(net_m3, buying=buying)
    return OrderLine(
        item=item,
        quantity=net_m3,
        unit="m3",
        bought_quantity=order,
        bought_unit="m3",
        how=(
            f"over-order that costs least at {say(buying.short_dollars_m3, 'dollars_m3')} short and "
            f"{say(buying.waste_dollars_m3, 'dollars_m3')} too many; truck loads: {trucks(order, buying.truck_m3)}"
        ),
        source="newsvendor rule, textbook of operations research; loss and spread: the office's own",
    )


def _runs_and_fittings(pool: _Pool) -> Iterator[OrderLine]:
    amounts, buying = pool.amounts, pool.buying
    run = amounts["pipe_m"] + amounts["floor_pipe_m"]
    count = pieces(run, buying.pipe_piece_m)
    yield OrderLine(
        item="Pipe",
        quantity=run,
        unit="m",
        bought_quantity=count,
        bought_unit=_sold(count, "length", "lengths", pool.say(buying.pipe_piece_m, "m")),
        how="all buried runs and what lies under or through the floor",
        source=DRAWING,
    )
    kinds = [fitting.kind for fitting in pool.design.basin.fittings]
    for kind in dict.fromkeys(kinds):
        yield _counted(kind.replace("_", " ").capitalize(), kinds.count(kind), "fittings of the shell", DRAWING)


def _liner(pool: _Pool) -> Iterator[OrderLine]:
    basin, amounts, buying, say = pool.design.basin, pool.amounts, pool.buying, pool.say
    xs, ys = zip(*basin.outline(), strict=True)
    size = (
        f"{say(max(xs) - min(xs), 'size')} x {say(max(ys) - min(ys), 'size')}, {say(basin.design_level_m, 'size')} "
        "deep, for the quote only: it is made to the measured basin"
    )
    face = amounts["liner_m2"]
    yield _area("Liner", face, face * (1 + buying.liner_lap), 0.1, None, f"{buying.liner_lap:.0%} lap; {size}")
    yield _area(
        "Wall sheet",
        amounts["wall_m2"],
        amounts["wall_m2"] * (1 + buying.sheet_lap),
        buying.sheet_roll_m2,
        ("roll", "rolls", say(buying.sheet_roll_m2, "m2")),
        f"wall and {buying.sheet_lap:.0%} for trimming",
    )
    yield _area(
        "Floor foam",
        amounts["floor_m2"],
        amounts["floor_m2"] * (1 + buying.sheet_lap),
        buying.foam_sheet_m2,
        ("sheet", "sheets", say(buying.foam_sheet_m2, "m2")),
        f"floor along its slopes and {buying.sheet_lap:.0%} for trimming",
    )


def _plaster(pool: _Pool) -> Iterator[OrderLine]:
    amounts, buying, say = pool.amounts, pool.buying, pool.say
    inner = amounts["inner_m2"]
    yield _area("Waterproofing, two coats", inner, 2 * inner, 0.1, None, "inner face, twice")
    tile = ("box", "boxes", say(buying.tile_box_m, "m"))
    yield _length("Water-line tile", amounts["tile_m"], buying.tile_box_m, tile, "water line and raised walls")
    yield _length(
        "Coping units",
        amounts["coping_m"],
        buying.coping_piece_m,
        ("piece", "pieces", say(buying.coping_piece_m, "m")),
        "middle of the coping all round; corners are cut from them",
    )
    yield _area("Plaster", amounts["plaster_m2"], amounts["plaster_m2"], 0.1, None, "inner face less the tile band")


def _deck(pool: _Pool) -> Iterator[OrderLine]:
    if pool.nets.deck_m3:
        yield _pour(pool, "Concrete for the deck", pool.nets.deck_m3)


def _sold(count: float, one: str, many: str, size: str) -> str:
    return f"{one if count == 1 else many} of {size}"


def _water(pool: _Pool) -> Iterator[OrderLine]:
    for one in start_doses(pool.amounts["water_m3"], pool.finish):
        if one.each_step:
            continue
        product, bag = one.doses.product, pool.buying.chemical_bag_kg
        count = pieces(one.doses.total_kg, bag)
        yield OrderLine(
            item="Salt for the water" if product == "salt" else "Stabiliser for the water",
            quantity=one.doses.total_kg,
            unit="kg",
            bought_quantity=count,
            bought_unit=_sold(count, "bag", "bags", pool.say(bag, "kg")),
            how=f"up to {one.change_ppm:g} ppm from none in the fill water; test it first",
            source=PRACTICE,
        )


def _area(item: str, needed: float, with_lap: float, piece: float, sold: Sold | None, how: str) -> OrderLine:
    """An area in pieces of a size, or by the square metre."""
    count = pieces(with_lap, piece)
    return OrderLine(
        item=item,
        quantity=needed,
        unit="m2",
        bought_quantity=count if sold else count * piece,
        bought_unit=_sold(count, *sold) if sold else "m2",
        how=how,
        source=f"{GEOMETRY}; lap: {PRACTICE}",
    )


def _length(item: str, needed: float, piece: float, sold: Sold, how: str) -> OrderLine:
    count = pieces(needed, piece)
    return OrderLine(
        item=item,
        quantity=needed,
        unit="m",
        bought_quantity=count,
        bought_unit=_sold(count, *sold),
        how=how,
        source=f"{GEOMETRY}; size: {PRACTICE}",
    )
