"""Moist air: saturation vapour pressure, dew point, relative humidity, all over water."""

import numpy as np

from jobs.science.ranges import N, as_given, require_range

# Coefficients of the Magnus form over water, fitted for -40 to 50 degC; source alduchov_1996.
SOURCE = "alduchov_1996"
MAGNUS_KPA = 0.61094
MAGNUS_SLOPE = 17.625
MAGNUS_OFFSET_C = 243.04
TEMP_MIN_C, TEMP_MAX_C = -40.0, 50.0
# A forecast's dew point may exceed its temperature by rounding; more is a mistake.
DEW_ROUNDING_C = 0.5


def saturation_vapour_pressure_kpa(temp_c: N) -> N:
    """Saturation vapour pressure over water [kPa].

    Parameters
    ----------
    temp_c : float or array
        Temperature [degC], -40 to 50.

    Returns
    -------
    float or array
        ``0.61094 exp(17.625 T / (T + 243.04))`` [kPa]; within 0.25 % of steam tables from 0 to 40 degC.

    Raises
    ------
    OutsideValidRange
        A temperature outside the range.

    Source: alduchov_1996.

    >>> f"{saturation_vapour_pressure_kpa(20.0):.3f}"
    '2.333'
    """
    _require_temp(temp_c, "temp_c")
    return as_given(MAGNUS_KPA * np.exp(MAGNUS_SLOPE * temp_c / (temp_c + MAGNUS_OFFSET_C)), temp_c)


def vapour_pressure_kpa(air_temp_c: N, humidity_percent: N) -> N:
    """Vapour pressure of the air [kPa]: the humidity's share of the saturation pressure.

    Parameters
    ----------
    air_temp_c : float or array
        Air temperature [degC], -40 to 50.
    humidity_percent : float or array
        Relative humidity over water [%], 0 to 100.

    Returns
    -------
    float or array
        ``es(T) RH / 100`` [kPa].

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: alduchov_1996.

    >>> f"{vapour_pressure_kpa(25.0, 60.0):.3f}"
    '1.897'
    """
    require_range(humidity_percent, name="humidity_percent", low=0, high=100, unit="%", source=SOURCE)
    return as_given(saturation_vapour_pressure_kpa(air_temp_c) * humidity_percent / 100, air_temp_c)


def dew_point_c(air_temp_c: N, humidity_percent: N) -> N:
    """Dew point over water [degC].

    Parameters
    ----------
    air_temp_c : float or array
        Air temperature [degC], -40 to 50.
    humidity_percent : float or array
        Relative humidity over water [%], 1 to 100.

    Returns
    -------
    float or array
        ``243.04 g / (17.625 - g)`` with ``g = ln(e / 0.61094)`` [degC].

    Raises
    ------
    OutsideValidRange
        An argument outside its range, or air so dry that the dew point falls below -40 degC.

    Source: alduchov_1996.

    >>> f"{dew_point_c(30.0, 70.0):.2f}"
    '23.93'
    """
    require_range(humidity_percent, name="humidity_percent", low=1, high=100, unit="%", source=SOURCE)
    gain = np.log(vapour_pressure_kpa(air_temp_c, humidity_percent) / MAGNUS_KPA)
    # The last digit of saturated air must not rise above the air.
    dew_point = as_given(np.minimum(air_temp_c, MAGNUS_OFFSET_C * gain / (MAGNUS_SLOPE - gain)), air_temp_c)
    _require_temp(dew_point, "dew_point_c")
    return dew_point


def humidity_percent(air_temp_c: N, dew_point_c: N) -> N:
    """Relative humidity over water [%] from the dew point.

    Parameters
    ----------
    air_temp_c : float or array
        Air temperature [degC], -40 to 50.
    dew_point_c : float or array
        Dew point over water [degC], -40 to the air temperature; up to 0.5 degC above it counts as rounding
        of a forecast and gives 100 %.

    Returns
    -------
    float or array
        ``100 es(Td) / es(T)`` [%].

    Raises
    ------
    OutsideValidRange
        An argument outside its range, or a dew point above the air temperature.

    Source: alduchov_1996.

    >>> f"{humidity_percent(25.0, 16.7):.1f}"
    '60.0'
    """
    _require_temp(dew_point_c, "dew_point_c")
    require_range(
        as_given(dew_point_c - air_temp_c, air_temp_c),
        name="dew_point_c above air_temp_c",
        low=TEMP_MIN_C - TEMP_MAX_C,
        high=DEW_ROUNDING_C,
        unit="degC",
        source=SOURCE,
    )
    share = saturation_vapour_pressure_kpa(dew_point_c) / saturation_vapour_pressure_kpa(air_temp_c)
    return as_given(np.minimum(100.0, 100 * share), air_temp_c)


def _require_temp(temp_c: N, name: str) -> None:
    require_range(temp_c, name=name, low=TEMP_MIN_C, high=TEMP_MAX_C, unit="degC", source=SOURCE)
