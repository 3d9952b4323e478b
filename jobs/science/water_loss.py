"""What the sky takes from and gives to an open pool: evaporation and rain. 1 kg/m2 is 1 mm of water."""

import numpy as np

from jobs.science.psychrometrics import saturation_vapour_pressure_kpa, vapour_pressure_kpa
from jobs.science.ranges import N, as_given, require_range

# Carrier's constants as published: lb/h/ft2, ft/min, in Hg, Btu/lb.
STILL_AIR, PER_FT_MIN = 95.0, 0.425
FT_MIN_PER_M_S = 60 / 0.3048
KPA_PER_IN_HG = 3.386389
KG_M2_PER_LB_FT2 = 4.882428
BTU_LB_PER_KJ_KG = 1 / 2.326
# Latent heat of water near room temperature [kJ/kg]: 2500.9 at 0 degC, 2.36 less a degree.
LATENT_KJ_KG, LATENT_FALL = 2500.9, 2.36
# Undisturbed pools were measured at this share of the formula (carrier, Smith et al.).
UNDISTURBED_SHARE = 0.74
# A quarter inch a day: common practice, no source.
USUAL_MM_PER_DAY = 6.35


def water_evaporation_mm_h(
    water_temp_c: N, air_temp_c: N, humidity_percent: N, wind_m_s: N, *, share: float = 1.0
) -> N:
    """Evaporation from a water surface [mm/h], which is kg/m2/h.

    Parameters
    ----------
    water_temp_c : float or array
        Water surface [degC], 0 to 40.
    air_temp_c : float or array
        Air [degC], -20 to 50.
    humidity_percent : float or array
        Relative humidity [%], 0 to 100.
    wind_m_s : float or array
        Mean wind over the water [m/s], 0 to 10; ``evaporation.surface_wind_m_s`` brings it down from 10 m.
    share : float
        0.74 for undisturbed water as measured, 1 as the formula reads, up to 1.7 in use.

    Returns
    -------
    float or array
        In lb/h/ft2, ft/min, in Hg, Btu/lb: ``(95 + 0.425 v) (pw - pa) / Y``; never negative.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: carrier.

    >>> f"{24 * water_evaporation_mm_h(26.7, 26.7, 50.0, 0.0):.1f}"
    '5.5'
    """
    for name, value, low, high, unit in (
        ("water_temp_c", water_temp_c, 0.0, 40.0, "degC"),
        ("air_temp_c", air_temp_c, -20.0, 50.0, "degC"),
        ("wind_m_s", wind_m_s, 0.0, 10.0, "m/s"),
        ("share", share, 0.5, 1.7, ""),
    ):
        require_range(value, name=name, low=low, high=high, unit=unit, source="carrier")
    drive_kpa = saturation_vapour_pressure_kpa(water_temp_c) - vapour_pressure_kpa(air_temp_c, humidity_percent)
    latent_btu_lb = (LATENT_KJ_KG - LATENT_FALL * water_temp_c) * BTU_LB_PER_KJ_KG
    lb_ft2_h = (STILL_AIR + PER_FT_MIN * wind_m_s * FT_MIN_PER_M_S) * drive_kpa / KPA_PER_IN_HG / latent_btu_lb
    return as_given(np.maximum(0.0, share * KG_M2_PER_LB_FT2 * lb_ft2_h), water_temp_c)


def rain_m3(rain_mm: N, catch_m2: float) -> N:
    """Rain caught by a horizontal area [m3]: plan area, not roof slope.

    Parameters
    ----------
    rain_mm : float or array
        Rain [mm], 0 to 2000.
    catch_m2 : float
        Water, coping and deck that drain into the pool, in plan [m2], 0 to 50,000.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: ams_rain.

    >>> rain_m3(25.0, 40.0)
    1.0
    """
    require_range(rain_mm, name="rain_mm", low=0, high=2000, unit="mm", source="ams_rain")
    require_range(catch_m2, name="catch_m2", low=0, high=50_000, unit="m2", source="ams_rain")
    return as_given(rain_mm * catch_m2 / 1000, rain_mm)
