"""How much concrete to order: the office's own price of running short against its price of throwing away."""

from statistics import NormalDist

from jobs.domain.errors import CannotDo
from jobs.domain.order.buying import Buying
from jobs.domain.order.lines import bought
from jobs.domain.shapes.entered import check_not_negative, check_positive


def critical_ratio(*, short_dollars: float, waste_dollars: float) -> float:
    """Share of pours that should not run short: Cu / (Cu + Co).

    Parameters
    ----------
    short_dollars : float
        What a missing unit costs: a second truck, a cold joint, a crew that waits [dollars], 0 or more.
    waste_dollars : float
        What a unit too many costs [dollars], 0 or more; not both 0.

    Returns
    -------
    float
        0 to 1.

    Raises
    ------
    CannotDo
        ``order.no_costs``.

    Notes
    -----
    The newsvendor rule of any textbook of operations research.

    Examples
    --------
    >>> round(critical_ratio(short_dollars=600, waste_dollars=160), 3)
    0.789
    """
    check_not_negative("short_dollars", short_dollars)
    check_not_negative("waste_dollars", waste_dollars)
    if short_dollars + waste_dollars == 0:
        raise CannotDo("order.no_costs", field="short_dollars")
    return short_dollars / (short_dollars + waste_dollars)


def best_order(*, mean: float, spread: float, short_dollars: float, waste_dollars: float) -> float:
    """Order that costs least when the need is normal: mean + z spread, z at the critical ratio.

    Parameters
    ----------
    mean, spread : float
        Mean and standard deviation of what will be used, in one unit, 0 or more.
    short_dollars, waste_dollars : float
        Price of one unit short and of one unit too many [dollars], above 0.

    Returns
    -------
    float
        In the unit of ``mean``, never below 0.

    Examples
    --------
    >>> round(best_order(mean=1000, spread=200, short_dollars=40, waste_dollars=10), 1)
    1168.3
    """
    check_not_negative("mean", mean)
    check_not_negative("spread", spread)
    check_positive("short_dollars", short_dollars)
    check_positive("waste_dollars", waste_dollars)
    ratio = critical_ratio(short_dollars=short_dollars, waste_dollars=waste_dollars)
    return max(0.0, mean + NormalDist().inv_cdf(ratio) * spread)


def best_order_between(*, least: float, most: float, short_dollars: float, waste_dollars: float) -> float:
    """Order that costs least when every need between two amounts is as likely as any other.

    Examples
    --------
    >>> best_order_between(least=80, most=150, short_dollars=6, waste_dollars=9)
    108.0
    """
    check_not_negative("least", least)
    check_not_negative("most", most)
    if most < least:
        raise CannotDo("order.most_below_least", field="most", most=most, least=least)
    return least + critical_ratio(short_dollars=short_dollars, waste_dollars=waste_dollars) * (most - least)


def expected_cost(order: float, *, mean: float, spread: float, short_dollars: float, waste_dollars: float) -> float:
    """What being short and having too much cost on average at an order, when the need is normal [dollars].

    waste × (order − mean) + (short + waste) × spread × (φ(z) − z (1 − Φ(z))), z = (order − mean) / spread.

    Parameters
    ----------
    order, mean, spread, short_dollars, waste_dollars : float
        As ``best_order``; ``order`` in the unit of ``mean``, 0 or more.

    Examples
    --------
    >>> round(expected_cost(1168.3, mean=1000, spread=200, short_dollars=40, waste_dollars=10))
    2800
    """
    check_not_negative("order", order)
    check_not_negative("mean", mean)
    check_not_negative("spread", spread)
    critical_ratio(short_dollars=short_dollars, waste_dollars=waste_dollars)
    if spread == 0:
        return max((order - mean) * waste_dollars, (mean - order) * short_dollars)
    usual = NormalDist()
    z = (order - mean) / spread
    lacking = spread * (usual.pdf(z) - z * (1 - usual.cdf(z)))
    return waste_dollars * (order - mean) + (short_dollars + waste_dollars) * lacking


def expected_cost_between(
    order: float, *, least: float, most: float, short_dollars: float, waste_dollars: float
) -> float:
    """The same when every need between two amounts is as likely as any other [dollars].

    Examples
    --------
    >>> expected_cost_between(108.0, least=80, most=150, short_dollars=6, waste_dollars=9)
    126.0
    """
    best_order_between(least=least, most=most, short_dollars=short_dollars, waste_dollars=waste_dollars)
    if most == least or not least <= order <= most:
        middle = (least + most) / 2
        return (order - middle) * waste_dollars if order >= most else (middle - order) * short_dollars
    halves = waste_dollars * (order - least) ** 2 + short_dollars * (most - order) ** 2
    return halves / 2 / (most - least)


def concrete_order_m3(net_m3: float, *, buying: Buying) -> float:
    """Concrete to order for a pour.

    Parameters
    ----------
    net_m3 : float
        Volume of the body to be poured [m3], 0 or more.
    buying : Buying
        Usual loss, its spread, and what a m3 short and one too many cost the office.

    Returns
    -------
    float
        Order [m3], never below the net.

    Examples
    --------
    >>> concrete_order_m3(7.58, buying=Buying(pour_step_m3=0.25))
    8.25
    """
    check_not_negative("net_m3", net_m3)
    best = best_order(
        mean=net_m3 * (1 + buying.pour_loss),
        spread=net_m3 * buying.pour_spread,
        short_dollars=buying.short_dollars_m3,
        waste_dollars=buying.waste_dollars_m3,
    )
    return bought(max(net_m3, best), buying.pour_step_m3)
