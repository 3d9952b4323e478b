"""The order list of one pool: everything that is bought for it, rounded up to what is sold."""

from collections.abc import Iterator
from typing import get_args

from jobs.domain.design import PoolDesign
from jobs.domain.errors import CannotDo
from jobs.domain.order.bars import Runs, bar_of, bars_across, bars_round, closed, mat, straight
from jobs.domain.order.buying import USUAL_BUYING, Buying
from jobs.domain.order.faces import deck_lines, liner_lines, plaster_lines
from jobs.domain.order.finish import Finish
from jobs.domain.order.forms import courses_of
from jobs.domain.order.ground import ground_lines, pipe_lines
from jobs.domain.order.lines import OrderLine, Say, in_si, pieces
from jobs.domain.order.shell import form_lines
from jobs.domain.order.taken import PRACTICE, Taken, pour_line, sold_as, taken_off
from jobs.domain.order.water import start_doses
from jobs.domain.takeoff import SPRAY_LOSS


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
    pool = taken_off(design, finish=finish, buying=buying, say=say)
    lines = [
        *ground_lines(pool),
        *_steel(pool),
        *(() if finish == "sprayed" else form_lines(pool)),
        *_concrete(pool),
        *pipe_lines(pool),
        *(liner_lines(pool) if finish == "liner" else plaster_lines(pool)),
        *deck_lines(pool),
        *_water(pool),
    ]
    return tuple(line for line in lines if line.bought_quantity > 0)


def _steel(pool: Taken) -> Iterator[OrderLine]:
    design, floor, walls = pool.design, _floor_runs(pool), _wall_runs(pool)
    if pool.finish == "sprayed" and design.steel_kg:
        yield _bars(pool, "Bars of the cage", floor.plus(walls), pool.buying.bar, counted_kg=design.steel_kg)
        return
    counted = 0.0 if pool.finish == "sprayed" else design.floor_steel_kg
    yield _bars(pool, "Floor bars, both ways", floor, pool.buying.bar, counted_kg=counted)
    yield _bars(pool, "Wall bars", walls, pool.buying.wall_bar)


def _floor_runs(pool: Taken) -> Runs:
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


def _wall_runs(pool: Taken) -> Runs:
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


def _bars(pool: Taken, item: str, runs: Runs, size: str, counted_kg: float = 0.0) -> OrderLine:
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
        bought_unit=sold_as(count, "bar", "bars", say(buying.stock_bar_m, "m")),
        how=how,
        source="bar masses: ASTM A615, from memory; spacing and lap: the office's own",
    )


def _concrete(pool: Taken) -> Iterator[OrderLine]:
    nets = pool.nets
    if pool.finish == "liner":
        yield pour_line(pool, "Concrete for the floor", nets.slab_m3)
        yield pour_line(pool, "Concrete for walls and coping", nets.core_m3 + nets.coping_m3)
    elif pool.finish == "plaster":
        yield pour_line(pool, "Concrete for the shell", nets.slab_m3 + nets.core_m3 + nets.solids_m3)
    else:
        # What rebounds and is trimmed is used as well.
        yield pour_line(pool, "Concrete to spray", nets.sprayed_m3 * SPRAY_LOSS)


def _water(pool: Taken) -> Iterator[OrderLine]:
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
            bought_unit=sold_as(count, "bag", "bags", pool.say(bag, "kg")),
            how=f"up to {one.change_ppm:g} ppm from none in the fill water; test it first",
            source=PRACTICE,
        )
