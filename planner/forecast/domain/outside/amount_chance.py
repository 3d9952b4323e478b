"""The chance of rain behind a single model's amounts, for services that state amounts and no chance."""

from bisect import bisect_right
from datetime import datetime, timedelta

from planner.forecast.domain.series import Values

# Highest 6-hour amount of a half-day in one global model [mm], and how often measurable rain then fell in that
# half-day: one site in Georgia, June to August 2026, 65 daily runs against two gauges, about 595 half-days a band.
# A dry model is no dry half-day: rain then fell in 7 % of them within three days, in 18 % from three days on.
NEAR = ((0.0, 0.07), (0.65, 0.14), (1.5, 0.27), (3.0, 0.39), (6.0, 0.57), (12.0, 0.65), (20.0, 0.75))
FAR = ((0.0, 0.18), (0.65, 0.20), (1.5, 0.22), (3.0, 0.37), (6.0, 0.40), (12.0, 0.53), (20.0, 0.65))
FAR_FROM = timedelta(days=3)
_BEFORE_H, _AFTER_H = 3, 3


def chance_from_amount(amount_mm: float, lead: timedelta) -> float:
    """Chance of 0.254 mm or more in a half-day whose wettest six hours bring an amount in one global model.

    Parameters
    ----------
    amount_mm : float
        Highest amount of six hours in a row [mm], 0 or more.
    lead : timedelta
        From the issue of the forecast to the half-day.

    Returns
    -------
    float
        [0..1], straight lines between measured points, level beyond them. Measured at one site in one summer.

    Raises
    ------
    ValueError
        If the amount is negative.

    >>> chance_from_amount(0.0, timedelta(days=1)), chance_from_amount(6.0, timedelta(days=4))
    (0.07, 0.4)
    """
    if amount_mm < 0:
        raise ValueError("an amount of rain cannot be negative")
    points = FAR if lead >= FAR_FROM else NEAR
    at = bisect_right(points, (amount_mm, 1.0))
    if at == len(points):
        return points[-1][1]
    (low_mm, low), (high_mm, high) = points[at - 1], points[at]
    return low + (high - low) * (amount_mm - low_mm) / (high_mm - low_mm)


def chances_from_amounts(rain_mm: Values, *, start_at: datetime, issued_at: datetime) -> Values:
    """Hourly chances with window meaning from hourly amounts: each from the six hours around it.

    Parameters
    ----------
    rain_mm : sequence of float or None
        Amount of each hour from ``start_at`` on [mm]; ``None`` is unknown.
    start_at, issued_at : datetime
        Aware.

    Returns
    -------
    tuple of float or None
        ``None`` where the hour's own amount is unknown; unknown neighbours count as dry.
    """
    found: list[float | None] = []
    for at, own in enumerate(rain_mm):
        if own is None:
            found.append(None)
            continue
        around = rain_mm[max(0, at - _BEFORE_H) : at + _AFTER_H]
        amount_mm = sum(value for value in around if value is not None)
        found.append(chance_from_amount(amount_mm, start_at + timedelta(hours=at) - issued_at))
    return tuple(found)
