"""Makes forecasts out of recorded weather: as wrong as real ones by lead, and consistent from run to run.

Rain comes from ``latent``; temperature, dew point and wind carry errors that grow with lead and are drawn to what is
usual as knowledge falls, so that an extreme is forecast no more often than it comes; amounts end after some days, as
they do in real replies. Values move in the steps the US service uses (1 degF, 1 knot, 1 %, 0.01 inch).
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from jobs.domain.errors import CannotDo
from planner.forecast.domain.intervals import Piece, floor_hour
from planner.forecast.domain.made.latent import LEAD_STEP, LEAD_STEPS, Flags, Floats, Whole, correlated, rain_knowledge
from planner.forecast.domain.series import HOUR, Values
from planner.forecast.domain.truth import MEASURABLE_MM, TrueWeather

HOURS_BACK = 6
HOURS_AHEAD = 180
BLOCK_HOURS = 6
_STEP_C = 1 / 1.8
_KNOT_M_S = 1.852 / 3.6
_HUNDREDTH_INCH_MM = 0.254
# Rounding of converted inches must not turn a measurable amount into a dry one.
_WET_MM = MEASURABLE_MM - 1e-6
# Standard deviation of the error at lead 0 and its growth by day; common practice, no source.
_ERRORS = {"air_temp_c": (1.0, 0.35), "dew_point_c": (1.2, 0.35), "wind_m_s": (0.9, 0.2)}
_HOUR_MEMORY = 0.97
# Usual is the mean of the same hour over so many days around.
_USUAL_DAYS = 31
# Even of the farthest hour something is known.
_LEAST_KNOWN = 0.05
# A forecast names gusts where an airport report leaves them out; common practice, no source.
_GUST_OF_WIND = 1.5
# Hourly chances inside a half-day: a bump whose mean is about 0.6 of its top.
_FLOOR, _WIDTH_H = 0.3, 2.5
_USUAL_TOP = {True: 10.0, False: 2.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteEffect:
    """What makes one place differ a little from the station, the same in every run."""

    warmer_c: float = 0.0
    wind_factor: float = 1.0
    rain_factor: float = 1.0
    wetter: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DegradedForecast:
    """Hourly values of one run, and its rain amounts in blocks; unknown where it says nothing."""

    issued_at: datetime
    start_at: datetime
    air_temp_c: Values
    dew_point_c: Values
    wind_m_s: Values
    gust_m_s: Values
    rain_chance: Values
    thunder_chance: Values
    sky_cover: Values
    rain_blocks: tuple[Piece, ...]

    @property
    def hours(self) -> int:
        return len(self.air_temp_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class Windows:
    """Local half-days (06-18, 18-06) of a record: which one each hour lies in, and what fell in each."""

    of_hour: Whole
    place_in: Whole
    first_hour: Whole
    length: Whole
    is_day: Flags
    months: Whole
    rain_mm: Floats
    wet: Flags
    complete: Flags
    centre: Floats


def half_day_windows(weather: TrueWeather) -> Windows:
    """Cut a record into local half-days.

    Parameters
    ----------
    weather : TrueWeather
        The record; its own zone decides where half-days begin.

    Returns
    -------
    Windows
        ``complete`` is false where rain of an hour is unknown; such hours add nothing to ``rain_mm``.
    """
    zone = ZoneInfo(weather.zone)
    local = [(weather.start_at + i * HOUR).astimezone(zone) for i in range(weather.hours)]
    names = [((at - timedelta(hours=6)).date(), 6 <= at.hour < 18) for at in local]
    begins = [i for i, name in enumerate(names) if i == 0 or name != names[i - 1]]
    first = np.array(begins, dtype=np.intp)
    length = np.diff(np.append(first, len(names)))
    of_hour = np.repeat(np.arange(len(first)), length)
    place_in = np.arange(len(names)) - first[of_hour]
    known = np.array([np.nan if mm is None else mm for mm in weather.rain_mm])
    hourly = np.nan_to_num(known, nan=0.0)
    rain_mm = np.add.reduceat(hourly, first)
    moment = np.add.reduceat(hourly * place_in, first)
    is_day = np.array([names[i][1] for i in begins])
    usual = np.where(is_day, _USUAL_TOP[True], _USUAL_TOP[False])
    wet = rain_mm >= _WET_MM
    return Windows(
        of_hour=of_hour,
        place_in=place_in,
        first_hour=first,
        length=length,
        is_day=is_day,
        months=np.array([local[i].month for i in begins]),
        rain_mm=rain_mm,
        wet=wet,
        complete=~np.isnan(np.add.reduceat(known, first)),
        centre=np.where(wet, moment / np.maximum(rain_mm, 1e-9), usual),
    )


class Forecaster:
    """Forecasts of one record, for any issue time; the same seed gives the same forecasts.

    Parameters
    ----------
    weather : TrueWeather
        What really happened. Gaps in temperature and wind are bridged, hours without a rain record count as dry:
        a forecast has no gaps where an instrument failed.
    seed : int
        0 or more.
    amount_days : float
        Lead after which no rain amounts are given [days].
    """

    def __init__(self, weather: TrueWeather, *, seed: int, amount_days: float = 3.0) -> None:
        rain_rng, error_rng, amount_rng = (
            np.random.default_rng(part) for part in np.random.SeedSequence(seed).spawn(3)
        )
        self.weather = weather
        self.windows = half_day_windows(weather)
        w = self.windows
        self.knowledge = rain_knowledge(w.rain_mm, w.wet, w.months, rain_rng)
        self._amount_days = amount_days
        self._wet_mean_mm = float(w.rain_mm[w.wet].mean()) if w.wet.any() else 0.0
        self._amount_noise = amount_rng.standard_normal(len(w.first_hour))
        self._time_noise = amount_rng.standard_normal(len(w.first_hour))
        self._truth = {name: _bridged(getattr(weather, name)) for name in _ERRORS}
        self._usual = {name: _usual(truth) for name, truth in self._truth.items()}
        self._known, self._errors = {}, {}
        for name, (base, growth) in _ERRORS.items():
            variance = float(np.var(self._truth[name] - self._usual[name]))
            self._known[name] = _known_shares(variance, base, growth)
            self._errors[name] = _error_paths(weather.hours, variance, self._known[name], error_rng)
        recorded = np.array([np.nan if gust is None else gust for gust in weather.gust_m_s])
        self._gust_over_wind = np.where(
            np.isnan(recorded),
            _GUST_OF_WIND,
            np.clip(recorded / np.maximum(self._truth["wind_m_s"], 1.0), 1.1, 3.0),
        )

    def lead_steps(self, hours: Whole, issued_at: datetime) -> Whole:
        """Lead steps from issue to the start of each hour of the record; 0 for what has begun."""
        ahead = hours - (issued_at - self.weather.start_at) / HOUR
        steps: Whole = np.clip(np.ceil(ahead / (LEAD_STEP / HOUR)), 0, LEAD_STEPS).astype(np.intp)
        return steps

    def forecast(self, issued_at: datetime, *, site: SiteEffect | None = None) -> DegradedForecast:
        """The forecast issued at a moment.

        Parameters
        ----------
        issued_at : datetime
            Issue time, inside the record.
        site : SiteEffect, optional
            How the place differs from the station.

        Returns
        -------
        DegradedForecast
            From 6 h before issue to 180 h after, or to the end of the record.

        Raises
        ------
        CannotDo
            ``forecast.no_recorded_weather`` if the record does not hold the issue time.
        """
        effect = site or SiteEffect()
        weather = self.weather
        if not weather.start_at <= issued_at < weather.end_at:
            raise CannotDo(
                "forecast.no_recorded_weather",
                field="as of",
                from_on=weather.start_at.date(),
                until_on=weather.end_at.date(),
                as_of=issued_at.date(),
            )
        at = int((floor_hour(issued_at) - weather.start_at) // HOUR)
        hours = np.arange(max(at - HOURS_BACK, 0), min(at + HOURS_AHEAD, weather.hours))
        start_at = weather.start_at + int(hours[0]) * HOUR
        air, dew, wind = (self._with_error(name, hours, issued_at) for name in _ERRORS)
        air = air + effect.warmer_c
        wind = np.maximum(wind * effect.wind_factor, 0.0)
        chance, amount = self._rain(hours, issued_at, effect)
        warm = np.clip((air - 15.0) / 10.0, 0.0, 1.0)
        return DegradedForecast(
            issued_at=issued_at,
            start_at=start_at,
            air_temp_c=_in_steps(air, _STEP_C),
            dew_point_c=_in_steps(np.minimum(dew + effect.warmer_c, air), _STEP_C),
            wind_m_s=_in_steps(wind, _KNOT_M_S),
            gust_m_s=_in_steps(wind * self._gust_of_wind_at(hours, issued_at), _KNOT_M_S),
            rain_chance=_in_steps(chance, 0.01),
            # A third of warm-season rain comes with thunder; common practice, no source.
            thunder_chance=_in_steps(0.35 * warm * chance, 0.01),
            sky_cover=_in_steps(0.2 + 0.75 * np.sqrt(chance), 0.01),
            rain_blocks=self._blocks(amount, start_at, issued_at),
        )

    def _with_error(self, name: str, hours: Whole, issued_at: datetime) -> Floats:
        """The usual value, and of what is unusual in truth and error the share that is known so long before."""
        steps = self.lead_steps(hours, issued_at)
        usual, known = self._usual[name][hours], self._known[name][steps]
        stated: Floats = usual + known * (self._truth[name][hours] - usual + self._errors[name][steps, hours])
        return stated

    def _gust_of_wind_at(self, hours: Whole, issued_at: datetime) -> Floats:
        known = self._known["wind_m_s"][self.lead_steps(hours, issued_at)]
        ratio: Floats = _GUST_OF_WIND + known * (self._gust_over_wind[hours] - _GUST_OF_WIND)
        return ratio

    def _rain(self, hours: Whole, issued_at: datetime, effect: SiteEffect) -> tuple[Floats, Floats]:
        """Hourly chance and amount [mm]: the window's chance shaped by a bump, its amount by the bump squared."""
        w = self.windows
        chance, amount = np.zeros(self.weather.hours), np.zeros(self.weather.hours)
        for window in np.unique(w.of_hour[hours]):
            first, length = int(w.first_hour[window]), int(w.length[window])
            step = self.lead_steps(np.array([first]), issued_at)
            stated = float(self.knowledge.chance(step, np.array([window]), effect.wetter)[0])
            days = float(step[0]) * (LEAD_STEP / timedelta(days=1))
            top = w.centre[window] + _timing_sd_h(days) * self._time_noise[window]
            shape = _FLOOR + (1 - _FLOOR) * np.exp(
                -0.5 * ((np.arange(length) - np.clip(top, 0, length - 1)) / _WIDTH_H) ** 2
            )
            shape /= shape.max()
            inside = slice(first, first + length)
            chance[inside] = stated * shape
            total = self._amount_mm(int(window), stated, days, float(self.knowledge.information[step[0]]))
            amount[inside] = total * effect.rain_factor * shape**2 / float((shape**2).sum())
        return chance[hours], amount[hours]

    def _amount_mm(self, window: int, stated: float, days: float, known: float) -> float:
        """Amount of a window: the true one with a log-normal error, drawn to the usual one as knowledge falls.

        The true amount counts only as far as the stated chance speaks of rain, else the amount would tell what
        the chance does not know.
        """
        sd = 0.9 if days <= 1 else 1.1 if days <= 3 else 1.3
        signal = min(stated / 0.5, 1.0)
        told = self.windows.rain_mm[window] * np.exp(sd * self._amount_noise[window] - 0.5 * sd**2)
        return float(known * signal * told + (1.0 - known) * stated * self._wet_mean_mm)

    def _blocks(self, amount: Floats, start_at: datetime, issued_at: datetime) -> tuple[Piece, ...]:
        blocks = []
        last = issued_at + timedelta(days=self._amount_days)
        at, end_at = start_at, start_at + len(amount) * HOUR
        while at < min(last, end_at):
            until = min(at + (BLOCK_HOURS - at.hour % BLOCK_HOURS) * HOUR, end_at)
            inside = slice(int((at - start_at) // HOUR), int((until - start_at) // HOUR))
            steps = round(float(amount[inside].sum()) / _HUNDREDTH_INCH_MM)
            blocks.append(Piece(from_at=at, until_at=until, value=round(steps * _HUNDREDTH_INCH_MM, 3)))
            at = until
        return tuple(blocks)


def _timing_sd_h(days: float) -> float:
    """Error of the middle of the rain [h], as measured on one summer of forecasts."""
    return 2.4 if days <= 1 else 3.0 if days <= 3 else 3.5


def _bridged(values: Values) -> Floats:
    known = np.array([np.nan if value is None else value for value in values])
    there = np.flatnonzero(~np.isnan(known))
    if not len(there):
        raise ValueError("a record without a single value")
    bridged: Floats = np.interp(np.arange(len(known)), there, known[there])
    return bridged


def _usual(values: Floats) -> Floats:
    """What is usual at each hour: the mean of that hour of the day over the days around."""
    usual = np.empty_like(values)
    days = np.ones(_USUAL_DAYS)
    for hour in range(min(24, len(values))):
        daily = values[hour::24]
        # The middle of the full convolution, whatever is longer.
        middle = slice(_USUAL_DAYS // 2, _USUAL_DAYS // 2 + len(daily))
        usual[hour::24] = (np.convolve(daily, days) / np.convolve(np.ones(len(daily)), days))[middle]
    return usual


def _known_shares(variance: float, base: float, growth: float) -> Floats:
    """Share of what is unusual that is known by lead step: 1 - e^2 / variance, for an error e = base + growth days.

    A forecast m = v (z + noise) of an unusual part z is right on average, whatever it says, where its noise has the
    variance (1 - v) / v of z's; its error then has the variance 1 - v of it, and the forecast itself v of it.
    """
    days = np.arange(LEAD_STEPS + 1) * (LEAD_STEP / timedelta(days=1))
    shares: Floats = np.clip(1.0 - (base + growth * days) ** 2 / max(variance, 1e-9), _LEAST_KNOWN, 1.0)
    return shares


def _error_paths(hours: int, variance: float, known: Floats, rng: np.random.Generator) -> Floats:
    """Errors by lead step and hour: a walk over lead, so that the next run corrects this one a little."""
    increments = np.sqrt(np.diff(variance * (1.0 - known) / known, prepend=0.0))
    paths: Floats = np.cumsum(increments[:, None] * correlated(LEAD_STEPS + 1, hours, _HOUR_MEMORY, rng), axis=0)
    return paths


def _in_steps(values: NDArray[np.float64], step: float) -> Values:
    return tuple(round(float(count) * step, 6) for count in np.rint(values / step))
