"""Pressure of fresh concrete on wall forms, and the fastest rise a form allows.

For planning the pour only: the form maker's rating, the engineer and local code govern. Concrete above 175 mm (7 in)
slump, vibration deeper than 1.2 m (4 ft) and revibration press like a liquid: use ``hydrostatic_kpa``.
"""

import math
from collections.abc import Mapping

import numpy as np

from jobs.domain.errors import CannotDo
from jobs.domain.units import f_from_c, ft_from_m, kpa_from_psf, m_from_ft, psf_from_kpa
from jobs.science.ranges import Array, N, as_given, require_range

GRAVITY_M_S2 = 9.80665
ORDINARY_KG_M3 = 2400.0
KG_M3_PER_LB_FT3 = 0.45359237 / 0.3048**3

# Equation 1 holds below this rate up to this height; from this rate equation 2; above the highest, like a liquid.
SWITCH_FT_H, HIGHEST_FT_H, LOW_WALL_FT = 7.0, 15.0, 14.0
LEAST_PSF = 600.0

# Chemistry coefficient by cement: without and with a retarder. A water reducer that retards counts as one.
CHEMISTRY: Mapping[str, tuple[float, float]] = {
    "portland": (1.0, 1.2),
    "blended": (1.2, 1.4),
    "high_slag_or_ash": (1.4, 1.4),
}


def chemistry_factor(cement: str, *, retarder: bool = False) -> float:
    """Chemistry coefficient Cc of the wall pressure.

    Parameters
    ----------
    cement : str
        ``portland`` (types I, II, III), ``blended`` (less than 70 % slag or 40 % fly ash) or ``high_slag_or_ash``.
    retarder : bool
        Whether a retarder, or a water reducer that retards, is in the mix.

    Returns
    -------
    float
        1.0, 1.2 or 1.4.

    Raises
    ------
    CannotDo
        ``formwork.no_cement``.

    Source: aci_347.

    >>> chemistry_factor("portland", retarder=True)
    1.2
    """
    if cement not in CHEMISTRY:
        raise CannotDo("formwork.no_cement", field="cement", given=cement, known=", ".join(CHEMISTRY))
    return CHEMISTRY[cement][retarder]


def weight_factor(density_kg_m3: float) -> float:
    """Unit weight coefficient Cw: 1 from 140 to 150 lb/ft3, ``w / 145`` above, ``0.5 (1 + w / 145)`` >= 0.8 below.

    Raises
    ------
    OutsideValidRange
        A density outside 1500 to 3000 kg/m3.

    Source: aci_347.

    >>> weight_factor(2400.0)
    1.0
    """
    require_range(density_kg_m3, name="density_kg_m3", low=1500, high=3000, unit="kg/m3", source="aci_347")
    w = density_kg_m3 / KG_M3_PER_LB_FT3
    if w < 140:
        return max(0.80, 0.5 * (1 + w / 145))
    return 1.0 if w <= 150 else w / 145


def hydrostatic_kpa(height_m: N, density_kg_m3: float = ORDINARY_KG_M3) -> N:
    """Pressure of liquid concrete at the foot of a height [kPa]: ``w h``.

    Raises
    ------
    OutsideValidRange
        A height outside 0 to 10 m, a density outside 1500 to 3000 kg/m3.

    Source: aci_347.

    >>> f"{hydrostatic_kpa(2.4):.1f}"
    '56.5'
    """
    require_range(height_m, name="height_m", low=0, high=10, unit="m", source="aci_347")
    require_range(density_kg_m3, name="density_kg_m3", low=1500, high=3000, unit="kg/m3", source="aci_347")
    return as_given(density_kg_m3 * GRAVITY_M_S2 * height_m / 1000, height_m)


def wall_pressure_kpa(
    rate_m_h: N,
    concrete_temp_c: N,
    height_m: float,
    *,
    density_kg_m3: float = ORDINARY_KG_M3,
    chemistry: float = 1.0,
) -> N:
    """Highest pressure on a wall form [kPa], by the equations in US units.

    Parameters
    ----------
    rate_m_h : float or array
        Rise of the concrete [m/h], 0 to 50.
    concrete_temp_c : float or array
        Concrete temperature at placing [degC], 4 to 38.
    height_m : float
        Height of concrete placed at once [m], 0.1 to 10.
    density_kg_m3 : float
        Fresh concrete [kg/m3], 1500 to 3000.
    chemistry : float
        Cc, 1 to 1.4; see ``chemistry_factor``.

    Returns
    -------
    float or array
        In psf, ft/h, degF: up to 14 ft and below 7 ft/h ``Cw Cc (150 + 9000 R / T)``; otherwise, up to 15 ft/h,
        ``Cw Cc (150 + 43400 / T + 2800 R / T)``; faster ``w h``. At least ``600 Cw``, never above ``w h``.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: aci_347, hurd_pressure.

    >>> f"{wall_pressure_kpa(1.2192, 21.111, 2.4384):.1f}"
    '31.8'
    """
    rate, temp, liquid_kpa, factor = _checked(rate_m_h, concrete_temp_c, height_m, density_kg_m3, chemistry)
    rate_ft_h, temp_f = rate / m_from_ft(1.0), temp * 1.8 + 32
    slow = 150 + 9000 * rate_ft_h / temp_f
    fast = 150 + 43_400 / temp_f + 2800 * rate_ft_h / temp_f
    low_and_slow = (rate_ft_h < SWITCH_FT_H) & (ft_from_m(height_m) <= LOW_WALL_FT + 1e-9)
    psf = np.maximum(factor * np.where(low_and_slow, slow, fast), LEAST_PSF * weight_factor(density_kg_m3))
    liquid = rate_ft_h > HIGHEST_FT_H + 1e-9
    return as_given(np.where(liquid, liquid_kpa, np.minimum(kpa_from_psf(1.0) * psf, liquid_kpa)), rate_m_h)


def ciria_pressure_kpa(
    rate_m_h: float,
    concrete_temp_c: float,
    height_m: float,
    *,
    weight_kn_m3: float = 25.0,
    shape: float = 1.0,
    chemistry: float = 0.3,
) -> float:
    """Highest pressure on a form by the British report, as a second opinion [kPa].

    Parameters
    ----------
    rate_m_h : float
        Rise of the concrete [m/h], 0 to 10.
    concrete_temp_c : float
        Concrete temperature at placing [degC], 4 to 38.
    height_m : float
        Height of the form [m], 0.1 to 10.
    weight_kn_m3 : float
        Weight of concrete [kN/m3], 15 to 30.
    shape : float
        1.0 for walls, 1.5 for columns.
    chemistry : float
        0.3 for portland cement without admixtures, 0.45 with a retarder or blended cement.

    Returns
    -------
    float
        ``D (C1 sqrt(R) + C2 K sqrt(H - C1 sqrt(R)))`` with ``K = (36 / (T + 16))^2``, never above ``D h``.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.

    Source: ciria_108.

    >>> f"{ciria_pressure_kpa(2.0, 10.0, 3.0):.1f}"
    '53.5'
    """
    for name, value, low, high, unit in (
        ("rate_m_h", rate_m_h, 0.0, 10.0, "m/h"),
        ("concrete_temp_c", concrete_temp_c, 4.0, 38.0, "degC"),
        ("height_m", height_m, 0.1, 10.0, "m"),
        ("weight_kn_m3", weight_kn_m3, 15.0, 30.0, "kN/m3"),
        ("shape", shape, 1.0, 1.5, ""),
        ("chemistry", chemistry, 0.3, 0.6, ""),
    ):
        require_range(value, name=name, low=low, high=high, unit=unit, source="ciria_108")
    fluid_m = shape * math.sqrt(rate_m_h)
    if fluid_m >= height_m:
        return weight_kn_m3 * height_m
    stiff_m = chemistry * (36 / (concrete_temp_c + 16)) ** 2 * math.sqrt(height_m - fluid_m)
    return weight_kn_m3 * min(fluid_m + stiff_m, height_m)


def highest_rate_m_h(
    rated_kpa: float,
    concrete_temp_c: float,
    height_m: float,
    *,
    density_kg_m3: float = ORDINARY_KG_M3,
    chemistry: float = 1.0,
) -> float:
    """Fastest rise of concrete that keeps its pressure within what a form is rated for [m/h].

    Parameters
    ----------
    rated_kpa : float
        Rated pressure of the form [kPa], 1 to 200.
    concrete_temp_c, height_m, density_kg_m3, chemistry
        As ``wall_pressure_kpa``.

    Returns
    -------
    float
        Inverse of ``wall_pressure_kpa``; 4.572 (15 ft/h) at most, infinite where the form holds liquid concrete.

    Raises
    ------
    OutsideValidRange
        An argument outside its range.
    CannotDo
        ``formwork.form_too_weak``.

    Source: aci_347, hurd_pressure.

    >>> f"{ft_from_m(highest_rate_m_h(kpa_from_psf(900.0), 15.556, 2.4384)):.2f}"
    '5.00'
    """
    require_range(rated_kpa, name="rated_kpa", low=1, high=200, unit="kPa", source="aci_347")
    _, _, liquid_kpa, factor = _checked(0.0, concrete_temp_c, height_m, density_kg_m3, chemistry)
    if rated_kpa >= liquid_kpa:
        return math.inf
    least_kpa = wall_pressure_kpa(0.0, concrete_temp_c, height_m, density_kg_m3=density_kg_m3, chemistry=chemistry)
    if rated_kpa < least_kpa:
        raise CannotDo(
            "formwork.form_too_weak",
            field="rated_kpa",
            rated=f"{rated_kpa:.1f}",
            rated_psf=round(psf_from_kpa(rated_kpa)),
            least=f"{least_kpa:.1f}",
            least_psf=round(psf_from_kpa(least_kpa)),
        )
    temp_f, base_psf = f_from_c(concrete_temp_c), psf_from_kpa(rated_kpa) / factor - 150
    slow_ft_h = base_psf * temp_f / 9000
    if slow_ft_h < SWITCH_FT_H and ft_from_m(height_m) <= LOW_WALL_FT + 1e-9:
        return m_from_ft(slow_ft_h)
    return m_from_ft(min((base_psf * temp_f - 43_400) / 2800, HIGHEST_FT_H))


def _checked(
    rate_m_h: N, concrete_temp_c: N, height_m: float, density_kg_m3: float, chemistry: float
) -> tuple[Array, Array, float, float]:
    """Rate and temperature as arrays, the pressure of liquid concrete [kPa], and Cw Cc."""
    require_range(rate_m_h, name="rate_m_h", low=0, high=50, unit="m/h", source="aci_347")
    require_range(concrete_temp_c, name="concrete_temp_c", low=4, high=38, unit="degC", source="aci_347")
    require_range(height_m, name="height_m", low=0.1, high=10, unit="m", source="aci_347")
    require_range(chemistry, name="chemistry", low=1.0, high=1.4, unit="", source="aci_347")
    liquid_kpa = hydrostatic_kpa(height_m, density_kg_m3)
    factor = chemistry * weight_factor(density_kg_m3)
    return np.asarray(rate_m_h, dtype=float), np.asarray(concrete_temp_c, dtype=float), liquid_kpa, factor
