"""Evaporation from fresh concrete, before bleed water is gone: the surface dries and cracks while still plastic.

Both estimates rest on one lake's evaporation; the true rate can differ by 40 % either way (hover_2020).
"""

import math
from typing import Literal

import numpy as np

from jobs.science.psychrometrics import saturation_vapour_pressure_kpa
from jobs.science.ranges import N, as_given, require_range

# Menzel's constants as published: lb/ft2/h, psi, mph.
MENZEL_LB_FT2_H_PSI = 0.44
MENZEL_STILL_AIR = 0.253
MENZEL_PER_MPH = 0.096
KG_M2_PER_LB_FT2 = 4.882428
KPA_PER_PSI = 6.894757
M_S_PER_MPH = 0.44704

# Precautions are asked for from 1.0 kg/m2/h, cracking is possible from half of that (aci_305).
CRACKING_POSSIBLE_KG_M2_H = 0.5
PRECAUTIONS_KG_M2_H = 1.0
# Stated uncertainty of the estimate, as a share of it (hover_2020).
UNCERTAINTY = 0.40

# The chart's wind axis ends at 25 mph, at 0.5 m above the surface.
WIND_MAX_M_S = 25 * M_S_PER_MPH
SURFACE_WIND_HEIGHT_M = 0.5
FORECAST_WIND_HEIGHT_M = 10.0
# Roughness length of open, level ground with short grass (wmo_8).
OPEN_GROUND_ROUGHNESS_M = 0.03

Drying = Literal["low", "cracking_possible", "precautions"]


def evaporation_kg_m2_h(concrete_temp_c: N, dew_point_c: N, wind_m_s: N) -> N:
    """Evaporation rate from the surface of fresh concrete by Menzel's formula [kg/m2/h].

    Parameters
    ----------
    concrete_temp_c : float or array
        Temperature of the concrete surface [degC], 0 to 50 (the published chart is drawn for 4 to 38).
    dew_point_c : float or array
        Dew point of the air upwind, in shade, 1.2 to 1.8 m above the surface [degC], -40 to 50.
    wind_m_s : float or array
        Mean wind 0.5 m above the surface [m/s], 0 to 11.176 (25 mph); see ``surface_wind_m_s``.

    Returns
    -------
    float or array
        Never negative: a surface colder than the dew point gains water. True rates differ by 40 % either way.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Formula as published, lb/ft2/h, psi, mph: ``E = 0.44 (es(Tc) - es(Td)) (0.253 + 0.096 V)``; converted exactly.
    The rounded SI form in print (0.315, 0.060 per km/h) reads 1 % higher. Source: menzel_1954.

    >>> f"{evaporation_kg_m2_h(25.0, 13.9, 2.8):.2f}"
    '0.42'
    """
    _require_concrete(concrete_temp_c, low=0, high=50, source="menzel_1954")
    _require_wind(wind_m_s, "menzel_1954")
    drive_kpa = saturation_vapour_pressure_kpa(concrete_temp_c) - saturation_vapour_pressure_kpa(dew_point_c)
    lb_ft2_h = (
        MENZEL_LB_FT2_H_PSI * drive_kpa / KPA_PER_PSI * (MENZEL_STILL_AIR + MENZEL_PER_MPH * wind_m_s / M_S_PER_MPH)
    )
    return as_given(np.maximum(0.0, lb_ft2_h * KG_M2_PER_LB_FT2), concrete_temp_c)


def evaporation_by_temperatures_kg_m2_h(concrete_temp_c: N, air_temp_c: N, humidity_percent: N, wind_m_s: N) -> N:
    """Evaporation rate from the surface of fresh concrete by Uno's single equation [kg/m2/h].

    Parameters
    ----------
    concrete_temp_c, air_temp_c : float or array
        Concrete surface and air [degC], 15 to 35: the fit reads 10 to 15 % high in colder air.
    humidity_percent : float or array
        Relative humidity of the air [%], 0 to 100.
    wind_m_s : float or array
        Mean wind 0.5 m above the surface [m/s], 0 to 11.176 (25 mph).

    Returns
    -------
    float or array
        Never negative. True rates differ by 40 % either way.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Formula as published, lb/ft2/h, degF, mph: ``E = (Tc^2.5 - RH/100 Ta^2.5) (1 + 0.4 V) 1e-6``; converted exactly. The
    rounded SI form in print reads 4 to 5 % lower. Source: uno_1998.

    >>> f"{evaporation_by_temperatures_kg_m2_h(30.0, 30.0, 40.0, 20 / 3.6):.2f}"
    '1.20'
    """
    _require_concrete(concrete_temp_c, low=15, high=35, source="uno_1998")
    require_range(air_temp_c, name="air_temp_c", low=15, high=35, unit="degC", source="uno_1998")
    require_range(humidity_percent, name="humidity_percent", low=0, high=100, unit="%", source="uno_1998")
    _require_wind(wind_m_s, "uno_1998")
    concrete_f, air_f = concrete_temp_c * 1.8 + 32, air_temp_c * 1.8 + 32
    drive = concrete_f**2.5 - humidity_percent / 100 * air_f**2.5
    lb_ft2_h = drive * (1 + 0.4 * wind_m_s / M_S_PER_MPH) * 1e-6
    return as_given(np.maximum(0.0, lb_ft2_h * KG_M2_PER_LB_FT2), concrete_temp_c)


def surface_wind_m_s(wind_10m_m_s: N, *, roughness_m: float = OPEN_GROUND_ROUGHNESS_M) -> N:
    """Mean wind 0.5 m above the surface from the forecast's wind at 10 m [m/s].

    Parameters
    ----------
    wind_10m_m_s : float or array
        Mean wind at 10 m [m/s], 0 to 75.
    roughness_m : float
        Roughness length of the ground upwind [m], 0.001 to 0.1; 0.03 is open ground with short grass.

    Returns
    -------
    float or array
        ``u10 ln(0.5 / z0) / ln(10 / z0)``, 0.48 of the wind at 10 m over open ground. No fences, walls or forms:
        a measurement at the slab is better.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Logarithmic wind profile in neutral air. Source: wmo_8.

    >>> f"{surface_wind_m_s(10.0):.2f}"
    '4.84'
    """
    require_range(wind_10m_m_s, name="wind_10m_m_s", low=0, high=75, unit="m/s", source="wmo_8")
    require_range(roughness_m, name="roughness_m", low=0.001, high=0.1, unit="m", source="wmo_8")
    share = math.log(SURFACE_WIND_HEIGHT_M / roughness_m) / math.log(FORECAST_WIND_HEIGHT_M / roughness_m)
    return as_given(wind_10m_m_s * share, wind_10m_m_s)


def evaporation_bounds_kg_m2_h(rate_kg_m2_h: N) -> tuple[N, N]:
    """Lowest and highest true rate that the estimate stands for [kg/m2/h]: 40 % either way.

    Source: hover_2020.

    >>> low, high = evaporation_bounds_kg_m2_h(1.0)
    >>> f"{low:.1f} to {high:.1f}"
    '0.6 to 1.4'
    """
    return (
        as_given(rate_kg_m2_h * (1 - UNCERTAINTY), rate_kg_m2_h),
        as_given(rate_kg_m2_h * (1 + UNCERTAINTY), rate_kg_m2_h),
    )


def drying(rate_kg_m2_h: float) -> Drying:
    """What an evaporation rate asks for: below 0.5 kg/m2/h nothing, from 0.5 watch, from 1.0 precautions.

    Source: aci_305.

    >>> drying(0.5), drying(1.0)
    ('cracking_possible', 'precautions')
    """
    if rate_kg_m2_h >= PRECAUTIONS_KG_M2_H:
        return "precautions"
    return "cracking_possible" if rate_kg_m2_h >= CRACKING_POSSIBLE_KG_M2_H else "low"


def _require_concrete(concrete_temp_c: N, *, low: float, high: float, source: str) -> None:
    require_range(concrete_temp_c, name="concrete_temp_c", low=low, high=high, unit="degC", source=source)


def _require_wind(wind_m_s: N, source: str) -> None:
    require_range(wind_m_s, name="wind_m_s", low=0, high=WIND_MAX_M_S, unit="m/s", source=source)
