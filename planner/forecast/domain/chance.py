"""Chance of rain in a work window, from an hourly forecast where it is known and from climate where it is not.

An hourly chance here is no hour's chance: its highest value inside a half-day is the chance of 0.254 mm or more
in that half-day. Inside one half-day the highest hour therefore counts, times a factor for the window's length;
across half-days, one minus the product of the dry chances; never a product over hours.
"""

from bisect import bisect_right
from dataclasses import dataclass
from datetime import UTC, datetime
from math import exp
from typing import NamedTuple
from zoneinfo import ZoneInfo

from planner.forecast.domain.climate import MEASURABLE_MM, Climate
from planner.forecast.domain.freshness import Freshness
from planner.forecast.domain.halfday import HOUR_S, HalfDay, HalfDays, seconds_of
from planner.forecast.domain.series import HourlySeries

# Share of a half-day's chance that falls inside a window of so many hours. Measured on one site's summer
# (forecasts 1 to 3 days ahead against two gauges, 2026): .4 at 2 h, .65 to .8 at 6 h, .92 at 12 h. To be fitted
# again where a branch has its own record.
DURATION_FACTOR = ((0.0, 0.0), (2.0, 0.4), (6.0, 0.75), (12.0, 1.0))

# How far an old forecast is drawn up to climate; nothing is ever drawn down. Common practice, no source.
WIDENING = {Freshness.FRESH: 0.0, Freshness.AGEING: 0.25, Freshness.STALE: 1.0, Freshness.DOWN: 1.0}

# A forecast amount divided by its chance is a noisy mean: log(forecast / observed) has a spread of 0.9 to 1.3.
LEAST_OF_CLIMATE_MEAN = 0.5
MOST_OF_CLIMATE_MEAN = 4.0
LEAST_CHANCE_FOR_MEAN = 0.02
LEAST_MEAN_MM = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChancePart:
    """The part of a window inside one half-day."""

    from_at: datetime
    until_at: datetime
    probability: float
    known_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """Chance [0..1] of an amount of rain in a window, the share of it that a forecast covers, and its half-days."""

    probability: float
    known_share: float
    parts: tuple[ChancePart, ...]


class RainWindow(NamedTuple):
    """What is known of rain in a part of one half-day.

    ``wet`` is the chance of 0.254 mm or more by forecast (``None``: no hour known), ``wet_known`` the same of
    the known hours alone, ``wet_unknown`` the climate chance of the unknown hours, ``wet_usual`` that of all.
    ``amounts_known`` tells whether every known hour has its amount.
    """

    wet: float | None
    wet_known: float
    wet_unknown: float
    wet_usual: float
    mean_mm: float
    usual_mean_mm: float
    amounts_known: bool
    known_s: int
    all_s: int


def duration_factor(hours: float) -> float:
    """Share of a half-day's chance of rain that falls inside a window of it.

    Parameters
    ----------
    hours : window inside one half-day [h], not negative.

    Returns
    -------
    float
        0 at 0 h, 1 from 12 h on, straight lines between the measured points.

    Raises
    ------
    ValueError
        If the hours are negative.

    >>> duration_factor(2), duration_factor(4), duration_factor(13)
    (0.4, 0.575, 1.0)
    """
    if hours < 0:
        raise ValueError("a window cannot be shorter than nothing")
    at = bisect_right(DURATION_FACTOR, (hours, 1.0))
    if at == len(DURATION_FACTOR):
        return 1.0
    (low_h, low), (high_h, high) = DURATION_FACTOR[at - 1], DURATION_FACTOR[at]
    return low + (high - low) * (hours - low_h) / (high_h - low_h)


def amount_factor(amount_mm: float, mean_mm: float) -> float:
    """Chance that a wet half-day brings an amount, ``exp(-(a - 0.254) / (m - 0.254))``.

    Parameters
    ----------
    amount_mm : amount [mm]; up to 0.254 mm any measurable rain counts.
    mean_mm : mean amount of a wet half-day [mm], above 0.254.

    >>> round(amount_factor(5.0, 4.5), 3)
    0.327
    """
    if amount_mm <= MEASURABLE_MM:
        return 1.0
    return exp(-(amount_mm - MEASURABLE_MM) / (mean_mm - MEASURABLE_MM))


def widen(probability: float, freshness: Freshness, climate_chance: float) -> float:
    """Draw a chance up to climate as its forecast ages; a dry forecast that is old does not read as dry.

    Parameters
    ----------
    probability, climate_chance : chances [0..1] of the same event.
    freshness : state of the forecast; stale and down reach climate.

    Returns
    -------
    float
        Never below ``probability``, and at least climate when stale.

    >>> [round(widen(p, Freshness.AGEING, 0.3), 3) for p in (0.0, 0.1, 0.8)]
    [0.075, 0.15, 0.8]
    """
    return max(probability, probability + WIDENING[freshness] * (climate_chance - probability))


def any_of(chances: list[float]) -> float:
    """Chance that at least one of several independent events happens, ``1 - product(1 - p)``.

    >>> round(any_of([0.2, 0.3]), 2)
    0.44
    """
    none = 1.0
    for chance in chances:
        none *= 1.0 - chance
    return 1.0 - none


class RainOutlook:
    """Forecast and climate of one site, asked many times over."""

    def __init__(
        self,
        *,
        series: HourlySeries | None,
        climate: Climate,
        half_days: HalfDays,
        freshness: Freshness = Freshness.FRESH,
    ) -> None:
        self.series = series
        self.climate = climate
        self.half_days = half_days
        self.freshness = freshness
        self._start_s = seconds_of(series.start_at) if series else 0
        self._windows: dict[tuple[int, int], RainWindow] = {}
        self._means: dict[int, float] = {}

    @property
    def usable(self) -> bool:
        """Whether the forecast may forbid."""
        return WIDENING[self.freshness] < 1.0

    def hour(self, at_s: int) -> tuple[float | None, float | None]:
        """Amount [mm] and chance of one hour, where a usable forecast knows them."""
        if self.series is None or not self.usable:
            return None, None
        at = self._index(at_s)
        inside = 0 <= at < self.series.hours
        return (self.series.rain_mm[at], self.series.rain_chance[at]) if inside else (None, None)

    def window(self, block: HalfDay, from_s: int, until_s: int) -> RainWindow:
        """What is known of [from_s, until_s), which lies inside the half-day."""
        found = self._windows.get((from_s, until_s))
        if found is None:
            found = self._windows[from_s, until_s] = self._read(block, from_s, until_s)
        return found

    def chance(self, window: RainWindow, amount_mm: float) -> float:
        """Chance of an amount inside a window of one half-day: the forecast's, the unknown hours', widened."""
        usual = amount_factor(amount_mm, window.usual_mean_mm)
        chance = window.wet_unknown * usual
        if window.wet is not None:
            chance = max(chance, window.wet * amount_factor(amount_mm, window.mean_mm))
            chance = widen(chance, self.freshness, window.wet_usual * usual)
        return chance

    def known_chance(self, window: RainWindow, amount_mm: float) -> float:
        """The chance that may forbid: of known hours of a usable forecast, with known amounts where it needs them."""
        if window.wet is None or not self.usable:
            return 0.0
        if amount_mm > MEASURABLE_MM and not window.amounts_known:
            return 0.0
        return window.wet_known * amount_factor(amount_mm, window.mean_mm)

    def _read(self, block: HalfDay, from_s: int, until_s: int) -> RainWindow:
        usual = self.climate.half_day(block.month, block.half)
        highest: float | None = None
        known_s = 0
        amounts_known = True
        if self.series is not None:
            chances, amounts = self.series.rain_chance, self.series.rain_mm
            for at in range(max(0, self._index(from_s)), min(len(chances), self._index(until_s - 1) + 1)):
                chance = chances[at]
                if chance is None:
                    continue
                highest = chance if highest is None else max(highest, chance)
                begins_s = self._start_s + at * HOUR_S
                known_s += min(until_s, begins_s + HOUR_S) - max(from_s, begins_s)
                amounts_known = amounts_known and amounts[at] is not None
        all_s = until_s - from_s
        factor = duration_factor(all_s / HOUR_S)
        return RainWindow(
            wet=None if highest is None else highest * factor,
            wet_known=(highest or 0.0) * duration_factor(known_s / HOUR_S),
            wet_unknown=usual.wet_chance * duration_factor((all_s - known_s) / HOUR_S),
            wet_usual=usual.wet_chance * factor,
            mean_mm=self._mean_mm(block),
            usual_mean_mm=max(LEAST_MEAN_MM, usual.wet_mean_mm),
            amounts_known=amounts_known,
            known_s=known_s,
            all_s=all_s,
        )

    def _mean_mm(self, block: HalfDay) -> float:
        """Mean amount of the half-day if wet: its forecast total over its chance, kept near climate's."""
        found = self._means.get(block.from_s)
        if found is None:
            usual = max(LEAST_MEAN_MM, self.climate.half_day(block.month, block.half).wet_mean_mm)
            found = self._means[block.from_s] = self._forecast_mean_mm(block, usual)
        return found

    def _forecast_mean_mm(self, block: HalfDay, usual_mm: float) -> float:
        if self.series is None:
            return usual_mm
        chances, amounts = self.series.rain_chance, self.series.rain_mm
        inside = range(max(0, self._index(block.from_s)), min(len(chances), self._index(block.until_s - 1) + 1))
        known = [
            (chance, mm) for at in inside if (chance := chances[at]) is not None and (mm := amounts[at]) is not None
        ]
        highest = max((chance for chance, _ in known), default=0.0)
        if highest < LEAST_CHANCE_FOR_MEAN:
            return usual_mm
        mean_mm = sum(mm for _, mm in known) / highest
        return max(LEAST_MEAN_MM, min(max(mean_mm, LEAST_OF_CLIMATE_MEAN * usual_mm), MOST_OF_CLIMATE_MEAN * usual_mm))

    def _index(self, at_s: int) -> int:
        return (at_s - self._start_s) // HOUR_S


def chance_of_rain(
    series: HourlySeries | None,
    climate: Climate,
    from_at: datetime,
    until_at: datetime,
    amount_mm: float,
    zone: ZoneInfo,
    *,
    freshness: Freshness = Freshness.FRESH,
) -> Chance:
    """Chance that a half-day of a window brings an amount of rain inside the window.

    Parameters
    ----------
    series : forecast of the site; ``None`` where there is none.
    climate : stands in for every hour the forecast does not know.
    from_at, until_at : window, aware, half-open, not reversed.
    amount_mm : amount [mm], not negative; up to 0.254 any measurable rain.
    zone : local zone of the half-days.
    freshness : state of the forecast; an old one is drawn up to climate.

    Returns
    -------
    Chance
        Per half-day ``max hourly chance * duration_factor * amount_factor``, or climate's chance of the unknown
        hours if that is higher; over half-days ``1 - product(1 - p)``. Amounts of two half-days are not added.

    Raises
    ------
    ValueError
        If the window is reversed or the amount negative.
    """
    if until_at < from_at or amount_mm < 0:
        raise ValueError("a window runs forward and an amount is not negative")
    half_days = HalfDays(zone)
    outlook = RainOutlook(series=series, climate=climate, half_days=half_days, freshness=freshness)
    parts = []
    known_s = all_s = 0
    for part in half_days.slices(seconds_of(from_at), seconds_of(until_at)):
        window = outlook.window(part.block, part.from_s, part.until_s)
        known_s += window.known_s
        all_s += window.all_s
        parts.append(
            ChancePart(
                from_at=datetime.fromtimestamp(part.from_s, UTC),
                until_at=datetime.fromtimestamp(part.until_s, UTC),
                probability=outlook.chance(window, amount_mm),
                known_share=window.known_s / window.all_s,
            )
        )
    return Chance(
        probability=any_of([part.probability for part in parts]),
        known_share=known_s / all_s if all_s else 1.0,
        parts=tuple(parts),
    )
