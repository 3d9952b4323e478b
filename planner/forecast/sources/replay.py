"""Plays recorded weather back at other dates: forecasts made from it, and the weather as it then came.

Every forecast is written as the US service would send it and read back by the reader of the live service.
"""

import json
import re
from datetime import datetime, timedelta

import numpy as np

from jobs.domain.errors import CannotDo
from planner.forecast.domain.intervals import floor_hour
from planner.forecast.domain.made.degrade import Forecaster, SiteEffect
from planner.forecast.domain.place import Place
from planner.forecast.domain.series import HOUR
from planner.forecast.domain.truth import TrueWeather
from planner.forecast.sources.conditional import Memory, NoMemory
from planner.forecast.sources.nws_grid import read_gridpoint
from planner.forecast.sources.nws_writer import as_body, write_gridpoint
from planner.forecast.sources.source import Cell, Fetched, require_future

SOURCE = "replay"
_KEY = re.compile(r"replay/(-?\d+\.\d\d),(-?\d+\.\d\d)")
# Runs come at 02, 08, 14 and 20 UTC and reach us 25 minutes later.
_CYCLE_HOURS = 6
_FIRST_CYCLE_HOUR = 2
_AFTER_CYCLE = timedelta(minutes=25)


class ReplaySource:
    """Recorded weather as a forecast source.

    Places within about a kilometre (2 decimals of a degree) share forecasts. Places differ a little from the
    station, the same way in every run: temperature by about 0.4 degC, wind by 6 %, rain amounts by 10 %, what is
    known of rain by 0.1 standard deviations (one standard deviation each).

    Parameters
    ----------
    weather : TrueWeather
        The record, at its own dates.
    shift : timedelta
        Added to the record's dates; whole weeks, so that weekdays stay.
    seed : int
        0 or more; the same seed gives the same forecasts.
    amount_days : float
        Lead after which no rain amounts are given [days].
    """

    name = SOURCE

    def __init__(
        self, weather: TrueWeather, *, shift: timedelta = timedelta(0), seed: int = 0, amount_days: float = 3.0
    ) -> None:
        if shift % timedelta(weeks=1):
            raise ValueError(f"a shift of {shift} would move weekdays; use whole weeks")
        self._weather = weather.moved(shift)
        self.memory: Memory = NoMemory()
        self._seed = seed
        self._forecaster = Forecaster(self._weather, seed=seed, amount_days=amount_days)

    def locate(self, place: Place, as_of: datetime) -> Cell:
        """The cell of a place, as ``replay/40.69,-74.17``."""
        # Adding zero turns -0.0 into 0.0, so that one place has one key.
        return Cell(grid_key=f"{SOURCE}/{round(place.latitude, 2) + 0.0:.2f},{round(place.longitude, 2) + 0.0:.2f}")

    def fetch_grid(self, grid_key: str, as_of: datetime) -> Fetched:
        """The newest run issued at or before ``as_of``.

        Raises
        ------
        CannotDo
            ``forecast.no_recorded_weather`` if the record does not hold that moment.
        OutsideFailure
            ``forecast.no_future`` if the record ends within a day.
        """
        found = _KEY.fullmatch(grid_key)
        if found is None:
            raise CannotDo("forecast.unknown_key", field="grid_key", key=grid_key[:80], example="replay/40.69,-74.17")
        place = Place(latitude=float(found.group(1)), longitude=float(found.group(2)))
        forecast = self._forecaster.forecast(issue_time(as_of), site=self._effect(place))
        body = as_body(write_gridpoint(forecast, grid_key="EWR/1,1", place=place))
        series = read_gridpoint(json.loads(body), source=SOURCE)
        require_future(series, as_of)
        return Fetched(
            series=series,
            body=body,
            source=SOURCE,
            grid_key=grid_key,
            issued_at=series.issued_at,
            fetched_at=as_of,
        )

    def fetch(self, place: Place, as_of: datetime) -> Fetched:
        """The newest run of a place."""
        return self.fetch_grid(self.locate(place, as_of).grid_key, as_of)

    def observations(self, from_at: datetime, until_at: datetime) -> TrueWeather:
        """The weather as it came, at the moved dates, in [from_at, until_at); gaps of the record stay."""
        return self._weather.between(from_at, until_at)

    def _effect(self, place: Place) -> SiteEffect:
        entropy = [self._seed, round(place.latitude * 100) + 9000, round(place.longitude * 100) + 18000]
        warmer, wind, rain, wetter = np.random.default_rng(np.random.SeedSequence(entropy)).standard_normal(4)
        return SiteEffect(
            warmer_c=0.4 * float(warmer),
            wind_factor=float(np.exp(0.06 * wind)),
            rain_factor=float(np.exp(0.1 * rain)),
            wetter=0.1 * float(wetter),
        )


def issue_time(as_of: datetime) -> datetime:
    """Issue time of the newest run at or before a moment."""
    hour = floor_hour(as_of - _AFTER_CYCLE)
    return hour - ((hour.hour - _FIRST_CYCLE_HOUR) % _CYCLE_HOURS) * HOUR + _AFTER_CYCLE
