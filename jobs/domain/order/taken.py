"""What every part of an order list is made from, and how a line of it is written."""

from dataclasses import dataclass

from jobs.domain.design import PoolDesign
from jobs.domain.order.buying import USUAL_BUYING, Buying
from jobs.domain.order.concrete import concrete_order_m3
from jobs.domain.order.finish import Finish
from jobs.domain.order.lines import OrderLine, Say, in_si, pieces
from jobs.domain.takeoff import PourNets, Quantities, pour_nets, quantities, trucks

# One, many, and the size of one in words.
Sold = tuple[str, str, str]

PRACTICE = "common practice, no source"
DRAWING = "counted on the drawing"
GEOMETRY = "computed from the shape"


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A pool that was taken off: what every part of the list is made from."""

    design: PoolDesign
    finish: Finish
    amounts: Quantities
    nets: PourNets
    buying: Buying
    say: Say


def taken_off(design: PoolDesign, *, finish: Finish, buying: Buying = USUAL_BUYING, say: Say = in_si) -> Taken:
    """Take a pool off for its order.

    Parameters
    ----------
    design, finish, buying, say
        As ``order_list`` takes them.

    Raises
    ------
    CannotDo
        What the take-off refuses.
    """
    return Taken(
        design=design,
        finish=finish,
        amounts=quantities(design, cut_on_the_way=False, buying=buying),
        nets=pour_nets(design),
        buying=buying,
        say=say,
    )


def counted_line(item: str, count: int, how: str, source: str) -> OrderLine:
    """A thing bought by the piece."""
    return OrderLine(
        item=item,
        quantity=count,
        unit="each",
        bought_quantity=count,
        bought_unit="piece" if count == 1 else "pieces",
        how=how,
        source=source,
    )


def pour_line(pool: Taken, item: str, net_m3: float) -> OrderLine:
    """Concrete for a pour, with its over-order."""
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


def sold_as(count: float, one: str, many: str, size: str) -> str:
    """What is sold, of one or of more."""
    return f"{one if count == 1 else many} of {size}"


def area_line(item: str, needed: float, with_lap: float, piece: float, sold: Sold | None, how: str) -> OrderLine:
    """An area in pieces of a size, or by the square metre."""
    count = pieces(with_lap, piece)
    return OrderLine(
        item=item,
        quantity=needed,
        unit="m2",
        bought_quantity=count if sold else count * piece,
        bought_unit=sold_as(count, *sold) if sold else "m2",
        how=how,
        source=f"{GEOMETRY}; lap: {PRACTICE}",
    )


def length_line(item: str, needed: float, piece: float, sold: Sold, how: str) -> OrderLine:
    """A length in pieces of a size."""
    count = pieces(needed, piece)
    return OrderLine(
        item=item,
        quantity=needed,
        unit="m",
        bought_quantity=count,
        bought_unit=sold_as(count, *sold),
        how=how,
        source=f"{GEOMETRY}; size: {PRACTICE}",
    )
