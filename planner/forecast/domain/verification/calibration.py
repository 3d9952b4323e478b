"""A map from told chances to chances that come true, once enough windows are known; else chances stay as told.

The map never falls, so that it may be applied hour by hour: the highest hour of a half-day stays the highest.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from planner.forecast.domain.halfday import HalfDays, seconds_of
from planner.forecast.domain.series import HOUR, HourlySeries, Values
from planner.forecast.domain.verification.scores import ReliabilityBin, Tally, reliability_bins
from planner.forecast.domain.verification.windows import lead_day, span_of

Band = Literal["near", "far"]
# Days of the lead in each band: skill fades after the third day.
BANDS: Mapping[Band, tuple[int, ...]] = {"near": (1, 2, 3), "far": (4, 5, 6)}
LEAST_WINDOWS = 60
# A class is taken to hold so many windows more that came as told: few windows move a chance little, and no class
# reads as surely dry. Own choice, no source.
BELIEF_WINDOWS = 10.0
# Share of the Brier score a map must save on days it was not made of. Own choice, no source.
LEAST_GAIN = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class CalibrationMap:
    """Straight lines between points (told, comes true), level beyond the last ones, from so many windows."""

    points: tuple[tuple[float, float], ...]
    windows: int

    def __call__(self, told: float) -> float:
        """The chance that comes true [0..1]."""
        at = bisect_right(self.points, (told, 2.0))
        if at == 0:
            return self.points[0][1]
        if at == len(self.points):
            return self.points[-1][1]
        (low_x, low), (high_x, high) = self.points[at - 1], self.points[at]
        return low if high_x == low_x else low + (high - low) * (told - low_x) / (high_x - low_x)


def band_of(lead: int) -> Band:
    """The band of a day of the lead.

    >>> [band_of(lead) for lead in (0, 1, 3, 4, 9)]
    ['near', 'near', 'near', 'far', 'far']
    """
    return "near" if lead <= max(BANDS["near"]) else "far"


def isotonic(values: Sequence[float], weights: Sequence[float]) -> tuple[float, ...]:
    """The never-falling sequence nearest to values in weighted squares, by pooling adjacent violators.

    Parameters
    ----------
    values, weights : of equal length, weights above 0.

    Source: Ayer, Brunk, Ewing, Reid and Silverman, Annals of Mathematical Statistics 26 (1955), 641.

    >>> isotonic([1.0, 3.0, 2.0], [1.0, 1.0, 1.0])
    (1.0, 2.5, 2.5)
    """
    pools: list[tuple[float, float, int]] = []
    for value, weight in zip(values, weights, strict=True):
        mean, total, count = value, weight, 1
        while pools and pools[-1][0] > mean:
            before, heavy, many = pools.pop()
            mean = (before * heavy + mean * total) / (heavy + total)
            total, count = heavy + total, many + count
        pools.append((mean, total, count))
    return tuple(mean for mean, _, count in pools for _ in range(count))


def fit(odd: Sequence[Tally], even: Sequence[Tally]) -> CalibrationMap | None:
    """The map of told chances to what came of them; ``None``: chances stay as told.

    Parameters
    ----------
    odd, even : counts by told chance of one source and band, on odd and on even days.

    Returns
    -------
    CalibrationMap or None
        Through the classes' means, each with ten windows more that came as told, made never-falling. ``None`` below
        60 windows, and where maps made of one half of the days do not better the other half's Brier score by two
        hundredths of it: a map of a reliable source follows noise and spoils it.
    """
    whole = (*odd, *even)
    if sum(one.windows for one in whole) < LEAST_WINDOWS:
        return None
    if not odd or not even or not _betters(odd, even):
        return None
    return _through(whole)


def _betters(odd: Sequence[Tally], even: Sequence[Tally]) -> bool:
    """Whether maps made of one half score better on the other than the chances as told, both ways together."""
    told = mapped = 0.0
    for made, rest in ((_through(odd), even), (_through(even), odd)):
        told += _squares(rest, lambda chance: chance)
        mapped += _squares(rest, made)
    return mapped <= (1.0 - LEAST_GAIN) * told and mapped < told


def _squares(tallies: Iterable[Tally], says: Callable[[float], float]) -> float:
    return sum(
        one.wet * (1.0 - says(one.percent / 100)) ** 2 + (one.windows - one.wet) * says(one.percent / 100) ** 2
        for one in tallies
    )


def _through(tallies: Iterable[Tally]) -> CalibrationMap:
    bins = reliability_bins(tallies)
    seen = isotonic([_believed(one) for one in bins], [one.windows + BELIEF_WINDOWS for one in bins])
    return CalibrationMap(
        points=tuple(zip((one.told for one in bins), seen, strict=True)), windows=sum(one.windows for one in bins)
    )


def _believed(one: ReliabilityBin) -> float:
    return (one.seen * one.windows + one.told * BELIEF_WINDOWS) / (one.windows + BELIEF_WINDOWS)


def calibrated(series: HourlySeries, maps: Mapping[Band, CalibrationMap], half_days: HalfDays) -> HourlySeries:
    """A series with its chances of rain as they come true; the same series where no map is known.

    Parameters
    ----------
    series : forecast.
    maps : by band of the lead; a band without one stays as told.
    half_days : of the local zone: all hours of a half-day go by the lead at which it begins.
    """
    if not maps:
        return series
    return replace(series, rain_chance=_mapped(series, maps, half_days))


def _mapped(series: HourlySeries, maps: Mapping[Band, CalibrationMap], half_days: HalfDays) -> Values:
    found: list[float | None] = []
    for at, told in enumerate(series.rain_chance):
        from_at, _ = span_of(half_days.holding(seconds_of(series.start_at + at * HOUR)))
        told_by = maps.get(band_of(lead_day(series.issued_at, from_at)))
        found.append(told if told is None or told_by is None else min(1.0, max(0.0, told_by(told))))
    return tuple(found)
