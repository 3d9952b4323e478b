"""Heat and cold on people: heat index, wind chill, and the bands that name what to do.

The bands are cautions; the employer's heat plan and local rules decide.
"""

import math
from typing import Literal

import numpy as np

from jobs.domain.errors import OutsideValidRange
from jobs.science.psychrometrics import DEW_ROUNDING_C, TEMP_MIN_C, humidity_percent
from jobs.science.ranges import Array, N, as_given, require_range

M_S_PER_MPH = 0.44704
# The wind chill formula is defined at or below 50 degF in wind above 3 mph; the chart ends at -45 degF and 60 mph.
WIND_CHILL_MAX_TEMP_C = 10.0
WIND_CHILL_MIN_TEMP_C = -45.0
WIND_CHILL_MIN_WIND_M_S = 3 * M_S_PER_MPH
WIND_CHILL_MAX_WIND_M_S = 60 * M_S_PER_MPH
# Below 40 degF the procedure leaves the air temperature as it is; above 50 degC its table has no data.
HEAT_INDEX_MIN_TEMP_C = 40 / 9
HEAT_INDEX_MAX_TEMP_C = 50.0
# The chart's hottest cell is 137 degF; far above it the regression's table has no data.
HEAT_INDEX_MAX_C = 60.0
# The driest air at 40 degF reads 37 degF: no index is lower.
HEAT_INDEX_MIN_C = 0.0
HEAT_INDEX_FROM_TEMP_C = 48 / 1.8
# Full sun can add up to 15 degF to the heat index, which is made for shade (osha_heat).
SUN_ADDS_C = 15 / 1.8
# Frostbite in about 30 minutes at a wind chill of -18 degF or lower (nws_wind_chill).
FROSTBITE_WIND_CHILL_C = -50 / 1.8
# Boundaries are printed in whole degrees Fahrenheit; this absorbs the conversion's last digits.
LAST_DIGITS_F = 1e-9

HeatBand = Literal["lower", "moderate", "high", "very_high"]
ColdBand = Literal["none", "low", "moderate", "high", "very_high", "severe", "extreme"]
HeatClass = Literal["none", "caution", "extreme_caution", "danger", "extreme_danger"]


def heat_index_c(air_temp_c: N, humidity_percent: N) -> N:
    """Heat index in shade and light wind [degC].

    Parameters
    ----------
    air_temp_c : float or array
        Air temperature [degC], 4.44 to 50 (40 to 122 degF).
    humidity_percent : float or array
        Relative humidity [%], 0 to 100.

    Returns
    -------
    float or array
        The whole published procedure in degF: ``0.5 (T + 61 + 1.2 (T - 68) + 0.094 RH)`` averaged with T; where that
        gives 80 degF or more, Rothfusz's regression with its adjustments for dry and for damp air. Regression
        error 0.7 degC (1.3 degF).

    Raises
    ------
    OutsideValidRange
        An argument outside its range, or a result above 60 degC (140 degF), past the published chart.

    Source: nws_heat_index.

    >>> f"{heat_index_c((96 - 32) / 1.8, 65.0) * 1.8 + 32:.0f}"
    '121'
    """
    source = "nws_heat_index"
    require_range(
        air_temp_c, name="air_temp_c", low=HEAT_INDEX_MIN_TEMP_C, high=HEAT_INDEX_MAX_TEMP_C, unit="degC", source=source
    )
    require_range(humidity_percent, name="humidity_percent", low=0, high=100, unit="%", source=source)
    temp_f = np.asarray(air_temp_c, dtype=float) * 1.8 + 32
    humidity = np.asarray(humidity_percent, dtype=float)
    simple_f = 0.5 * (temp_f + 61 + (temp_f - 68) * 1.2 + humidity * 0.094)
    mean_f = (simple_f + temp_f) / 2
    full_f = (
        _regression_f(temp_f, humidity) - _dry_adjustment_f(temp_f, humidity) + _damp_adjustment_f(temp_f, humidity)
    )
    index_c = as_given((np.where(mean_f >= 80, full_f, mean_f) - 32) / 1.8, air_temp_c)
    require_range(index_c, name="heat index", low=HEAT_INDEX_MIN_C, high=HEAT_INDEX_MAX_C, unit="degC", source=source)
    return index_c


def forecast_heat_index_c(air_temp_c: float | None, dew_point_c: float | None) -> float | None:
    """Heat index in shade of a forecast hour [degC]; hotter than the chart goes, its end.

    Parameters
    ----------
    air_temp_c, dew_point_c : float or None
        Air and dew point [degC]; ``None`` where the forecast says nothing.

    Returns
    -------
    float or None
        ``None`` in air under ``HEAT_INDEX_FROM_TEMP_C``, where the index is not used, and where no hour can be so.

    Source: nws_heat_index.

    >>> forecast_heat_index_c(51.0, 5.0), forecast_heat_index_c(20.0, 15.0)
    (60.0, None)
    """
    if air_temp_c is None or dew_point_c is None or air_temp_c < HEAT_INDEX_FROM_TEMP_C:
        return None
    if air_temp_c > HEAT_INDEX_MAX_TEMP_C:
        return HEAT_INDEX_MAX_C
    if not TEMP_MIN_C <= dew_point_c <= air_temp_c + DEW_ROUNDING_C:
        return None
    try:
        return heat_index_c(air_temp_c, humidity_percent(air_temp_c, dew_point_c))
    except OutsideValidRange:
        # Air and dew point are in range, so the index is past the chart.
        return HEAT_INDEX_MAX_C


def _regression_f(t: Array, r: Array) -> Array:
    """Rothfusz's regression for temperature ``t`` [degF] and humidity ``r`` [%]."""
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 0.00683783 * t**2
        - 0.05481717 * r**2
        + 0.00122874 * t**2 * r
        + 0.00085282 * t * r**2
        - 0.00000199 * t**2 * r**2
    )


def _dry_adjustment_f(t: Array, r: Array) -> Array:
    applies = (r < 13) & (t >= 80) & (t <= 112)
    root = np.sqrt(np.maximum(0.0, 17 - np.abs(t - 95)) / 17)
    return np.where(applies, (13 - r) / 4 * root, 0.0)


def _damp_adjustment_f(t: Array, r: Array) -> Array:
    applies = (r > 85) & (t >= 80) & (t <= 87)
    return np.where(applies, (r - 85) / 10 * (87 - t) / 5, 0.0)


def wind_chill_c(air_temp_c: N, wind_m_s: N) -> N:
    """Wind chill temperature of the 2001 index [degC].

    Parameters
    ----------
    air_temp_c : float or array
        Air temperature [degC], -45 to 10.
    wind_m_s : float or array
        Mean wind at 10 m [m/s], 1.34 to 26.8 (3 to 60 mph).

    Returns
    -------
    float or array
        In degF and mph: ``35.74 + 0.6215 T - 35.75 V^0.16 + 0.4275 T V^0.16``.

    Raises
    ------
    OutsideValidRange
        An argument outside its range: in warmer air or calmer wind there is no wind chill.

    Source: nws_wind_chill.

    >>> f"{wind_chill_c((20 - 32) / 1.8, 25 * 0.44704) * 1.8 + 32:.0f}"
    '3'
    """
    source = "nws_wind_chill"
    require_range(
        air_temp_c, name="air_temp_c", low=WIND_CHILL_MIN_TEMP_C, high=WIND_CHILL_MAX_TEMP_C, unit="degC", source=source
    )
    require_range(
        wind_m_s, name="wind_m_s", low=WIND_CHILL_MIN_WIND_M_S, high=WIND_CHILL_MAX_WIND_M_S, unit="m/s", source=source
    )
    temp_f = air_temp_c * 1.8 + 32
    power = (wind_m_s / M_S_PER_MPH) ** 0.16
    return as_given((35.74 + 0.6215 * temp_f - 35.75 * power + 0.4275 * temp_f * power - 32) / 1.8, air_temp_c)


def apparent_temp_c(air_temp_c: float, humidity_percent: float, wind_m_s: float) -> float:
    """What the air feels like in shade, as the weather service defines it [degC].

    Parameters
    ----------
    air_temp_c : float
        Air temperature [degC], -45 to 50.
    humidity_percent : float
        Relative humidity [%], 0 to 100.
    wind_m_s : float
        Mean wind at 10 m [m/s], 0 to 26.8.

    Returns
    -------
    float
        Wind chill at or below 10 degC in wind above 1.34 m/s, heat index at or above 26.7 degC (80 degF), otherwise
        the air temperature.

    Raises
    ------
    OutsideValidRange
        As ``wind_chill_c`` and ``heat_index_c``.

    Source: nws_heat_index, nws_wind_chill.

    >>> apparent_temp_c(20.0, 50.0, 3.0)
    20.0
    """
    if air_temp_c <= WIND_CHILL_MAX_TEMP_C and wind_m_s > WIND_CHILL_MIN_WIND_M_S:
        return wind_chill_c(air_temp_c, wind_m_s)
    if air_temp_c >= HEAT_INDEX_FROM_TEMP_C:
        return heat_index_c(air_temp_c, humidity_percent)
    return air_temp_c


def heat_band(heat_index_c: float) -> HeatBand:
    """Band of protective measures by heat index.

    Below 91 degF lower, from 91 moderate, from 103 high, above 115 very high. The heat index is for shade: in full
    sun add up to ``SUN_ADDS_C`` first. Source: osha_heat.

    >>> heat_band((91 - 32) / 1.8)
    'moderate'
    """
    index_f = heat_index_c * 1.8 + 32
    if index_f > 115 + LAST_DIGITS_F:
        return "very_high"
    if index_f >= 103 - LAST_DIGITS_F:
        return "high"
    return "moderate" if index_f >= 91 - LAST_DIGITS_F else "lower"


def heat_class(heat_index_c: float) -> HeatClass:
    """Class on the weather service's chart: from 80, 90, 103 and 125 degF.

    Source: nws_heat_index (boundaries from memory).

    >>> heat_class((103 - 32) / 1.8)
    'danger'
    """
    index_f = heat_index_c * 1.8 + 32 + LAST_DIGITS_F
    classes: tuple[tuple[float, HeatClass], ...] = (
        (125, "extreme_danger"),
        (103, "danger"),
        (90, "extreme_caution"),
        (80, "caution"),
    )
    return next((name for bound_f, name in classes if index_f >= bound_f), "none")


def cold_band(wind_chill_c: float) -> ColdBand:
    """Band of a wind chill on the table of wind chill hazards, which is printed in whole degrees Celsius.

    From 0 degC low, -10 moderate (hypothermia after long), -28 high (skin freezes in 10 to 30 minutes), -40 very high
    (5 to 10), -48 severe (2 to 5), -55 extreme (under 2). A half degree counts with the colder. The US chart has its
    30 minutes from -18 degF on, the same -28 degC. Source: msc_wind_chill, nws_wind_chill.

    >>> cold_band((-18 - 32) / 1.8), cold_band((-16 - 32) / 1.8)
    ('high', 'moderate')
    """
    printed_c = math.ceil(wind_chill_c - 0.5)
    bands: tuple[tuple[int, ColdBand], ...] = (
        (-55, "extreme"),
        (-48, "severe"),
        (-40, "very_high"),
        (-28, "high"),
        (-10, "moderate"),
        (0, "low"),
    )
    return next((name for bound_c, name in bands if printed_c <= bound_c), "none")
