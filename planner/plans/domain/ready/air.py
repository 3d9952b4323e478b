"""The hours of air over one site that a wait is reckoned from: measured, forecast, and past both what is usual."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from jobs.science.ranges import Array
from planner.forecast.domain.chance import WIDENING
from planner.forecast.domain.climate import Climate
from planner.forecast.domain.series import HOUR, Values
from planner.forecast.domain.site_sky import SiteSky

# Hours are looked up a stretch at a time.
STRETCH_H = 240
VARIABLES = ("air_temp_c", "dew_point_c", "wind_m_s", "rain_mm")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AirHours:
    """Consecutive hours. ``by_name`` holds NaN where nobody knows; ``known`` marks measured or forecast temperatures.

    Only the temperature has the month's usual value where nothing else is known.
    """

    by_name: Mapping[str, Array]
    known: Array

    @property
    def air_temp_c(self) -> Array:
        """Air temperature of each hour [degC], never unknown."""
        return self.by_name["air_temp_c"]


def hour_of(moment: datetime) -> int:
    """Number of the clock hour, in UTC, that holds a moment.

    >>> hour_of(datetime(1970, 1, 2, 1, 59, tzinfo=UTC))
    25
    """
    return int(moment.timestamp() // 3600)


def hours_since_epoch(moment: datetime) -> float:
    """A moment on the clock of ``hour_of`` [h]."""
    return moment.timestamp() / 3600


def moment_of(hours: float) -> datetime:
    """The moment [aware, UTC] of ``hours_since_epoch``, to the second."""
    return datetime.fromtimestamp(0, UTC) + timedelta(seconds=round(hours * 3600))


class UsualAir:
    """Usual temperatures of a branch by month and hour; every site of it shares them, so use one for all."""

    def __init__(self, climate: Climate, zone: str) -> None:
        self._climate = climate
        self._zone = ZoneInfo(zone)
        self._stretches: dict[int, Array] = {}

    def stretch(self, number: int) -> Array:
        """Usual temperature of each hour of a stretch [degC]."""
        if number not in self._stretches:
            first = number * STRETCH_H
            self._stretches[number] = np.array([self._at(first + at) for at in range(STRETCH_H)])
        return self._stretches[number]

    def _at(self, hour: int) -> float:
        local = (moment_of(hour) + HOUR / 2).astimezone(self._zone)
        return self._climate.hour(local.month, local.hour).air_mean_c


class SiteAir:
    """The air over one site; keeps what it has looked up.

    Parameters
    ----------
    sky : what is known over the site; a stale forecast counts as unknown.
    usual : temperatures where nothing is known.
    """

    def __init__(self, *, sky: SiteSky | None, usual: UsualAir) -> None:
        usable = sky is not None and sky.series is not None and WIDENING[sky.freshness] < 1.0
        self._layers = tuple(
            series for series in ((sky.series if sky and usable else None), sky.observed if sky else None) if series
        )
        self._usual = usual
        self._stretches: dict[int, AirHours] = {}
        self.known_from = min((hour_of(one.start_at) for one in self._layers), default=0)
        self.known_until = max((hour_of(one.end_at) for one in self._layers), default=0)

    def hours(self, first: int, count: int) -> AirHours:
        """``count`` hours from the clock hour ``first`` on."""
        stretches = [self._stretch(at) for at in range(first // STRETCH_H, (first + count - 1) // STRETCH_H + 1)]
        begin = first % STRETCH_H

        def part(pieces: list[Array]) -> Array:
            return np.concatenate(pieces)[begin : begin + count]

        return AirHours(
            by_name={name: part([one.by_name[name] for one in stretches]) for name in VARIABLES},
            known=part([one.known for one in stretches]),
        )

    def _stretch(self, number: int) -> AirHours:
        if number not in self._stretches:
            first = number * STRETCH_H
            by_name = {name: np.full(STRETCH_H, np.nan) for name in VARIABLES}
            for series in self._layers:
                for name, row in by_name.items():
                    _lay(row, first, hour_of(series.start_at), getattr(series, name))
            known = ~np.isnan(by_name["air_temp_c"])
            by_name["air_temp_c"] = np.where(known, by_name["air_temp_c"], self._usual.stretch(number))
            self._stretches[number] = AirHours(by_name=by_name, known=known.astype(float))
        return self._stretches[number]


def air_over(sky: SiteSky | None, *, climate: Climate, zone: str) -> SiteAir:
    """The air over a site of a branch in ``zone``."""
    return SiteAir(sky=sky, usual=UsualAir(climate, zone))


def _lay(row: Array, first: int, starts: int, values: Values) -> None:
    """Put a series' known values over a row of hours that begins at ``first``: the last laid counts."""
    low, high = max(first, starts), min(first + len(row), starts + len(values))
    if low >= high:
        return
    given = np.array([np.nan if value is None else value for value in values[low - starts : high - starts]])
    part = row[low - first : high - first]
    part[...] = np.where(np.isnan(given), part, given)
