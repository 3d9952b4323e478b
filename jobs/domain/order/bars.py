"""Reinforcement by spacing and lap: length, pieces of stock and kilograms. The engineer's drawing governs."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jobs.domain.errors import CannotDo
from jobs.domain.order.lines import PIECE_SLACK
from jobs.domain.shapes.entered import check_not_negative, check_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A size of bar: nominal diameter [m] and mass [kg/m]."""

    size: str
    diameter_m: float
    mass_kg_m: float


# ASTM A615/A615M nominal diameters and masses, from memory; the masses follow from the areas at 7,850 kg/m3.
BARS: Mapping[str, Bar] = {
    bar.size: bar
    for bar in (
        Bar(size="#3", diameter_m=0.0095, mass_kg_m=0.560),
        Bar(size="#4", diameter_m=0.0127, mass_kg_m=0.994),
        Bar(size="#5", diameter_m=0.0159, mass_kg_m=1.552),
        Bar(size="#6", diameter_m=0.0191, mass_kg_m=2.235),
        Bar(size="#7", diameter_m=0.0222, mass_kg_m=3.042),
        Bar(size="#8", diameter_m=0.0254, mass_kg_m=3.973),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """Bars of one place: how many, their length without laps, and with them [m]."""

    count: int
    net_m: float
    lapped_m: float

    def plus(self, other: "Runs") -> "Runs":
        """Both together."""
        return Runs(
            count=self.count + other.count,
            net_m=self.net_m + other.net_m,
            lapped_m=self.lapped_m + other.lapped_m,
        )


def bar_of(size: str) -> Bar:
    """The bar of that size.

    Raises
    ------
    CannotDo
        ``order.unknown_bar``.
    """
    found = BARS.get(size)
    if found is None:
        raise CannotDo("order.unknown_bar", field="bar", size=size, known=", ".join(BARS))
    return found


def bars_across(width_m: float, spacing_m: float) -> int:
    """Bars that cover a width at a spacing, one at each edge: one more than the gaps.

    Examples
    --------
    >>> bars_across(6.0, 0.3), bars_across(6.1, 0.3)
    (21, 22)
    """
    check_not_negative("width_m", width_m)
    check_positive("spacing_m", spacing_m)
    return math.ceil(width_m / spacing_m - PIECE_SLACK) + 1


def bars_round(length_m: float, spacing_m: float) -> int:
    """Bars that stand along a closed line at a spacing: as many as the gaps.

    Examples
    --------
    >>> bars_round(30.0, 0.4)
    75
    """
    check_not_negative("length_m", length_m)
    check_positive("spacing_m", spacing_m)
    return math.ceil(length_m / spacing_m - PIECE_SLACK)


def straight(length_m: float, *, count: int, stock_m: float, lap_m: float) -> Runs:
    """Straight runs made of stock lengths, each joint a lap.

    Parameters
    ----------
    length_m : float
        Of one run [m], 0 or more.
    count : int
        Number of runs.
    stock_m, lap_m : float
        Length of a stock bar, and of a lap, shorter than it [m].

    Returns
    -------
    Runs
        A run longer than the stock has one lap fewer than pieces.

    Examples
    --------
    >>> straight(10.0, count=2, stock_m=6.0, lap_m=0.5)
    Runs(count=2, net_m=20.0, lapped_m=21.0)
    """
    _check_stock(stock_m, lap_m)
    check_not_negative("length_m", length_m)
    joints = max(0, math.ceil((length_m - lap_m) / (stock_m - lap_m) - PIECE_SLACK) - 1)
    return Runs(count=count, net_m=length_m * count, lapped_m=(length_m + joints * lap_m) * count)


def closed(length_m: float, *, count: int, stock_m: float, lap_m: float) -> Runs:
    """Rings made of stock lengths: as many laps as pieces.

    Examples
    --------
    >>> closed(10.0, count=1, stock_m=6.0, lap_m=0.5)
    Runs(count=1, net_m=10.0, lapped_m=11.0)
    """
    _check_stock(stock_m, lap_m)
    check_not_negative("length_m", length_m)
    joints = math.ceil(length_m / (stock_m - lap_m) - PIECE_SLACK)
    return Runs(count=count, net_m=length_m * count, lapped_m=(length_m + joints * lap_m) * count)


def mat(*, area_m2: float, length_m: float, width_m: float, spacing_m: float, stock_m: float, lap_m: float) -> Runs:
    """Bars both ways over a floor of any outline.

    In a rectangle there is one bar more each way than gaps. The floor of another outline, or one with slopes, takes
    as much of a mat over its length and width as its true area is of theirs.

    Parameters
    ----------
    area_m2 : float
        True area of the floor [m2].
    length_m, width_m : float
        Its extent in plan [m], above 0.
    spacing_m : float
        Between bars, both ways [m].
    stock_m, lap_m : float
        As ``straight`` [m].

    Returns
    -------
    Runs
        Both directions together.
    """
    check_not_negative("area_m2", area_m2)
    check_positive("length_m", length_m)
    check_positive("width_m", width_m)
    along = straight(length_m, count=bars_across(width_m, spacing_m), stock_m=stock_m, lap_m=lap_m)
    across = straight(width_m, count=bars_across(length_m, spacing_m), stock_m=stock_m, lap_m=lap_m)
    both, share = along.plus(across), area_m2 / (length_m * width_m)
    return Runs(count=both.count, net_m=both.net_m * share, lapped_m=both.lapped_m * share)


def _check_stock(stock_m: float, lap_m: float) -> None:
    check_positive("stock_m", stock_m)
    check_not_negative("lap_m", lap_m)
    if lap_m >= stock_m:
        raise CannotDo("order.lap_too_long", field="lap_m", lap=lap_m, stock=stock_m)
