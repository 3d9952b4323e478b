"""Made temperatures and winds are right on average whatever they say: drawn to what is usual as knowledge falls.

A forecast of a mean m that knows all it can has cov(truth - m, m) = 0: truth regressed on it has slope 1, and it varies
less than the truth by the variance of its error (Murphy 1988, Monthly Weather Review 116, 2417; from memory).
"""

from datetime import timedelta
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from planner.forecast.domain.made.degrade import Forecaster
from planner.forecast.domain.series import HOUR
from tests.planner.forecast.weather import ewr_2013
from tests.planner.forecast_domain.real_record import issued_windows, needs_record

Pairs = tuple[NDArray[np.float64], NDArray[np.float64]]
LEADS_H = (12, 72, 120, 168)
GUSTY_M_S = 12.0


@cache
def pairs(name: str, lead_h: int) -> Pairs:
    """What was forecast so many hours ahead, through the year and the day, and what came."""
    weather = ewr_2013()
    truth = [np.nan if value is None else value for value in getattr(weather, name)]
    if name == "gust_m_s":
        # A station that reports no gust had none.
        winds = [np.nan if value is None else value for value in weather.wind_m_s]
        truth = [wind if np.isnan(gust) else gust for gust, wind in zip(truth, winds, strict=True)]
    stated, came = [], []
    for seed in range(2):
        forecaster = Forecaster(weather, seed=seed)
        for day in range(16, 345, 2):
            issued_at = weather.start_at + timedelta(days=day, hours=day * 7 % 24, minutes=25)
            made = forecaster.forecast(issued_at)
            at = (issued_at + lead_h * HOUR - made.start_at) // HOUR
            value, happened = getattr(made, name)[at], truth[(made.start_at - weather.start_at) // HOUR + at]
            if not np.isnan(happened):
                stated.append(value)
                came.append(happened)
    return np.array(stated), np.array(came)


@pytest.mark.parametrize("lead_h", LEADS_H)
@pytest.mark.parametrize("name", ["air_temp_c", "wind_m_s", "gust_m_s"])
def test_what_comes_is_on_average_what_was_said(name: str, lead_h: int) -> None:
    stated, came = pairs(name, lead_h)
    assert np.polyfit(stated, came, 1)[0] == pytest.approx(1.0, abs=0.12)


@pytest.mark.parametrize("name", ["air_temp_c", "wind_m_s"])
def test_what_is_said_varies_less_than_what_comes_by_the_error(name: str) -> None:
    shares = []
    for lead_h in LEADS_H:
        stated, came = pairs(name, lead_h)
        error = float(np.mean((stated - came) ** 2))
        shares.append(stated.var() / came.var())
        assert shares[-1] == pytest.approx(1.0 - error / came.var(), abs=0.12)
    assert shares == sorted(shares, reverse=True)


@pytest.mark.parametrize("lead_h", LEADS_H)
def test_a_gale_is_said_no_more_often_than_it_blows(lead_h: int) -> None:
    stated, came = pairs("gust_m_s", lead_h)
    assert (stated > GUSTY_M_S).mean() <= (came > GUSTY_M_S).mean() + 0.01


@needs_record
def test_real_forecasts_are_drawn_to_the_usual_by_lead_too() -> None:
    """Their chance of rain of a half-day varies by a third of what comes a day ahead, by a sixth five days ahead."""

    def share(*leads: int) -> float:
        windows = [*issued_windows(6, 12, leads), *issued_windows(18, 12, leads)]
        stated, came = [], []
        for one in windows:
            until_at = one.from_at + 12 * HOUR
            chance = max(
                value for value in one.series.between("rain_chance", one.from_at, until_at) if value is not None
            )
            stated += [chance] * len(one.wet)
            came += [float(wet) for wet in one.wet]
        return float(np.var(stated) / np.var(came))

    near, far = share(1, 2), share(5, 6)
    assert near == pytest.approx(0.33, abs=0.05)
    assert far == pytest.approx(0.16, abs=0.04)
