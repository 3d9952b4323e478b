"""The order list of one pool: everything that is bought for it, rounded up to what is sold."""

from collections.abc import Iterator
from typing import Literal, get_args

from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.order.bars import Runs, bar_of, bars_across, bars_round, closed, mat, straight
from jobs.domain.order.buying import Buying
from jobs.domain.order.concrete import concrete_order_m3
from jobs.domain.order.forms import corners_of, courses_of, form_pieces
from jobs.domain.order.lines import OrderLine, bought, pieces
from jobs.domain.takeoff import SPRAY_LOSS, SWELL, PourNets, Quantities, pour_nets, quantities, trucks

# How the shell is made and finished: floor and walls in two pours with a liner, in one pour with plaster, or sprayed.
Finish = Literal["liner", "plaster", "sprayed"]

USUAL_BUYING = Buying()
PRACTICE = "common practice, no source"
DRAWING = "counted on the drawing"
GEOMETRY = "computed from the shape"


def order_list(design: PoolDesign, *, finish: Finish, buying: Buying = USUAL_BUYING) -> tuple[OrderLine, ...]:
    """Everything bought for a pool.

    Parameters
    ----------
    design : PoolDesign
        A checked design.
    finish : Finish
        How the shell is made.
    buying : Buying
        Sizes, laps and prices of the office.

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
    amounts, nets = quantities(design, cut_on_the_way=finish == "liner"), pour_nets(design)
    lines = [
        *_ground(design, amounts, buying),
        *_steel(design, finish, buying),
        *(() if finish == "sprayed" else _forms(design, buying)),
        *_concrete(nets, finish, buying),
        *_runs_and_fittings(design, amounts, buying),
        *(_liner(design, amounts, buying) if finish == "liner" else _plaster(amounts, buying)),
        *_deck(amounts, buying),
    ]
    return tuple(line for line in lines if line.bought_quantity > 0)


def _ground(design: PoolDesign, amounts: Quantities, buying: Buying) -> Iterator[OrderLine]:
    spoil = amounts["spoil_m3"]
    yield OrderLine(
        item="Spoil to haul",
        quantity=spoil,
        unit="m3 loose",
        bought_quantity=pieces(spoil, buying.spoil_truck_m3),
        bought_unit="truck loads",
        how=f"dig less what is used again, swollen {SWELL[design.soil]:g} times; {buying.spoil_truck_m3:g} m3 a truck",
        source="earthmoving handbook range, from memory",
    )
    stone = amounts["base_m3"] * buying.stone_compacts * buying.stone_t_m3
    yield OrderLine(
        item="Stone under the floor",
        quantity=amounts["base_m3"],
        unit="m3 placed",
        bought_quantity=bought(stone, buying.stone_load_t),
        bought_unit="t",
        how=f"placed volume loosened {buying.stone_compacts:g} times, {buying.stone_t_m3:g} t a m3",
        source=PRACTICE,
    )


def _steel(design: PoolDesign, finish: Finish, buying: Buying) -> Iterator[OrderLine]:
    counted = design.steel_kg if finish == "sprayed" else design.floor_steel_kg
    yield _bars("Floor bars, both ways", _floor_runs(design, buying), buying.bar, buying, counted_kg=counted)
    yield _bars("Wall bars", _wall_runs(design, finish, buying), buying.wall_bar, buying)


def _floor_runs(design: PoolDesign, buying: Buying) -> Runs:
    xs, ys = zip(*design.basin.outline(), strict=True)
    return mat(
        area_m2=design.basin.floor_area_m2,
        length_m=max(xs) - min(xs),
        width_m=max(ys) - min(ys),
        spacing_m=buying.bar_spacing_m,
        stock_m=buying.stock_bar_m,
        lap_m=buying.lap_m(buying.bar),
    )


def _wall_runs(design: PoolDesign, finish: Finish, buying: Buying) -> Runs:
    basin, height = design.basin, design.wall_height_m
    thick = design.spray_wall_m if finish == "sprayed" else design.form_thickness_m
    length, lap = basin.offset_length_m(thick / 2), buying.lap_m(buying.wall_bar)
    # In forms one level bar lies in each course; in a sprayed wall they stand at the spacing of the upright ones.
    rows = (
        bars_across(height, buying.wall_bar_spacing_m) if finish == "sprayed" else courses_of(height, buying.course_m)
    )
    level = closed(length, count=rows, stock_m=buying.stock_bar_m, lap_m=lap)
    # Each upright bar laps with a starter out of the floor.
    standing = bars_round(length, buying.wall_bar_spacing_m)
    upright = straight(height + lap, count=standing, stock_m=buying.stock_bar_m, lap_m=lap)
    deep = 2 * basin.deep_wall_m2 / buying.wall_bar_spacing_m
    return level.plus(upright).plus(Runs(count=0, net_m=deep, lapped_m=deep))


def _bars(item: str, runs: Runs, size: str, buying: Buying, counted_kg: float | None = None) -> OrderLine:
    bar = bar_of(size)
    how = f"{runs.net_m:.0f} m of {size}, {runs.lapped_m:.0f} m with laps of {buying.lap_m(size):.2f} m"
    if counted_kg:
        how += f"; {counted_kg:.0f} kg on the drawing, which governs"
    return OrderLine(
        item=item,
        quantity=runs.lapped_m * bar.mass_kg_m,
        unit="kg",
        bought_quantity=pieces(runs.lapped_m, buying.stock_bar_m),
        bought_unit=f"bars of {buying.stock_bar_m:g} m",
        how=how,
        source="bar masses: ASTM A615, from memory; spacing and lap: the office's own",
    )


def _forms(design: PoolDesign, buying: Buying) -> Iterator[OrderLine]:
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
    courses = f"{found.courses} courses of {buying.course_m:g} m"
    for item, count in (
        ("Straight forms", found.straight),
        ("Corner forms, outside", found.corners_out),
        ("Corner forms, inside", found.corners_in),
    ):
        yield OrderLine(
            item=item,
            quantity=count,
            unit=_pieces(count),
            bought_quantity=count,
            bought_unit=_pieces(count),
            how=f"{courses} round {length:.1f} m",
            source=PRACTICE,
        )
    yield OrderLine(
        item="Braces",
        quantity=basin.perimeter_m,
        unit="m of wall",
        bought_quantity=pieces(basin.perimeter_m, buying.brace_set_m),
        bought_unit=f"x {buying.brace_set_m:g} m of braces",
        how=f"{bars_round(basin.perimeter_m, buying.brace_every_m)} braces, one every {buying.brace_every_m:g} m",
        source=PRACTICE,
    )


def _concrete(nets: PourNets, finish: Finish, buying: Buying) -> Iterator[OrderLine]:
    if finish == "liner":
        yield _pour("Concrete for the floor", nets.slab_m3, buying)
        yield _pour("Concrete for walls and coping", nets.core_m3 + nets.coping_m3, buying)
    elif finish == "plaster":
        yield _pour("Concrete for the shell", nets.slab_m3 + nets.core_m3 + nets.solids_m3, buying)
    else:
        # What rebounds and is trimmed is used as well.
        yield _pour("Concrete to spray", nets.sprayed_m3 * SPRAY_LOSS, buying)


def _pour(item: str, net_m3: float, buying: Buying) -> OrderLine:
    order = concrete_order_m3(
        net_m3,
        mean_loss=buying.pour_loss,
        spread_share=buying.pour_spread,
        short_dollars_m3=buying.short_dollars_m3,
        waste_dollars_m3=buying.waste_dollars_m3,
        step_m3=buying.pour_step_m3,
    )
    return OrderLine(
        item=item,
        quantity=net_m3,
        unit="m3",
        bought_quantity=order,
        bought_unit="m3",
        how=(
            f"over-order that costs least at {buying.short_dollars_m3:g} dollars a m3 short and "
            f"{buying.waste_dollars_m3:g} a m3 too many; truck loads: {trucks(order, buying.truck_m3)}"
        ),
        source="newsvendor rule, textbook of operations research; loss and spread: the office's own",
    )


def _runs_and_fittings(design: PoolDesign, amounts: Quantities, buying: Buying) -> Iterator[OrderLine]:
    run = amounts["pipe_m"] + amounts["floor_pipe_m"]
    yield OrderLine(
        item="Pipe",
        quantity=run,
        unit="m",
        bought_quantity=pieces(run, buying.pipe_piece_m),
        bought_unit=f"lengths of {buying.pipe_piece_m:g} m",
        how="all buried runs and what lies under or through the floor",
        source=DRAWING,
    )
    kinds = [fitting.kind for fitting in design.basin.fittings]
    for kind in dict.fromkeys(kinds):
        yield OrderLine(
            item=kind.replace("_", " ").capitalize(),
            quantity=kinds.count(kind),
            unit=_pieces(kinds.count(kind)),
            bought_quantity=kinds.count(kind),
            bought_unit=_pieces(kinds.count(kind)),
            how="fittings of the shell",
            source=DRAWING,
        )


def _liner(design: PoolDesign, amounts: Quantities, buying: Buying) -> Iterator[OrderLine]:
    basin = design.basin
    xs, ys = zip(*basin.outline(), strict=True)
    size = f"{max(xs) - min(xs):.2f} x {max(ys) - min(ys):.2f} m, {basin.design_level_m:.2f} m deep"
    yield _area(
        f"Liner, {size}",
        amounts["liner_m2"],
        amounts["liner_m2"] * (1 + buying.liner_lap),
        1.0,
        "m2",
        f"inner face and {buying.liner_lap:.0%} lap; made to the measured basin",
    )
    yield _area(
        "Wall sheet",
        amounts["wall_m2"],
        amounts["wall_m2"] * (1 + buying.sheet_lap),
        buying.sheet_roll_m2,
        "rolls",
        f"wall and {buying.sheet_lap:.0%} for trimming, rolls of {buying.sheet_roll_m2:g} m2",
    )
    yield _area(
        "Floor foam",
        amounts["floor_m2"],
        amounts["floor_m2"] * (1 + buying.sheet_lap),
        buying.foam_sheet_m2,
        "sheets",
        f"floor along its slopes and {buying.sheet_lap:.0%} for trimming, sheets of {buying.foam_sheet_m2:g} m2",
    )


def _plaster(amounts: Quantities, buying: Buying) -> Iterator[OrderLine]:
    yield _area(
        "Waterproofing, two coats", amounts["inner_m2"], 2 * amounts["inner_m2"], 1.0, "m2", "inner face, twice"
    )
    yield _line("Water-line tile", amounts["tile_m"], buying.tile_box_m, "boxes", "water line and raised walls")
    yield _line(
        "Coping units",
        amounts["coping_m"],
        buying.coping_piece_m,
        "pieces",
        f"middle of the coping all round, units of {buying.coping_piece_m:g} m; corners are cut from them",
    )
    yield _area("Plaster", amounts["plaster_m2"], amounts["plaster_m2"], 1.0, "m2", "inner face less the tile band")


def _deck(amounts: Quantities, buying: Buying) -> Iterator[OrderLine]:
    if amounts["deck_m2"]:
        yield _pour("Concrete for the deck", amounts["deck_m2"] * buying.deck_m, buying)


def _area(item: str, needed: float, with_lap: float, piece: float, sold_as: str, how: str) -> OrderLine:
    return OrderLine(
        item=item,
        quantity=needed,
        unit="m2",
        bought_quantity=pieces(with_lap, piece),
        bought_unit=sold_as,
        how=how,
        source=f"{GEOMETRY}; lap: {PRACTICE}",
    )


def _line(item: str, needed: float, piece: float, sold_as: str, how: str) -> OrderLine:
    return OrderLine(
        item=item,
        quantity=needed,
        unit="m",
        bought_quantity=pieces(needed, piece),
        bought_unit=sold_as,
        how=how,
        source=f"{GEOMETRY}; size: {PRACTICE}",
    )


def _pieces(count: int) -> str:
    return "piece" if count == 1 else "pieces"
