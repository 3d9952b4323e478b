"""How much of a half-day's chance of rain falls inside a shorter window, fitted on what came."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowSeen:
    """A window inside one half-day: its highest hourly chance [0..1], and whether it was wet."""

    highest: float
    wet: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DurationFit:
    """The share of the chance that falls inside windows of one length: by the mean, and by least squares."""

    by_mean: float
    by_squares: float
    windows: int


def fit_duration(seen: Iterable[WindowSeen]) -> DurationFit:
    """Fit the factor ``f`` of ``chance = f * highest hour`` for windows of one length.

    Returns
    -------
    DurationFit
        ``by_mean = sum(wet) / sum(highest)`` makes told and seen agree on average; ``by_squares = sum(highest * wet)
        / sum(highest^2)`` has the least Brier score.

    Raises
    ------
    ValueError
        If no window had any chance.

    >>> fit = fit_duration([WindowSeen(highest=0.5, wet=False), WindowSeen(highest=0.5, wet=True)])
    >>> fit.by_mean, fit.by_squares
    (1.0, 1.0)
    """
    told = list(seen)
    total = sum(one.highest for one in told)
    if total <= 0:
        raise ValueError("a factor needs windows with some chance of rain")
    return DurationFit(
        by_mean=sum(one.wet for one in told) / total,
        by_squares=sum(one.highest for one in told if one.wet) / sum(one.highest**2 for one in told),
        windows=len(told),
    )
