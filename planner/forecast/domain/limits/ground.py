"""How long wet ground keeps a crew waiting."""

from collections.abc import Sequence

from jobs.domain.exposure import SOIL_WAIT_FACTOR, Soil

WAIT_PER_MM = 25.0
# Rain beyond this is not looked back for: 50 mm in one half-day is rare enough to price as nothing.
LOOK_BACK_MM = 50.0


def wait_hours(rain_mm: float, clay_wait_h_per_25mm: float, soil: Soil) -> float:
    """Hours the ground needs after an amount of rain, ``clay_wait * soil factor * mm / 25``.

    Parameters
    ----------
    rain_mm : rain [mm], not negative.
    clay_wait_h_per_25mm : wait on clay after 25 mm [h].
    soil : sand, loam or clay.

    Source: common practice, no source; one day for an inch on ordinary ground is the federal lands rule.

    >>> wait_hours(25, 48, "clay"), round(wait_hours(12.5, 24, "loam"), 3)
    (48.0, 7.2)
    """
    return clay_wait_h_per_25mm * SOIL_WAIT_FACTOR[soil] * rain_mm / WAIT_PER_MM


def rain_still_wet_mm(gap_hours: float, clay_wait_h_per_25mm: float, soil: Soil) -> float:
    """Rain [mm] after which the ground is still wet a number of hours later; the inverse of ``wait_hours``.

    Returns
    -------
    float
        Infinite where the work does not wait for the ground.

    >>> rain_still_wet_mm(24, 48, "clay")
    12.5
    """
    per_mm = wait_hours(1.0, clay_wait_h_per_25mm, soil)
    return gap_hours / per_mm if per_mm > 0 else float("inf")


def wait_left_hours(hourly_mm: Sequence[float | None], clay_wait_h_per_25mm: float, soil: Soil) -> float:
    """Hours still to wait at the end of a run of observed hours; each hour's rain adds, each hour dries one.

    Parameters
    ----------
    hourly_mm : rain of consecutive hours [mm], oldest first; an unknown hour neither adds nor dries.
    clay_wait_h_per_25mm : wait on clay after 25 mm [h].
    soil : sand, loam or clay.

    >>> wait_left_hours([25.0, 0.0, None, 0.0], 48, "clay")
    46.0
    """
    left = 0.0
    for mm in hourly_mm:
        if mm is not None:
            left = max(0.0, left - 1.0) + wait_hours(mm, clay_wait_h_per_25mm, soil)
    return left
