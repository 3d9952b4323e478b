"""Weathers that may come: what each half-day brings, in step with the chances of the forecast and of the climate.

A weather gives every half-day a number between 0 and 1, the same for all sites of the branch; whatever has a higher
chance than that number happens. So each happens as often as its chance says, a half-day that spoils light rain's
work is one of those that spoil the touchy work too, and neighbouring half-days go together.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import NormalDist
from zoneinfo import ZoneInfo

import numpy as np

from planner.forecast.domain.halfday import HalfDays, seconds_of
from planner.forecast.domain.judge import HalfDayRisk
from planner.forecast.domain.made.latent import WINDOW_MEMORY, correlated

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """One weather: by the first second of each half-day, how rare a storm and how rare a wind, cold or heat."""

    storms: Mapping[int, float]
    levels: Mapping[int, float]

    def hits(self, risks: Sequence[HalfDayRisk]) -> bool:
        """Whether any half-day of a start breaks one of its limits in this weather."""
        return any(
            self.storms.get(risk.from_s, 1.0) < risk.storm or self.levels.get(risk.from_s, 1.0) < risk.levels
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

    Formula: u = Phi(z), z standard normal with z[i] = m z[i-1] + sqrt(1 - m^2) n[i], m the memory of forecast errors.

    Source: ``common practice, no source``; the memory is fitted to recorded forecasts.
    """
    half_days = HalfDays(zone)
    begins = [part.block.from_s for part in half_days.slices(seconds_of(from_at), seconds_of(until_at))]
    # Two streams, so that the storms stay the same whatever else is drawn.
    rains, others = (
        correlated(count, len(begins), WINDOW_MEMORY, np.random.default_rng(part))
        for part in np.random.SeedSequence(seed).spawn(2)
    )
    return tuple(
        Weather(
            storms=dict(zip(begins, map(_NORMAL.cdf, rain.tolist()), strict=True)),
            levels=dict(zip(begins, map(_NORMAL.cdf, other.tolist()), strict=True)),
        )
        for rain, other in zip(rains, others, strict=True)
    )
