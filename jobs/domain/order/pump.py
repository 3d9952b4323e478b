"""What brings the concrete from the truck to the wall, by how far it must reach and how fast it must place.

A rule of thumb to ask the pump hire with: they look at the site, the mix and the lines overhead, and decide.
"""

from dataclasses import dataclass

from jobs.domain.errors import CannotDo
from jobs.domain.shapes.entered import check_not_negative
from jobs.domain.units import M3_PER_YD3, M_PER_FT, ft_from_m, yd3_from_m3

PRACTICE = "common practice, no source"
MAGAZINE = "published trade magazine"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump:
    """A way to place concrete.

    Attributes
    ----------
    reach_m : from where the truck or the pump stands to the farthest point [m].
    most_m3_h : what it places on such work [m3/h].
    caution : what can hurt.
    """

    key: str
    title: str
    reach_m: float
    most_m3_h: float
    caution: str
    source: str


# From the least gear to the most.
PUMPS: tuple[Pump, ...] = (
    Pump(
        key="chute",
        title="Chute of the truck",
        reach_m=20 * M_PER_FT,
        most_m3_h=60 * M3_PER_YD3,
        caution="Trucks keep back from the edge of the dig by at least its depth.",
        source=f"{MAGAZINE}: chutes reach 20 feet; the rate: {PRACTICE}",
    ),
    Pump(
        key="line",
        title="Line pump with a small hose, on a trailer",
        reach_m=200 * M_PER_FT,
        most_m3_h=30 * M3_PER_YD3,
        caution="Nobody straddles the hose or looks into it; a plug that lets go whips it.",
        source=f"{PRACTICE}: 15 to 30 cubic yards an hour into wall forms",
    ),
    Pump(
        key="boom",
        title="Boom pump",
        reach_m=100 * M_PER_FT,
        most_m3_h=100 * M3_PER_YD3,
        caution="The boom stays 20 feet from power lines, 50 from those over 350 kV, with a spotter.",
        source=f"{MAGAZINE}: up to 100 cubic yards an hour on real work; the reach: {PRACTICE}",
    ),
    Pump(
        key="large_line",
        title="Large line pump, on a truck or a trailer, with steel line",
        reach_m=500 * M_PER_FT,
        most_m3_h=65 * M3_PER_YD3,
        caution="Nobody straddles the hose or looks into it; lines are tied down at every bend.",
        source=f"{MAGAZINE}: pumps of 12 to 65 cubic yards an hour; the reach: {PRACTICE}",
    ),
)


def pump_for(*, reach_m: float, rate_m3_h: float) -> Pump:
    """The least gear that reaches the farthest point and places fast enough.

    Parameters
    ----------
    reach_m : float
        From where trucks can stand to the farthest point of the pour [m], 0 or more.
    rate_m3_h : float
        What forms and crew take [m3/h], 0 or more.

    Returns
    -------
    Pump
        A rule of thumb; the pump hire looks at the site and decides.

    Raises
    ------
    CannotDo
        ``order.no_pump`` where none of them does both.

    Examples
    --------
    >>> pump_for(reach_m=5.0, rate_m3_h=10.0).key, pump_for(reach_m=30.0, rate_m3_h=15.0).key
    ('chute', 'line')
    """
    check_not_negative("reach_m", reach_m)
    check_not_negative("rate_m3_h", rate_m3_h)
    for pump in PUMPS:
        if reach_m <= pump.reach_m and rate_m3_h <= pump.most_m3_h:
            return pump
    raise CannotDo(
        "order.no_pump",
        field="reach_m",
        reach=f"{ft_from_m(reach_m):.0f}",
        rate=f"{yd3_from_m3(rate_m3_h):.0f}",
        most=f"{ft_from_m(max(pump.reach_m for pump in PUMPS)):.0f}",
        fastest=f"{yd3_from_m3(max(pump.most_m3_h for pump in PUMPS)):.0f}",
    )
