"""A forecaster's knowledge of rain as degraded truth: reliable at every lead, consistent from run to run.

Each window has a latent truth ``z``, standard normal over the record, above its threshold exactly when the window
was wet. What is known of it at a lead is a point of a Brownian bridge over information ``v`` (1 at the truth, 0
where nothing is known), so the stated chance is a martingale: today's chance is the mean of tomorrow's.
"""

from dataclasses import dataclass
from datetime import timedelta
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.intp]

LEAD_STEP = timedelta(hours=6)
LEAD_STEPS = 32
# Share of the variance known by lead day: fitted to half-day chances of the US service against two gauges
# (one summer, 2026), published skill beside it; from day 6 on by extrapolation.
_LEAD_DAYS = (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0)
_INFORMATION = (0.75, 0.56, 0.46, 0.34, 0.23, 0.12, 0.08, 0.04, 0.02)
# Errors of neighbouring half-days go together.
WINDOW_MEMORY = 0.5
_NORMAL = NormalDist()


def information(lead_hours: Floats) -> Floats:
    """Share of the latent variance known at a lead.

    Parameters
    ----------
    lead_hours : array of float
        From issue to the start of the window [h]; below 0 counts as 0.

    Returns
    -------
    array of float
        [0.02..0.75], falling with lead.

    Source: ``common practice, no source``; fitted to recorded forecasts.

    >>> information(np.array([24.0, 72.0])).tolist()
    [0.56, 0.34]
    """
    shares: Floats = np.interp(lead_hours / 24.0, _LEAD_DAYS, _INFORMATION)
    return shares


def _cdf(values: Floats) -> Floats:
    return np.array([_NORMAL.cdf(value) for value in values.tolist()])


def _quantile(shares: Floats) -> Floats:
    return np.array([_NORMAL.inv_cdf(share) for share in shares.tolist()])


def correlated(steps: int, count: int, memory: float, rng: np.random.Generator) -> Floats:
    """Standard normal rows of ``count`` values, each value remembering a share of the one before.

    Parameters
    ----------
    steps, count : int
        Shape of the result.
    memory : float
        Correlation of neighbours [0..1).
    rng : numpy.random.Generator
        Where chance comes from.

    Returns
    -------
    array of float, shape (steps, count)

    Formula: e[i] = memory e[i-1] + sqrt(1 - memory^2) n[i].
    """
    noise = rng.standard_normal((count, steps))
    keep = np.sqrt(1.0 - memory**2)
    for i in range(1, count):
        noise[i] = memory * noise[i - 1] + keep * noise[i]
    return noise.T


def climate_chance(wet: Flags, months: Whole) -> Floats:
    """Usual chance of rain of each window: its month's share of wet windows, drawn halfway to the year's.

    Parameters
    ----------
    wet : array of bool
        Which windows were wet.
    months : array of int
        Month of each window [1..12].

    Returns
    -------
    array of float
        Strictly between 0 and 1.
    """
    year = float(np.clip(wet.mean(), 0.01, 0.99))
    chance = np.empty(len(wet))
    for month in np.unique(months):
        inside = months == month
        chance[inside] = 0.5 * wet[inside].mean() + 0.5 * year
    return chance


@dataclass(frozen=True, slots=True, kw_only=True)
class RainKnowledge:
    """``known[k, w]``: what is known of window ``w``, ``k`` lead steps before it starts; ``threshold[w]``."""

    known: Floats
    threshold: Floats
    information: Floats

    def chance(self, step: Whole, window: Whole, shift: float = 0.0) -> Floats:
        """Stated chance that a window is wet.

        Parameters
        ----------
        step, window : array of int
            Lead step and window.
        shift : float
            Added to what is known, in standard deviations; 0 is the reliable forecast.

        Returns
        -------
        array of float
            [0..1].

        Formula: Phi((m - t) / sqrt(1 - v)).
        """
        spread = np.sqrt(1.0 - self.information[step])
        return _cdf((self.known[step, window] + shift - self.threshold[window]) / spread)


def rain_knowledge(rain_mm: Floats, wet: Flags, months: Whole, rng: np.random.Generator) -> RainKnowledge:
    """Degrade the truth of every window to what was known of it at every lead step.

    Parameters
    ----------
    rain_mm : array of float
        Rain of each window [mm]; a heavier window is a more certain one.
    wet : array of bool
        Whether the window counts as wet.
    months : array of int
        Month of each window [1..12].
    rng : numpy.random.Generator
        Where chance comes from.

    Returns
    -------
    RainKnowledge

    Formula: u uniform in (1-c, 1) if wet, in (0, 1-c) if dry; z = Phi^-1(u);
    m = m' v/v' + sqrt(v (v' - v) / v') e, outward from m' = z at v' = 1.
    """
    usual = climate_chance(wet, months)
    uniform = (1.0 - usual) * rng.uniform(1e-6, 1.0 - 1e-6, len(wet))
    # Ties of the gauge's steps are broken by chance, so that no season ranks before another.
    order = np.lexsort((rng.uniform(size=len(wet)), rain_mm))
    order = order[wet[order]]
    uniform[order] = 1.0 - usual[order] * (1.0 - (np.arange(len(order)) + 0.5) / max(len(order), 1))
    step_hours = LEAD_STEP / timedelta(hours=1)
    shares = information(np.arange(LEAD_STEPS + 1, dtype=np.float64) * step_hours)
    noise = correlated(LEAD_STEPS + 1, len(wet), WINDOW_MEMORY, rng)
    known = np.empty_like(noise)
    before, share_before = _quantile(uniform), 1.0
    for k, share in enumerate(shares):
        before = before * share / share_before + np.sqrt(share * (share_before - share) / share_before) * noise[k]
        known[k], share_before = before, share
    return RainKnowledge(known=known, threshold=_quantile(1.0 - usual), information=shares)
