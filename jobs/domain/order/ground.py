"""What lies in and leaves the ground: spoil, stone, pipe."""

from collections.abc import Iterator

from jobs.domain.order.buying import Buying
from jobs.domain.order.lines import OrderLine, Say, bought, pieces
from jobs.domain.order.taken import DRAWING, PRACTICE, Taken, counted_line, sold_as
from jobs.domain.takeoff import SWELL


def ground_lines(pool: Taken) -> Iterator[OrderLine]:
    """Spoil to haul, stone under the floor."""
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
    yield stone_line("Stone under the floor", amounts["base_m3"], buying=buying, say=say)


def stone_t(placed_m3: float, *, buying: Buying) -> float:
    """Stone that makes a placed and compacted volume [t]: loose volume times its density.

    Examples
    --------
    >>> round(stone_t(10.0, buying=Buying()), 2)
    18.4
    """
    return placed_m3 * buying.stone_compacts * buying.stone_t_m3


def stone_line(item: str, placed_m3: float, *, buying: Buying, say: Say) -> OrderLine:
    """Stone for a bed of a volume as placed."""
    return OrderLine(
        item=item,
        quantity=placed_m3,
        unit="m3",
        bought_quantity=bought(stone_t(placed_m3, buying=buying), buying.stone_load_t),
        bought_unit="t",
        how=f"placed volume, {buying.stone_compacts:g} times as much loose, {say(buying.stone_t_m3, 't_m3')}",
        source=PRACTICE,
    )


def pipe_lines(pool: Taken) -> Iterator[OrderLine]:
    """Pipe of all runs with what joins it, and the fittings of the shell."""
    run = pool.amounts["pipe_m"] + pool.amounts["floor_pipe_m"]
    yield from lengths_of_pipe(
        run, what="all buried runs and what lies under or through the floor", buying=pool.buying, say=pool.say
    )
    kinds = [fitting.kind for fitting in pool.design.basin.fittings]
    for kind in dict.fromkeys(kinds):
        yield counted_line(kind.replace("_", " ").capitalize(), kinds.count(kind), "fittings of the shell", DRAWING)


def lengths_of_pipe(run_m: float, *, what: str, buying: Buying, say: Say) -> Iterator[OrderLine]:
    """Whole lengths that make runs of pipe, and a coupling for each: what is left over is joined to the next run."""
    count = pieces(run_m * (1 + buying.pipe_waste), buying.pipe_piece_m)
    size = say(buying.pipe_piece_m, "m")
    yield OrderLine(
        item="Pipe",
        quantity=run_m,
        unit="m",
        bought_quantity=count,
        bought_unit=sold_as(count, "length", "lengths", size),
        how=f"{what}, and {buying.pipe_waste:.0%} lost in cuts",
        source=DRAWING,
    )
    yield counted_line("Pipe couplings", count, "one for each length bought; none where the pipe has bells", PRACTICE)
